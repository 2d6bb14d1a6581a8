"""The page on which people read what programs may ask and send: the schema, in the house's own face."""

from __future__ import annotations

import functools
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe
from drf_spectacular.generators import SchemaGenerator

METHODS = ("get", "post", "put", "patch", "delete")
Schema = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that is sent or answered: its name, what it is, whether it must be there, what it means."""

    name: str
    what: str
    is_needed: bool
    meaning: str


@dataclass(frozen=True, slots=True)
class Door:
    """One method at one address."""

    key: str
    method: str
    address: str
    summary: str
    meaning: str
    asked: list[Said] = field(default_factory=list)
    sent: list[Said] = field(default_factory=list)
    answered: list[Said] = field(default_factory=list)
    example: str = ""
    codes: str = ""


@require_safe
def reading(request: HttpRequest) -> HttpResponse:
    """Every door by its group; those of one group whole. The schema itself tells nothing of the house."""
    groups = doors_by_group()
    chosen = request.GET.get("of", "")
    context = {
        "groups": groups,
        "chosen": chosen if chosen in groups else "",
        "doors": groups.get(chosen, []),
    }
    return render(request, "fleet/doors/reading.html", context)


@functools.cache
def doors_by_group() -> dict[str, list[Door]]:
    """All doors by the first word of their address, made once: they change with the program only."""
    schema = SchemaGenerator().get_schema(request=None, public=True)
    found: dict[str, list[Door]] = {}
    for address, at in schema["paths"].items():
        for method in METHODS:
            if method in at:
                group = address.strip("/").split("/")[2].replace("-", " ")
                found.setdefault(group, []).append(_door(schema, address, method, at[method]))
    return dict(sorted(found.items()))


def _door(schema: Schema, address: str, method: str, of: Schema) -> Door:
    sent = _content(schema, of.get("requestBody", {}))
    good = next((code for code in of["responses"] if code.startswith("2")), "")
    answered = _content(schema, of["responses"].get(good, {}))
    return Door(
        key=of["operationId"],
        method=method.upper(),
        address=address,
        summary=of.get("summary", ""),
        meaning=of.get("description", ""),
        asked=[
            Said(
                each["name"],
                _what(schema, each.get("schema", {})),
                each.get("required", False),
                each.get("description", ""),
            )
            for each in of.get("parameters", [])
        ],
        sent=list(_fields(schema, sent.get("schema", {}))),
        answered=list(_fields(schema, answered.get("schema", {}))),
        example=_example(sent),
        codes=", ".join(of["responses"]),
    )


def _content(schema: Schema, body: Schema) -> Schema:
    content = body.get("content", {})
    found: Schema = content.get("application/json") or next(iter(content.values()), {})
    return found


def _example(content: Schema) -> str:
    examples = content.get("examples") or {}
    first: Schema = next(iter(examples.values()), {})
    return json.dumps(first["value"], indent=2, ensure_ascii=False) if "value" in first else ""


def _resolved(schema: Schema, of: Schema) -> Schema:
    """What a reference leads to; of an array what it is made of."""
    for _ in range(4):
        if "$ref" in of:
            of = schema["components"]["schemas"][of["$ref"].rsplit("/", 1)[-1]]
        elif len(of.get("allOf", [])) == 1:
            of = of["allOf"][0]
        elif of.get("type") == "array":
            of = of["items"]
        else:
            break
    return of


def _fields(schema: Schema, of: Schema) -> Iterator[Said]:
    whole = _resolved(schema, of)
    needed = set(whole.get("required", []))
    for name, each in whole.get("properties", {}).items():
        meaning = each.get("description") or _resolved(schema, each).get("description", "")
        yield Said(name, _what(schema, each), name in needed, meaning)


def _what(schema: Schema, of: Schema) -> str:
    """A type in words: ``text``, ``day``, ``list of whole number``, its choices."""
    if of.get("type") == "array":
        return f"list of {_what(schema, of['items'])}"
    whole = _resolved(schema, of)
    if "enum" in whole:
        return "one of " + ", ".join(str(each) for each in whole["enum"] if each is not None)
    words = {
        "string": "text",
        "integer": "whole number",
        "number": "number",
        "boolean": "yes or no",
    }
    formats = {"date": "day, 2027-03-03", "date-time": "moment", "uuid": "id", "uri": "address"}
    sort = whole.get("type", "object")
    sort = next((one for one in sort if one != "null"), "text") if isinstance(sort, list) else sort
    return formats.get(whole.get("format", ""), words.get(sort, "object"))
