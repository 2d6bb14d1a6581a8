"""What a person sends from the pages of an own spreadsheet, put into what was said of it."""

from __future__ import annotations

from collections.abc import Mapping

from fleet.own_sheets.said import SheetSaid
from fleet.own_sheets.words.days import WAYS
from fleet.screens.days import day_typed

from .reads import Looked, limits_asked, words_in

TAKE, MEND, LEAVE, EACH = "take", "mend", "leave", "each"
Sent = Mapping[str, str]


def say_columns(looked: Looked, sent: Sent) -> None:
    """Roles by column, sheets left out, day or month first. What is as proposed is not said."""
    for g, group in enumerate(looked.groups):
        for number, sheet in group:
            said = looked.said.of(sheet.name)
            said.is_left_out = f"out-{number}" in sent
            for column in sheet.columns:
                role = sent.get(f"role-{g}-{column.at}")
                if role is None:
                    continue
                said.columns.pop(column.key, None)
                if role != column.proposed:
                    said.columns[column.key] = role
            if sent.get(f"ways-{g}", "") in WAYS:
                said.ways = sent[f"ways-{g}"]


def say_words(looked: Looked, sent: Sent) -> None:
    """What words for items and places mean, where that is not what they are taken for already."""
    words = words_in(looked)
    for name, listed, kept in (
        ("item", words.items, looked.said.kinds),
        ("place", words.places, looked.said.places),
    ):
        for n, word in enumerate(listed):
            means = " ".join(sent.get(f"{name}-{n}", "").split())
            if sent.get(f"{name}-{n}-word") == word.word and means and means != word.means:
                kept[word.word] = means[:80]


def say_missing(looked: Looked, sent: Sent) -> str:
    """Station, types, the day, limits; and of sheets what their lines do not tell. Answers what is wrong
    with the day, which then stays as it was; all else is kept."""
    said = looked.said
    fault = _say_day(looked, sent.get("day", "").strip())
    for name in ("station", "zone", "type", "document", "revision"):
        if name in sent:
            setattr(said, name, _plain(sent[name])[:80])
    for number, sheet in enumerate(looked.whole.sheets):
        _say_of_sheet(said.of(sheet.name), sent, number)
    for key in sent:
        if key.startswith("type-"):
            said.types[key.removeprefix("type-")] = _plain(sent[key])[:24]
    _say_limits(looked, sent)
    return fault


def _say_limits(looked: Looked, sent: Sent) -> None:
    said = looked.said
    kept = {"months": said.months, "hours": said.hours, "cycles": said.cycles}
    for each in limits_asked(looked):
        for measure, amounts in kept.items():
            name = f"{measure}-{each.added.key}"
            if name in sent:
                amounts[each.added.key] = sent[name].strip()
        if each.added.undated and f"months-{each.added.key}" in sent:
            said.back[each.added.key] = "yes" if f"back-{each.added.key}" in sent else ""


def _say_day(looked: Looked, text: str) -> str:
    try:
        looked.said.day = day_typed(text).isoformat() if text else looked.said.day
    except ValueError as fault:
        return str(fault)
    return ""


def _say_of_sheet(said: SheetSaid, sent: Sent, number: int) -> None:
    if f"aircraft-{number}" in sent:
        said.aircraft = _plain(sent[f"aircraft-{number}"]).upper()
    if f"item-{number}" in sent:
        said.item = _plain(sent[f"item-{number}"])
    if sent.get(f"ways-{number}", "") in WAYS:
        said.ways = sent[f"ways-{number}"]


def _plain(text: str) -> str:
    return " ".join(text.split())


def say_doubts(looked: Looked, sent: Sent) -> None:
    """Of each suspicious line: taken as it is, mended, or left out."""
    said = looked.said
    left, taken = set(said.left), set(said.taken)
    for doubt in looked.whole.doubts:
        of_all = sent.get(f"all-{doubt.code}", EACH)
        for line in doubt.lines:
            name = f"{doubt.code} {line.key}"
            does = sent.get(f"do-{name}", "") if of_all == EACH else of_all
            text = sent.get(f"to-{name}", line.meant).strip() or line.meant
            if does == LEAVE:
                left.add(line.line_key)
            elif does == MEND and text:
                said.mended[line.key] = text[:200]
            elif does == TAKE and (doubt.keeps_place or not doubt.is_left):
                taken.add(name)
    said.left, said.taken = sorted(left), sorted(taken)
