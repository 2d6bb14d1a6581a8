"""What programs and spreadsheets of users rely on, as plain text: the API's schema, every address, the
sheets' template and columns.

``python -m tests.agreement.outside`` writes the kept copies anew; a difference is then one to be explained.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path

KEPT = Path(__file__).parent / "snapshots"


def api_schema() -> str:
    """The schema as programs read it."""
    from drf_spectacular.generators import SchemaGenerator

    schema = SchemaGenerator().get_schema(request=None, public=True)
    return json.dumps(schema, indent=1, sort_keys=True, ensure_ascii=False, default=str) + "\n"


def addresses() -> str:
    """Each address: its path, and the name by which pages refer to it."""
    from django.urls import get_resolver

    return "".join(f"{line}\n" for line in sorted(_under(get_resolver(), "", "")))


def _under(resolver: object, path: str, names: str) -> Iterator[str]:
    from django.urls import URLResolver

    assert isinstance(resolver, URLResolver)
    for each in resolver.url_patterns:
        at = path + str(each.pattern)
        if isinstance(each, URLResolver):
            yield from _under(each, at, names + (f"{each.namespace}:" if each.namespace else ""))
        else:
            yield f"/{at}  {names}{each.name}"


def columns() -> str:
    """Each kind of sheet with all that is declared of its columns."""
    from fleet.intake.registry import kinds

    lines: list[str] = []
    for kind in kinds():
        lines.append(f"[{kind.order}] {kind.name} ({kind.act}): {kind.purpose} {kind.aliases}")
        for column in kind.columns:
            told = (column.kind, column.needed, column.most, column.has_come)
            lines.append(f"  {column.name} = {column.field} {told} {sorted(column.headings)}")
            lines.append(f"    {column.meaning} {dict(column.choices) or ''}".rstrip())
    return "\n".join(lines) + "\n"


def template() -> str:
    """The template, read back cell by cell."""
    from openpyxl import load_workbook

    from fleet.intake.template import template as made

    lines: list[str] = []
    for sheet in load_workbook(BytesIO(made())).worksheets:
        lines.append(f"== {sheet.title}")
        for row in sheet.iter_rows(values_only=True):
            lines.append(" | ".join("" if cell is None else str(cell) for cell in row).rstrip(" |"))
    return "\n".join(lines) + "\n"


OUTSIDE: dict[str, Callable[[], str]] = {
    "api_schema.json": api_schema,
    "addresses.txt": addresses,
    "sheet_columns.txt": columns,
    "sheet_template.txt": template,
}


def write() -> None:
    """This will keep everything as it is now."""
    KEPT.mkdir(exist_ok=True)
    for name, made in OUTSIDE.items():
        (KEPT / name).write_text(made(), encoding="utf-8")


if __name__ == "__main__":
    import django

    django.setup()
    write()
