"""Task cards and pick list of a check: each a page and a file, one row of it for each step and each unit."""

from __future__ import annotations

from collections.abc import Sequence

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.listing import CAUTION, Cell, Column, Listing
from equipment.common.pages.listed import is_demonstration, listed, printed_by, sent
from equipment.common.pages.person import person
from equipment.common.paper import Paper, Part, pdf_of
from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.models import Check
from fleet.words.said import count_words, day_words

from ..reads.cards import Card, CardStep, cards_of
from ..reads.package import Line, Package, package_of

STEPS = ("Step", "What", "Wanted", "Found", "Done", "Inspected")
STEP_SHARES = (0.5, 4, 1.8, 1.8, 1.4, 1.4)
CARDS = (
    Column("Card"),
    Column("Position"),
    Column("Unit"),
    Column("Works"),
    Column("Step"),
    Column("Phase"),
    Column("What"),
    Column("Caution"),
    Column("Wanted"),
    Column("Inspected by a second person"),
    Column("Data"),
)
PICKS = (
    Column("Where it lies", 2.4),
    Column("Unit", 2.4),
    Column("For position", 1.6),
    Column("Comes off", 2.4),
    Column("Needed on", 1.2),
    Column("Set aside by", 1.4),
    Column("State", 1.2),
    Column("Taken, by whom", 1.6),
)


def _asked(request: HttpRequest, check_id: int, page: str) -> tuple[Check, Package, str]:
    rows = Check.objects.select_related("aircraft__aircraft_type", "station")
    check = get_object_or_404(rows, pk=check_id)
    address = request.build_absolute_uri(reverse(page, args=[check.pk]))
    return check, package_of(check, today()), address


@require_safe
@never_cache
@reader
def cards_page(request: HttpRequest, check_id: int) -> HttpResponse:
    """A card for each job of the check, with the steps of the list in force on its first day."""
    check, package, _ = _asked(request, check_id, "scheduling:check_cards")
    context = {"check": check, "package": package, "cards": cards_of(package)}
    return render(request, "scheduling/packages/cards.html", context)


@require_safe
@never_cache
@reader
def cards_file(request: HttpRequest, check_id: int, form: str) -> HttpResponse:
    """The cards on paper, each beginning a page, or their steps as a workbook or CSV."""
    check, package, address = _asked(request, check_id, "scheduling:check_cards")
    cards = cards_of(package)
    if form != "pdf":
        return listed(request, form, lambda: _cards_listing(package, cards, address))
    begin = request.build_absolute_uri(reverse("equipment:swap_start"))
    paper = cards_paper(package, cards, address, begin, printed_by(request))
    return sent(pdf_of(paper), "pdf", f"cards-{check.aircraft.registration}-{check.name}.pdf"[:60])


def cards_paper(
    package: Package, cards: Sequence[Card], address: str, begin: str, printed: str
) -> Paper:
    """All cards: first what there is, then each on a page of its own with a code that begins its swap."""
    check = package.check
    parts = [
        Part(
            "Cards",
            ("No.", "Position and unit", "Works", "Last day"),
            (0.5, 4, 4, 1.2),
            [
                (
                    str(card.number),
                    card.title.partition(": ")[2],
                    works_of(card.line),
                    _last(card.line),
                )
                for card in cards
            ],
        )
    ]
    for card in cards:
        parts += _card_parts(card, begin)
    return Paper(
        title=f"Task cards of {check.name}, {check.aircraft.registration}",
        state=f"By the plan of {day_words(package.as_of)}. {count_words(len(cards))} cards.",
        facts=_facts(package),
        parts=parts,
        notes=[CAUTION],
        address=address,
        is_demonstration=is_demonstration(),
        printed=printed,
        is_wide=True,
    )


def _card_parts(card: Card, begin: str) -> list[Part]:
    works = [(work.work, work.limit, work.document, work.unit) for work in card.line.works]
    place = card.line.place_id
    steps = [_step_row(step) for step in card.steps]
    return [
        Part(
            f"{card.title}. {card.data}",
            ("Work", "Limit", "Document", "On"),
            (2, 1.5, 3, 3),
            works,
            begins_page=True,
            address=f"{begin}?place={place}" if place else "",
        ),
        Part(
            "Steps",
            STEPS,
            STEP_SHARES,
            steps or [("", "as the approved data says", "", "", "", "")],
        ),
    ]


def _step_row(step: CardStep) -> tuple[str, ...]:
    words = f"CAUTION: {step.caution}\n{step.words}" if step.caution else step.words
    if not step.is_needed:
        words += "\nMay be left out."
    return (
        str(step.number),
        f"{step.phase}. {words}",
        step.wanted,
        "",
        "",
        "" if step.is_inspected else "not asked",
    )


def works_of(line: Line) -> str:
    return ", ".join(f"{work.work} ({work.limit})" for work in line.works)


def _last(line: Line) -> str:
    return day_words(line.job.last_on) if line.job.last_on else ""


def _facts(package: Package) -> list[tuple[str, str]]:
    check = package.check
    return [
        ("Aircraft", f"{check.aircraft.registration}, MSN {check.aircraft.msn or '–'}"),
        ("Check", f"{check.name}, {day_words(check.starts_on)} to {day_words(check.ends_on)}"),
        ("Station", f"{check.station.code} {check.station.name}"),
    ]


def _cards_listing(package: Package, cards: Sequence[Card], address: str) -> Listing:
    check = package.check
    rows: list[list[Cell]] = []
    for card in cards:
        row = card.line.job.row
        head: list[Cell] = [
            card.number,
            f"{row.position} {row.inside}".strip(),
            f"{row.part_number} S/N {row.serial_number}" if row.unit_id else "",
            works_of(card.line),
        ]
        steps: Sequence[CardStep | None] = card.steps or [None]
        for step in steps:
            told: list[Cell] = ["", "", "", "", "", ""]
            if step is not None:
                is_asked = "yes" if step.is_inspected else ""
                told = [step.number, step.phase, step.words, step.caution, step.wanted, is_asked]
            rows.append([*head, *told, card.data])
    return Listing(
        title=f"Task cards of {check.name}, {check.aircraft.registration}",
        as_of=f"By the plan of {day_words(package.as_of)}",
        columns=CARDS,
        rows=rows,
        address=address,
        name=f"cards-{check.aircraft.registration}-{check.name}"[:50].replace("/", "-"),
        is_wide=True,
    )


# --- pick list --------------------------------------------------------------------------------


def picked(package: Package) -> list[Line]:
    """What is to be taken from the stores for a check, in the order in which it lies; what nothing is set
    aside for first."""
    lines = [line for line in package.lines if line.place_id is not None]
    return sorted(
        lines,
        key=lambda line: (
            line.set_aside is not None,
            line.set_aside.where if line.set_aside else "",
            line.job.row.position,
            line.job.item_id,
        ),
    )


@require_safe
@never_cache
@reader
def picks_page(request: HttpRequest, check_id: int) -> HttpResponse:
    """What is to be taken from the stores for a check, by where it lies."""
    check, package, _ = _asked(request, check_id, "scheduling:check_picks")
    context = {
        "check": check,
        "package": package,
        "lines": picked(package),
        "may_request_purchase": may(person(request), "request_purchase"),
    }
    return render(request, "scheduling/packages/picks.html", context)


@require_safe
@never_cache
@reader
def picks_file(request: HttpRequest, check_id: int, form: str) -> HttpResponse:
    """The same on paper, as a workbook or CSV."""
    check, package, address = _asked(request, check_id, "scheduling:check_picks")
    if form not in ("pdf", "xlsx", "csv"):
        raise Http404("There is no such file.")
    return listed(request, form, lambda: _picks_listing(check, package, address))


def _picks_listing(check: Check, package: Package, address: str) -> Listing:
    tools = dict.fromkeys(tool for each in package.lists for tool in each.tools)
    return Listing(
        title=f"Pick list of {check.name}, {check.aircraft.registration}",
        as_of=f"By the plan of {day_words(package.as_of)}",
        columns=PICKS,
        rows=[_pick(line, check) for line in picked(package)],
        address=address,
        name=f"picks-{check.aircraft.registration}-{check.name}"[:50].replace("/", "-"),
        facts=[*_facts(package), ("Tools at hand", ", ".join(tools))],
        is_wide=True,
    )


def _pick(line: Line, check: Check) -> list[Cell]:
    row, aside = line.job.row, line.set_aside
    off = (row.line_part_number, row.line_serial_number)
    if not row.line_part_number:
        off = (row.part_number, row.serial_number)
    state = "NOTHING SET ASIDE"
    if aside:
        state = "handed out" if aside.is_issued else "to take"
        state = f"NOT TO BE TAKEN\n{aside.why_not}" if aside.why_not else state
    return [
        aside.where if aside else "",
        aside.unit if aside else line.none_words,
        f"{row.position} {row.inside}".strip(),
        f"{off[0]} S/N {off[1]}",
        line.job.on or check.starts_on,
        aside.by if aside else "",
        state,
        "",
    ]
