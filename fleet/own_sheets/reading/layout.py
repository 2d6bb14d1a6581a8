"""Where the table of a sheet is: its titles, its heading rows, its lines, and what is none of these."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from fleet.own_sheets.words.counts import counted_in
from fleet.own_sheets.words.crafts import is_spares, registration_in
from fleet.own_sheets.words.days import looks_like_a_day
from fleet.own_sheets.words.heads import head_of, is_aspect
from fleet.own_sheets.words.marks import bare, is_date, is_filled, is_number, mark_of, text_in
from fleet.own_sheets.words.places import is_one_place

#: A heading row is looked for among so many first rows that hold something.
WITHIN = 40
_ENDS = re.compile(
    r"(GRAND |SUB ?)?TOTALS?\b|SUM\b|COUNT\b|PREPARED|CHECKED BY|APPROVED|SIGN(ED|ATURE)|REVISED|ISSUED BY|UPDATED|PRINTED|PAGE \d|END OF"
    r"|TOTALE\b|TOTAAL\b|SOMA\b|ELABORADO|APROVADO|VERIFICADO|COMPILATO|APPROVATO|REDATTO|OPGESTELD|GOEDGEKEURD|LEGEND|NOTES?\b|REMARKS? |\* |REV(ISION)? |COMPILED|GEPRUFT|UNTERSCHRIFT|SUMME|GESAMT|VISA |SIGNE|FIRMA|REVISADO|APROBADO|AUTHORI[SZ]ED|VERIFIED|QA |NAME |THIS (LIST|SHEET)|AVERAGE"
)
DATA, SECTION, LEFT_OUT = "line", "section word", "left out"


@dataclass(slots=True)
class Layout:
    """Every filled row of a sheet by what it is. Rows and columns count from 0.

    ``sections`` gives, for a line below a section word, that word; ``out`` says why a row is neither
    title, heading, line nor section word.
    """

    titles: list[int] = field(default_factory=list)
    headings: list[int] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    words: list[int] = field(default_factory=list)
    out: dict[int, str] = field(default_factory=dict)
    sections: dict[int, str] = field(default_factory=dict)
    names: list[str] = field(default_factory=list)
    title: str = ""


def layout_of(rows: Sequence[Sequence[object]]) -> Layout:
    """This will find the table of a sheet; without headings its first filled row begins the lines."""
    filled = [i for i, row in enumerate(rows) if any(map(is_filled, row))]
    found = Layout()
    if not filled:
        return found
    found.headings = _heading_rows(rows, filled)
    first = found.headings[0] if found.headings else filled[0]
    found.titles = [i for i in filled if i < first]
    found.title = " ".join(text_in(cell) for i in found.titles for cell in rows[i] if text_in(cell))
    width = max(len(rows[i]) for i in filled)
    found.names = _joined(rows, found.headings, width)
    after = found.headings[-1] if found.headings else -1
    _sort_lines(rows, [i for i in filled if i > after], found)
    return found


def _worth(row: Sequence[object]) -> float:
    """How much a row looks like headings: known words count, dates and numbers speak against it."""
    texts = [text_in(cell) for cell in row if text_in(cell)]
    if len(texts) < 2:
        return 0
    known = sum(min(head_of(text).sure, 2) for text in texts if len(text) < 60)
    against = sum(
        looks_like_a_day(cell) or is_number(cell) or mark_of(cell) is not None for cell in row
    )
    against += sum(bool(re.search(r"\d{3,}", text)) for text in texts)
    has_words = sum(not re.search(r"\d", text) and len(text) < 40 for text in texts)
    return known + 0.4 * has_words - 2 * against


def _heading_rows(rows: Sequence[Sequence[object]], filled: list[int]) -> list[int]:
    near = filled[:WITHIN]
    worth = {i: _worth(rows[i]) for i in near}
    best = max(near, key=lambda i: (worth[i], -i))
    if worth[best] < 2:
        return []
    at = near.index(best)
    if at + 1 < len(near) and _is_below(rows, best, near[at + 1], worth):
        return [best, near[at + 1]]
    if at and _is_below(rows, near[at - 1], best, worth):
        return [near[at - 1], best]
    return [best]


def _is_below(
    rows: Sequence[Sequence[object]], upper: int, lower: int, worth: dict[int, float]
) -> bool:
    """Whether two rows next to each other are one heading in two."""
    if lower - upper > 1 or worth[lower] < 1:
        return False
    above, below = ([text_in(cell) for cell in rows[i]] for i in (upper, lower))
    if any(looks_like_a_day(cell) or is_number(cell) for cell in (*rows[upper], *rows[lower])):
        return False
    if sum(map(is_one_place, above)) >= 2 and len(set(below)) < len(below):
        return True
    aspects = sum(is_aspect(text) for text in below if text)
    gaps = sum(1 for a, b in zip(above, below, strict=False) if b and not a)
    shared = sum(1 for a, b in zip(above, below, strict=False) if b and a)
    count = sum(bool(text) for text in above)
    works = sum(":" in head_of(text).role for text in above)
    if works == count >= 1 and gaps >= 2 and worth[lower] >= 2:
        return True  # LAST INSPECTION over a date and hours
    return (
        count >= 1 and (aspects >= 2 or (shared == 0 and gaps >= 1 and count >= 2)) and count != 1
    ) or (count == 1 and aspects >= 2 and worth[upper] > 0)


def _joined(rows: Sequence[Sequence[object]], headings: list[int], width: int) -> list[str]:
    """One heading for each column; a merged upper cell reaches over what is only said below it."""
    texts = [[text_in(cell) for cell in rows[i]] + [""] * (width - len(rows[i])) for i in headings]
    if not texts:
        return [""] * width
    if len(texts) == 1:
        return texts[0]
    names, above = [], ""
    for upper, lower in zip(*texts, strict=True):
        reaches = (
            not upper
            and bool(lower)
            and (
                is_aspect(lower)
                or head_of(lower).role.endswith(":")
                or is_one_place(above)
                or _counts_a_work(above, lower)
            )
        )
        above = upper if upper else above if reaches else ""
        names.append(f"{above} {lower}".strip())
    return names


def _counts_a_work(above: str, lower: str) -> bool:
    """FH or FC below OVERHAUL: of that work."""
    return ":" in head_of(above).role and bool(counted_in(bare(lower)).measure)


def _sort_lines(rows: Sequence[Sequence[object]], after: list[int], found: Layout) -> None:
    headings = [{bare(text_in(cell)) for cell in rows[i]} - {""} for i in found.headings]
    usual = _usual_fill(rows, after)
    section = ""
    for place, i in enumerate(after):
        sort, said = _sort_of(rows, i, after[place + 1 : place + 2], headings, usual)
        if sort == SECTION:
            section = said
            found.words.append(i)
        elif sort == LEFT_OUT:
            found.out[i] = said
        else:
            found.lines.append(i)
            if section:
                found.sections[i] = section


def _sort_of(
    rows: Sequence[Sequence[object]],
    i: int,
    below: list[int],
    headings: list[set[str]],
    usual: int,
) -> tuple[str, str]:
    """What a row below the headings is: a line, a section word (said), or left out (why)."""
    if _is_plainly_a_line(rows[i], usual):
        return DATA, ""
    texts = [text_in(cell) for cell in rows[i] if text_in(cell)]
    words = {bare(text) for text in texts} - {""}
    if words and any(len(words & of) >= max(2, 0.6 * len(of)) for of in headings):
        return LEFT_OUT, "the headings again"
    if is_an_end(texts, usual):
        return LEFT_OUT, "a total, note or signature"
    if len(texts) != 1 or usual <= 2:
        return DATA, ""
    if _is_a_section(rows[i], texts[0], rows, below):
        return SECTION, texts[0]
    is_note = not re.search(r"\d", texts[0]) and len(texts[0]) > 24
    return (LEFT_OUT, "a note") if is_note else (DATA, "")


def _is_plainly_a_line(row: Sequence[object], usual: int) -> bool:
    """A row with dates or numbers in it, as full as others, is nothing else."""
    full = sum(map(is_filled, row))
    return full > max(2, usual // 2) and any(is_date(cell) or is_number(cell) for cell in row)


def _usual_fill(rows: Sequence[Sequence[object]], lines: list[int]) -> int:
    counts = sorted(sum(map(is_filled, rows[i])) for i in lines)
    return counts[len(counts) * 3 // 4] if counts else 0


def is_an_end(texts: list[str], usual: int) -> bool:
    """Totals, signature lines, notes: few cells, the first of which says so."""
    few = len(texts) <= max(2, usual // 2)
    return few and bool(_ENDS.match(bare(texts[0]) + " "))


def _is_a_section(
    row: Sequence[object], text: str, rows: Sequence[Sequence[object]], below: list[int]
) -> bool:
    """A word alone in its row, with fuller rows below: SPARES, a registration, a kind of equipment."""
    if len(text) > 60 or not below or is_number(next(c for c in row if text_in(c))):
        return False
    if is_spares(text) or registration_in(text):
        return True
    follows = sum(1 for cell in rows[below[0]] if text_in(cell))
    return follows > 2 and not re.search(r"\d{3,}", text) and len(text.split()) <= 5
