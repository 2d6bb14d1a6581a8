"""The API's request of an act, made from what is said to it; and its door."""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping
from typing import Any

from rest_framework import serializers

from fleet.acts import fields
from fleet.acts.act import Act
from fleet.acts.fields import Field, Said, built, choices_of, fields_of

from .fields import (
    Day,
    DayOrMonth,
    IdOf,
    Instant,
    KeyOf,
    Shape,
    StrictBoolean,
    StrictInteger,
    StrictText,
)

#: The schema's words for a request that needs none of its own.
PLAIN = Shape.__doc__ or ""
ACT_ID = "Made by the sender; the same act twice is one act."
SENDER_AT = "The sender's own clock."


def request_of(said: type, name: str, about: str = "", **replaced: Any) -> type[Shape]:
    """The request's shape of a dataclass that is said; reading one gives the dataclass.

    ``name`` and ``about`` are its name and words in the schema. ``replaced`` gives fields, by their
    own name, a shape of their own (a part's, a file's), where the kind of field does not tell it.
    """
    shown: dict[str, Any] = {
        each.name: replaced.get(each.name) or _field(each) for each in fields_of(said)
    }

    def validate(self: Shape, attrs: dict[str, Any]) -> Any:
        return built(said, _kept(said, attrs))

    return _shape(name, about or said.__doc__ or "", {**shown, "validate": validate})


def act_request_of(
    act: Act, name: str, about: str = "", *, base: type[Shape] = Shape, **replaced: Any
) -> type[Shape]:
    """The same of an act, with its id: reading one gives ``act_id``, and ``said``, the dataclass's values.

    What stands in the address is not asked for, nor an id where the same again is known otherwise.
    ``base`` is a shape that reads some fields together, which it names in ``gives``: when something
    happened, out of a day or an instant and a zone.
    """
    said = act.said
    shown: dict[str, Any] = {}
    if not act.known_by:
        shown["act_id"] = serializers.UUIDField(help_text=ACT_ID)
    if act.takes_sender_at:
        shown["sender_at"] = Instant(required=False, allow_null=True, help_text=SENDER_AT)
    for each in fields_of(said):
        if each.attribute not in act.in_address and each.name not in base.gives:
            shown[each.name] = replaced.get(each.name) or _field(each)

    def validate(self: Shape, attrs: dict[str, Any]) -> Any:
        beside = {name: attrs.pop(name, None) for name in ("act_id", "sender_at")}
        return {**beside, "said": _kept(said, base.validate(self, attrs))}

    return _shape(name, about or said.__doc__ or "", {**shown, "validate": validate}, base)


def query_of(
    asked: type,
    name: str,
    base: type[Shape] = Shape,
    *,
    takes_blank: bool = False,
    **more: Any,
) -> type[Shape]:
    """The query by which a list is narrowed, as the dataclass that is asked declares it.

    ``base`` is what every such list takes, ``more`` what this one takes besides. A filter may be left
    out; where it ``takes_blank`` a blank one is left out too, else refused. Reading one gives what
    was given, by the fields' names.
    """
    options = _options if takes_blank else _options_of_query
    shown = {each.name: _field(each, options(each)) for each in fields_of(asked)}
    return _shape(name, asked.__doc__ or "", {**shown, **more}, base)


def _shape(
    name: str, about: str, members: Mapping[str, Any], base: type[Shape] = Shape
) -> type[Shape]:
    body = {"__doc__": about, **members}
    return types.new_class(name, (base,), exec_body=lambda namespace: namespace.update(body))


def _kept(said: type, attrs: Mapping[str, Any]) -> dict[str, Any]:
    """What was read, by the dataclass's own attributes."""
    values: dict[str, Any] = {}
    for each in fields_of(said):
        if each.name not in attrs:
            continue
        value = attrs[each.name]
        if each.said.sort == fields.STAMP:
            day, precision = value or (None, "day")
            values |= {each.attribute: day, each.said.precision: precision}
        elif isinstance(value, list):
            values[each.attribute] = tuple(value)
        else:
            values[each.attribute] = value
    return values


def _field(
    field: Field, options: dict[str, Any] | None = None
) -> serializers.Field[Any, Any, Any, Any]:
    make = _FIELDS.get(field.said.sort)
    if make is None:
        raise TypeError(f"{field.attribute}: give the shape of what is {field.said.sort}.")
    options = _options(field) if options is None else options
    if field.said.help:
        options["help_text"] = field.said.help
    return make(field.said, options)


def _options(field: Field) -> dict[str, Any]:
    """Whether it may be left out, and what it is then."""
    if field.is_needed:
        return {}
    # Any number of things is a list of its own each time.
    default = list if field.default == () else field.default
    options = {"required": False, "default": default}
    if field.is_optional:
        options["allow_null"] = True
    return options


def _options_of_query(field: Field) -> dict[str, Any]:
    """A filter may always be left out; it has a default only where that is one of its values."""
    return {"required": False} | ({} if field.default in ("", None) else {"default": field.default})


def _text(said: Said, options: dict[str, Any]) -> Any:
    if options.get("default", said) in ("", None):
        options["allow_blank"] = True
    return StrictText(max_length=said.most, **options)


def _number(said: Said, options: dict[str, Any]) -> Any:
    return StrictInteger(least=said.least, most=said.most, **options)


def _yes_no(said: Said, options: dict[str, Any]) -> Any:
    options.pop("required", None)
    return StrictBoolean(**options)


def _choice(said: Said, options: dict[str, Any]) -> Any:
    if "default" in options:
        options.pop("required", None)
    if options.get("default") == "" and "" not in dict(choices_of(said)):
        options["allow_blank"] = True
    return serializers.ChoiceField(choices_of(said), **options)


def _codes(said: Said, options: dict[str, Any]) -> Any:
    if said.items:
        options["max_length"] = said.items
    return serializers.ListField(child=StrictText(max_length=said.most), **options)


def _row(said: Said, options: dict[str, Any]) -> Any:
    assert said.model is not None
    return IdOf(said.model, said.what, said.look_up, **options)


def _coded(said: Said, options: dict[str, Any]) -> Any:
    assert said.model is not None
    return KeyOf(said.model, said.column, said.what, max_length=said.most, **options)


def _part(said: Said, options: dict[str, Any]) -> Any:
    assert said.of is not None
    return request_of(said.of, f"{said.of.__name__}Sent")(**options)


def _parts(said: Said, options: dict[str, Any]) -> Any:
    assert said.of is not None
    return request_of(said.of, f"{said.of.__name__}Sent")(many=True, **options)


_FIELDS: Mapping[str, Callable[[Said, dict[str, Any]], Any]] = {
    fields.TEXT: _text,
    fields.NUMBER: _number,
    fields.YES_NO: _yes_no,
    fields.CHOICE: _choice,
    fields.CODES: _codes,
    fields.DAY: lambda said, options: Day(**options),
    fields.STAMP: lambda said, options: DayOrMonth(**options),
    fields.MOMENT: lambda said, options: Instant(**options),
    fields.ROW: _row,
    fields.CODED: _coded,
    fields.PART: _part,
    fields.PARTS: _parts,
}
