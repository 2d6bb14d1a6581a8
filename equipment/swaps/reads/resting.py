"""What a release rests on, to be read before it is signed: readings against their limits, who inspected,
the papers of the unit that went on, the photos."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from equipment.common.wording import unit_words
from equipment.ledger.nesting import inside_now
from equipment.models import Attachment, Certificate, Signature, Step, SwapMovement
from equipment.units.lives import lines_of
from equipment.units.ports import LifeTotals, life_totals_of
from fleet.words.said import day_words, moment_words

from .contents import is_current
from .ink import not_shown_on_paper
from .rows import INSPECTIONS, SwapRows, day_of

#: Sorts of step of which nothing is measured: their word alone tells nothing that is not on the list.
UNMEASURED = frozenset({"confirm", "note", "photo"})


@dataclass(frozen=True, slots=True)
class Reading:
    """One value, as it was judged: ``sentence`` has the value and its limit, ``tool`` what it was read
    with; each signer with authorisation and time."""

    number: int
    words: str
    sentence: str
    tool: str
    signed: str
    inspected: str


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo or page of the swap; ``number`` is its step's, None where it is of the whole."""

    id: int
    name: str
    number: int | None


@dataclass(frozen=True, slots=True)
class InService:
    """A unit that came off (``role`` off) or went on, with its hours and cycles then."""

    role: str
    unit_id: int
    words: str
    life: LifeTotals

    @property
    def lines(self) -> list[tuple[str, str]]:
        return lines_of(self.life)


@dataclass(frozen=True, slots=True)
class Resting:
    """All of it. ``certificates`` are those of the unit that went on, and of what is in it; ``in_service``
    are the hours and cycles of both units; ``not_shown`` what a card does not show."""

    readings: list[Reading]
    certificates: list[str]
    photos: list[Photo]
    in_service: list[InService]
    not_shown: list[str]


def resting_of(rows: SwapRows) -> Resting:
    """A fixed number of queries for any number of steps."""
    return Resting(
        [_reading(rows, step) for step in rows.steps if _is_read(rows, step)],
        certificates_of(rows),
        photos_of(rows),
        in_service_of(rows),
        not_shown_on_paper(rows),
    )


def in_service_of(rows: SwapRows) -> list[InService]:
    """What came off as it came off, and what went on as it was before: it has not flown there yet."""
    found = []
    for role, move in sorted(rows.moves.items()):
        day = day_of(rows.swap, move.happened_at) - timedelta(days=role == SwapMovement.ON)
        if (life := life_totals_of([move.unit_id], day).get(move.unit_id)) is not None:
            found.append(InService(role, move.unit_id, unit_words(move.unit), life))
    return found


def _is_read(rows: SwapRows, step: Step) -> bool:
    return rows.entry(step.pk) is not None and (step.sort not in UNMEASURED or step.is_inspected)


def _reading(rows: SwapRows, step: Step) -> Reading:
    entry = rows.entry(step.pk)
    assert entry is not None
    tool = f"{entry.tool.code}, {entry.tool.description}" if entry.tool else ""
    return Reading(
        step.number,
        step.words,
        entry.sentence,
        tool,
        _signer(rows, step, Signature.STEP),
        _signer(rows, step, *INSPECTIONS),
    )


def _signer(rows: SwapRows, step: Step, *sorts: str) -> str:
    """Who signed what stands there, under what, when; empty where nobody has."""
    standing = [each for each in rows.of_step(step.pk, *sorts) if is_current(rows, step, each)]
    if not standing:
        return ""
    last = standing[-1]
    name = last.ink_signer if last.is_ink else last.name
    under = f", {last.authorisation_words}" if last.authorisation_words else ""
    return f"{name}{under}, {moment_words(last.signed_at)}"


def certificates_of(rows: SwapRows) -> list[str]:
    """The papers of the unit that went on, and of all in it, the latest first."""
    if rows.on is None:
        return []
    units = inside_now([rows.on.unit_id])[rows.on.unit_id]
    papers = Certificate.objects.filter(unit__in=units).select_related("unit__part_number")
    return [
        f"{unit_words(each.unit)}: {each.form} {each.tracking_number}, {each.status}, "
        f"{each.issuer}, {day_words(each.issued_on)}"
        for each in papers.order_by("-issued_on", "-pk")
    ]


def photos_of(rows: SwapRows) -> list[Photo]:
    """In the order of the steps."""
    numbers = {step.pk: step.number for step in rows.steps}
    kept = Attachment.objects.filter(swap=rows.swap).defer("content").order_by("pk")
    found = [Photo(each.pk, each.name, numbers.get(each.step_id or 0)) for each in kept]
    return sorted(found, key=lambda photo: (photo.number or 0, photo.id))
