"""One word for one thing, on every screen, sheet, print and in the API's texts."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

#: What is no longer said -> what is said instead. Bands keep their codes for programs.
INSTEAD = {
    r"no basis": "data missing",
    r"out of phase": "before next check",
    r"beyond the plan": "after last planned check",
    r"before return to service": "parked",
    r"not on an aircraft": "off aircraft",
    r"at (the next|a later) check": "at next check, at later check, or the check's name",
    r"at worst": "no later than",
    r"reckoned as of": "calculated for",
    r"(clocks|clock) that did not decide": "other limits",
    r"runs out it may not fly": "not to fly after this date",
    r"\bit came on\b": "received on",
    r"came back on": "returned on",
    r"walk round it": "start walk-round",
    r"a ground time of its own": "extra ground time",
    r"(each|soft.{0,3}) weighs": "rank",
    r"^what is next$": "find",
    r"look and set aside": "reserve",
    r"^to go back$": "loans and cores due",
    r"^what became of it$": "result",
    r"^it is back\.?$": "record return",
    r"another is there now": "correct the component",
    r"^keep (it|the photo)( and .*)?$": "save",
    r"^it is (off|on)$": "record removal, record installation",
    r"^what was brought$": "earlier loads",
    r"\bas device\b": "theme",
    r"\bdays? left\b": "remaining: left is a side",
}
TAGS = re.compile(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}|<[^>]*>", re.DOTALL)
SHOWN_IN_TAGS = re.compile(r'(?:aria-label|placeholder|title|button|label)="([^"{]+)"')


def texts_of_templates() -> Iterator[tuple[str, str]]:
    for path in sorted((ROOT / "templates").rglob("*.html")):
        whole = path.read_text()
        pieces = [*TAGS.split(whole), *SHOWN_IN_TAGS.findall(whole)]
        yield from ((path.name, " ".join(piece.split())) for piece in pieces if piece.strip())


def texts_of_code() -> Iterator[tuple[str, str]]:
    """Every text in the code but docstrings, which users do not read unless the API's schema shows them."""
    for app in ("fleet", "equipment", "scheduling"):
        for path in sorted((ROOT / app).rglob("*.py")):
            if "migrations" in path.parts or "bench" in path.parts:
                continue
            tree = ast.parse(path.read_text())
            alone = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
            for node in ast.walk(tree):
                is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
                if is_text and id(node) not in alone:
                    yield path.name, node.value


def texts_of_scripts() -> Iterator[tuple[str, str]]:
    for path in sorted((ROOT / "fleet/static/face").glob("*.js")):
        for text in re.findall(r'"([^"\n]+)"|`([^`\n]+)`', path.read_text()):
            yield path.name, "".join(text)


def texts_kept_for_programs() -> Iterator[tuple[str, str]]:
    for path in sorted((ROOT / "tests/agreement/snapshots").iterdir()):
        for line in path.read_text().splitlines():
            yield path.name, line


SOURCES = {
    "screens": texts_of_templates,
    "acts, prints and refusals": texts_of_code,
    "scripts": texts_of_scripts,
    "API and sheets": texts_kept_for_programs,
}


@pytest.mark.parametrize("source", SOURCES.values(), ids=SOURCES)
def test_nothing_is_called_by_a_word_that_was_given_up(source):
    texts = list(source())
    found = [
        f"{where}: “{text[:90]}”: say {instead}"
        for old, instead in INSTEAD.items()
        for where, text in texts
        if re.search(old, text, re.IGNORECASE)
    ]

    assert len(texts) > 50
    assert not found


def test_a_part_and_its_serial_number_are_written_one_way():
    apart = re.compile(r"part_number(\.number)? \}\}\s*·\s*(S/N )?\{\{")
    found = [
        path.name for path in (ROOT / "templates").rglob("*.html") if apart.search(path.read_text())
    ]

    assert not found
