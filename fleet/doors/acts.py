"""The door of an act, made from its declaration."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
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


def act_door(
    act: Act,
    takes: type[Shape],
    shows: type[serializers.Serializer[Any]],
    example: Any,
    *,
    shown: Callable[[Any], Any] | None = None,
    look_up: Callable[..., Any] | None = None,
    parsers: Sequence[type[BaseParser]] = (),
    base: type[Door] = Door,
    find: Callable[[Mapping[str, Any]], Mapping[str, Any]] = dict,
    during: Callable[[], AbstractContextManager[None]] = nullcontext,
    is_new: Callable[[Any, datetime], bool] | None = None,
) -> type[Door]:
    """The door through which programs do an act: 201 when it is done now, 200 when it had been before.

    ``takes`` is the act's request (``act_request_of``), ``shows`` what it answers, with ``example``;
    ``shown`` turns what the act gave into what is shown (a row read again with all that it names).
    ``look_up`` is called with what stands in the address and says what is not there. ``base`` is the
    door of the same address that lists. ``find`` turns what was said, by attribute, into what the act
    takes where a number means something of something else (a step of this swap); ``during`` is around
    the act, to name its refusals by where they stand in the body; ``is_new`` says whether what the act
    gave was made at that instant, where neither it nor a claim does.
    """

    def post(self: Door, request: Request, **named: Any) -> Response:
        if look_up is not None:
            look_up(**named)
        sent, at = self.brought(takes), timezone.now()
        said, act_id = _said(act, find(sent["said"] | named), sent["act_id"]), sent["act_id"]
        more = {"today": today(), "sender_at": sent["sender_at"]}
        with during():
            made = _once(act, lambda: act.do(said, by=self.person, act_id=act_id, at=at, **more))
        body = shows(shown(made) if shown is not None else made).data
        now = is_new(made, at) if is_new else _is_new(act, made, act_id, at)
        return answer(body, is_new=now)

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


def _said(act: Act, values: Mapping[str, Any], act_id: UUID | None) -> Any:
    """What was said, with its sender's id where that stands in the row."""
    own = {"act_id": act_id} if act.id_in_row else {}
    return built(act.said, {**values, **own})


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
