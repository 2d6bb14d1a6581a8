"""What was said in an act as one digest: equal where the same was said, whatever the order and the zone."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID


def digest_of(said: Mapping[str, Any]) -> str:
    """The digest of all that was said, by name.

    What says nothing (None, a blank text, no, an empty list) is left out, and so is a field of a
    dataclass at its default: a field that a later version adds leaves older digests as they are.
    Raises :class:`TypeError` of what is no plain fact, such as a person, a proof or a row.
    """
    told = {name: _plain(value) for name, value in said.items() if not _says_nothing(value)}
    text = json.dumps(told, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return hashlib.sha256(text.encode()).hexdigest()


def _says_nothing(value: Any) -> bool:
    is_empty = isinstance(value, str | tuple | list | Mapping) and not value
    return value is None or value is False or is_empty


def _plain(value: Any) -> Any:
    """Facts as JSON has them: a moment in UTC, a file's bytes by their own digest."""
    if value is None or isinstance(value, bool | int | float | str):
        return value
    if is_dataclass(value) and not isinstance(value, type):
        kept = (each for each in fields(value) if not _is_default(each, value))
        return {each.name: _plain(getattr(value, each.name)) for each in kept}
    if isinstance(value, Mapping):
        return {str(name): _plain(inner) for name, inner in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(inner) for inner in value]
    return _text(value)


def _is_default(field: Field[Any], row: Any) -> bool:
    value, default = getattr(row, field.name), field.default
    if field.default_factory is not MISSING:
        default = field.default_factory()
    return bool(value == default) or (_says_nothing(value) and _says_nothing(default))


def _text(value: Any) -> str:
    match value:
        case datetime() if value.tzinfo is not None:
            return value.astimezone(UTC).isoformat()
        case date() if not isinstance(value, datetime):
            return value.isoformat()
        case Decimal():
            return format(value.normalize(), "f")
        case UUID():
            return str(value)
        case bytes():
            return hashlib.sha256(value).hexdigest()
    raise TypeError(f"{type(value).__name__} is no plain fact of an act.")
