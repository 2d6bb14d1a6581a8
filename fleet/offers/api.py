"""The door of an offered act: its request, its answer and its address, from the act's declaration."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.urls import URLPattern
from rest_framework import serializers
from rest_framework.parsers import BaseParser

from fleet.acts.act import Act
from fleet.doors.acts import act_door, act_path
from fleet.doors.answers import answer_of
from fleet.doors.door import Door
from fleet.doors.fields import Shape
from fleet.doors.requests import act_request_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Api:
    """How programs reach an act, as far as its declaration does not tell.

    ``name`` is the address's own, if not ``api-`` and the last word of the act's address. ``sent`` and
    ``about`` are name and words of the request in the schema. ``takes`` and ``shows`` stand in for
    what is made of ``Act.said`` and ``Act.shows`` where some field has a shape of its own (a place,
    a file), ``example`` for ``Act.answer``. ``base`` is the door of the same address that lists,
    ``ways`` what :class:`fleet.doors.acts.Ways` has besides.
    """

    name: str = ""
    sent: str = ""
    about: str = ""
    takes: type[Shape] | None = None
    shows: type[serializers.Serializer[Any]] | None = None
    example: Mapping[str, Any] | None = None
    parsers: Sequence[type[BaseParser]] = ()
    base: type[Door] = Door
    ways: Mapping[str, Any] = field(default_factory=dict)


def api_path(act: Act, api: Api) -> URLPattern:
    """The address of the act's door. TypeError of an act that does not say what it shows."""
    takes = api.takes or act_request_of(act, api.sent or f"{act.said.__name__}Sent", api.about)
    shows = api.shows
    if shows is None:
        if act.shows is None:
            raise TypeError(f"{act.name}: say what programs are shown (Act.shows, or Api.shows).")
        shows = answer_of(act.shows)
    example = act.answer if api.example is None else api.example
    door = act_door(act, takes, shows, example, parsers=api.parsers, base=api.base, **api.ways)
    return act_path(act, door, api.name or f"api-{act.address.rpartition('/')[2]}")
