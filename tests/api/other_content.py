"""An act sent with other content: by the schema of its door, what was sent with one field changed in turn."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

from django.contrib.auth.hashers import make_password
from django.db import connection

from equipment.models import ModificationStandard, PartNumber, Place, Unit
from fleet.models import Aircraft, AircraftPosition, Measure, Station, User
from scheduling.models import Programme, Work

#: What is no content of an act: its id, the proof of who signs, the sender's clock, and a maker, which
#: only tells which part is meant.
NO_CONTENT = frozenset({"act_id", "password", "sender_at", "maker"})
#: One of the two is given: what is added takes the place of the other.
INSTEAD_OF = {
    "happened_on": ("happened_at",),
    "happened_at": ("happened_on",),
    "read_on": ("read_at",),
    "read_at": ("read_on",),
    "unit": ("found",),
    "found": ("unit",),
    "off": ("off_found",),
    "off_found": ("off",),
    "on": ("on_found",),
    "on_found": ("on",),
}
FILE = {"name": "other.pdf", "content": "JVBERi0xLjcKJSVFT0YK"}


class Others:
    """One more of everything that a field may name: there, and not what the example names."""

    def __init__(self, password: str) -> None:
        self.station = Station.objects.create(code="OTHR", name="Other", time_zone="Asia/Tokyo")
        first = AircraftPosition.objects.select_related("aircraft", "type_position").first()
        assert first is not None
        self.aircraft = Aircraft.objects.create(
            registration="Q-OTHR",
            msn="9001",
            aircraft_type=first.aircraft.aircraft_type,
            station=self.station,
        )
        self.position = AircraftPosition.objects.create(
            aircraft=self.aircraft, type_position=first.type_position
        )
        part = PartNumber.objects.order_by("pk").first()
        assert part is not None
        self.part = PartNumber.objects.create(
            maker=part.maker, number="OTHER-1", description="Other", kind=part.kind
        )
        self.unit = Unit.objects.create(
            original_part=part,
            part_number=part,
            serial_number="OTHER-1",
            recorded_at="2024-01-11T08:00Z",
        )
        self.measure = Measure.objects.create(
            code="OTHER", name="Other", unit="count", counted_on="aircraft"
        )
        ModificationStandard.objects.create(part_number=part, code="OTHER")
        Programme.objects.create(code="OTHER", name="Other", revision="1")
        self.work, _ = Work.objects.get_or_create(code="other", defaults={"name": "Other"})
        self.password = make_password(password)

    def signer(self, like: str) -> str:
        """Somebody else who may do the same, with the same password."""
        found = User.objects.filter(username=like).first()
        roles = found.roles if found else []
        name = f"other.{like}"
        User.objects.get_or_create(
            username=name, defaults={"roles": roles, "password": self.password}
        )
        return name

    def place(self, current: Any) -> dict[str, Any]:
        """A position instead of a position, a store instead of a store."""
        if current and current["sort"] not in {Place.AIRCRAFT, Place.INSIDE}:
            return {"sort": current["sort"], "station": self.station.code}
        code = self.position.type_position.code
        return {"sort": "aircraft", "aircraft": self.aircraft.registration, "position": code}


def changed(
    schema: dict[str, Any], shape: dict[str, Any], sent: dict[str, Any], others: Others
) -> Iterator[tuple[str, dict[str, Any]]]:
    """(field, what was sent with that field changed) for every field of the door's shape."""
    shape = _resolved(schema, shape)
    for name, field in shape["properties"].items():
        if name in NO_CONTENT:
            continue
        for path, value in _values(schema, name, field, sent.get(name), others):
            other = {**deepcopy(sent), name: value}
            for instead in INSTEAD_OF.get(name, ()):
                other.pop(instead, None)
            if name == "position":  # it is one of an aircraft, and no unit then
                other |= {"aircraft": others.aircraft.registration, "unit": None}
            yield path, other


def _values(
    schema: dict[str, Any], name: str, field: dict[str, Any], current: Any, others: Others
) -> Iterator[tuple[str, Any]]:
    """Other values of one field; of what is made of fields, one for each of them."""
    field = _resolved(schema, field)
    whole = {"position": others.position.type_position.code, "file": FILE, "page": FILE}
    if name in {"place", "to", "off_to"}:
        yield name, others.place(current)
    elif name == "typed":
        yield name, {**(current or {}), "value": "241"}
    elif name in whole:
        yield name, whole[name]
    elif field.get("type") == "array":
        yield from _lists(schema, name, field, current or [], others)
    elif "properties" in field:
        yield from _inner(schema, name, field, current, others)
    else:
        yield name, _value(name, field, current, others)


def _inner(
    schema: dict[str, Any], name: str, field: dict[str, Any], current: Any, others: Others
) -> Iterator[tuple[str, Any]]:
    """Each field of what is made of fields; the whole where nothing of it was said."""
    if not current:
        yield name, _filled(schema, field, others)
        return
    for path, other in changed(schema, field, current, others):
        yield f"{name}.{path}", other


def _lists(
    schema: dict[str, Any], name: str, field: dict[str, Any], current: list[Any], others: Others
) -> Iterator[tuple[str, Any]]:
    """One more in the list, one less, and each field of the first."""
    item = _resolved(schema, field["items"])
    if "properties" not in item:
        yield f"{name} and one more", [*current, "OTHER"]
        return
    yield f"{name} and one more", [*current, _filled(schema, item, others)]
    if len(current) > 1:
        yield f"{name} but one", current[1:]
    if current:
        for path, other in changed(schema, item, current[0], others):
            yield f"{name}.0.{path}", [other, *current[1:]]


def _filled(schema: dict[str, Any], shape: dict[str, Any], others: Others) -> dict[str, Any]:
    """A whole object that says only what it must."""
    filled: dict[str, Any] = {}
    for name in shape.get("required", ()):
        field = _resolved(schema, shape["properties"][name])
        values = _values(schema, name, field, None, others)
        filled[name] = next(iter(values))[1]
    if "happened_on" in shape["properties"]:
        filled["happened_on"] = "2024-01-12"
    return filled


def _value(name: str, field: dict[str, Any], current: Any, others: Others) -> Any:
    named = {
        "station": others.station.code,
        "home_station": others.station.code,
        "aircraft": others.aircraft.registration,
        "measure": others.measure.code,
        "work": others.work.code,
        "part_number": others.part.number,
        "zone": "Asia/Tokyo",
        "programme": "OTHER",
        "standard": "OTHER",
        "pressure": "3100 psi",
        "temperature": "71 °F",
    }
    units = {"unit", "on", "off", "planned_on", "recorded_unit", "inside_unit"}
    if name in {"username", "person"} or (name == "taker" and isinstance(current, str)):
        return others.signer(current)
    if name == "sort" and "installed" in _choices(field):
        return "received" if current == "installed" else "installed"
    if name in named:
        return named[name]
    if name in units and field.get("type") == "integer":
        return others.unit.pk
    return _plain(field, current)


def _plain(field: dict[str, Any], current: Any) -> Any:
    kind, form = field.get("type"), field.get("format")
    if choices := [each for each in _choices(field) if each not in (current, "", None)]:
        return choices[-1] if field.get("default") == choices[0] else choices[0]
    if kind == "boolean":
        return not (current if current is not None else field.get("default", False))
    if kind == "integer":
        return 7 if current is None else current + 1
    if form == "date":
        return "2024-01-12" if current != "2024-01-12" else "2024-01-13"
    if form == "date-time":
        return "2024-01-12T10:11:00Z"
    if field.get("pattern"):
        return "2024-01-12"
    return "X" if current != "X" else "Y"


def _choices(field: dict[str, Any]) -> list[Any]:
    return list(field.get("enum", ()))


def _resolved(schema: dict[str, Any], field: dict[str, Any]) -> dict[str, Any]:
    """The field with what it refers to, and what may be null without that."""
    found = dict(field)
    for each in (field, *field.get("allOf", ()), *field.get("oneOf", ())):
        if "$ref" in each:
            found |= schema["components"]["schemas"][each["$ref"].rpartition("/")[2]]
    if isinstance(kinds := found.get("type"), list):
        found["type"] = next(kind for kind in kinds if kind != "null")
    return found


# --- what is on record ------------------------------------------------------------------------

_RECORDS = """
SELECT string_agg(
    format('SELECT %L, md5(coalesce(string_agg(t::text, ''|'' ORDER BY t::text), '''')) FROM %I t', relname, relname),
    ' UNION ALL '
)
FROM pg_class
WHERE relkind = 'r' AND relname ~ '^(fleet|equipment|scheduling)_' AND relname <> 'equipment_place'
"""


def on_record() -> dict[str, str]:
    """Every table of ours by a digest of its rows: two are equal if nothing was recorded between. A place
    is no record: its row is made when it is first named, whatever becomes of the act."""
    with connection.cursor() as cursor:
        cursor.execute(_RECORDS)
        cursor.execute(cursor.fetchone()[0])
        return dict(cursor.fetchall())
