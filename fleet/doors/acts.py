"""The door of an act, made from its declaration."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.urls import URLPattern, path
from django.utils import timezone
from rest_framework import serializers
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.acts.act import Act
from fleet.acts.fields import built
from fleet.acts.repeats import done_now, retry_after_clash
from fleet.house.pages import today

from .door import Door, answer
from .fields import Shape
from .schema import described


def _itself(made: Any) -> Any:
    return made


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """What a door does about an act besides what its declaration says.

    ``look_up`` is called with what stands in the address and says what is not there; ``find`` turns
    what was said, by attribute, into what the act takes, where a number means something of something
    else (a step of this swap); ``during`` is around the act, to name its refusals by where they stand
    in the body; ``shown`` turns what the act gave into what is shown (a row read again with all that it
    names); ``is_new`` says whether that was made at this instant, where neither it nor a claim does.
    """

    look_up: Callable[..., Any] | None = None
    find: Callable[[Mapping[str, Any]], Mapping[str, Any]] = dict
    during: Callable[[], AbstractContextManager[None]] = nullcontext
    shown: Callable[[Any], Any] = _itself
    is_new: Callable[[Any, datetime], bool] | None = None


def act_door(
    act: Act,
    takes: type[Shape],
    shows: type[serializers.Serializer[Any]],
    example: Any,
    *,
    parsers: Sequence[type[BaseParser]] = (),
    base: type[Door] = Door,
    **more: Any,
) -> type[Door]:
    """The door through which programs do an act: 201 when it is done now, 200 when it had been before.

    ``takes`` is the act's request (``act_request_of``), ``shows`` what it answers, with ``example``;
    ``base`` is the door of the same address that lists; ``more`` are its :class:`Ways`.
    """
    ways = Ways(**more)

    def post(self: Door, request: Request, **named: Any) -> Response:
        if ways.look_up is not None:
            ways.look_up(**named)
        made, is_new = _done(self, act, takes, named, ways)
        return answer(shows(ways.shown(made)).data, is_new=is_new)

    describe = described(
        tag=act.tag,
        name=act.name,
        summary=act.summary,
        description=act.description,
        takes=takes,
        sent=act.example,
        answer=shows,
        example=example,
        act=act.row,
    )
    members = {"post": describe(post), "__doc__": act.summary}
    if parsers:
        members["parser_classes"] = list(parsers)
    return type(f"{act.name.title().replace('_', '')}Door", (base,), members)


def _done(
    door: Door, act: Act, takes: type[Shape], named: dict[str, Any], ways: Ways
) -> tuple[Any, bool]:
    """What the act gave of what was sent, and whether it was done now."""
    sent, at = door.brought(takes), timezone.now()
    act_id, own = sent["act_id"], {"act_id": sent["act_id"]} if act.id_in_row else {}
    said = built(act.said, {**ways.find(sent["said"] | named), **own})
    more = {"today": today(), "sender_at": sent["sender_at"]}
    with ways.during():
        made = _once(act, lambda: act.do(said, by=door.person, act_id=act_id, at=at, **more))
    if ways.is_new is not None:
        return made, ways.is_new(made, at)
    return made, _is_new(act, made, act_id, at)


def _once(act: Act, do: Callable[[], Any]) -> Any:
    """An id in a row is looked for and not claimed: of two at one moment the second tries again."""
    return retry_after_clash(do) if act.id_in_row else do()


def _is_new(act: Act, made: Any, act_id: UUID | None, at: datetime) -> bool:
    """What was made may say so itself: a row on record, whoever brought it. Else its claim says it."""
    told: bool | None = getattr(made, "is_new", None)
    if told is not None or act_id is None:
        return bool(told)
    return done_now(act_id, act.claim, at)


def act_path(act: Act, door: type[Door], name: str) -> URLPattern:
    """The address of an act's door."""
    return path(f"v1/{act.address}", door.as_view(), name=name)
