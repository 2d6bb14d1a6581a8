"""The work package as a file: paper to be carried, a workbook, or CSV; every item of it."""

from __future__ import annotations

from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.listing import CAUTION, Cell, Column, Listing, words_of
from equipment.common.pages.listed import is_demonstration, listed, printed_by, sent
from equipment.common.paper import Paper, Part, pdf_of
from fleet.house.pages import reader, today
from fleet.models import Check
from fleet.words.said import count_words, day_words

from ..reads.aside import SetAside
from ..reads.handed import Handed, handed_of
from ..reads.package import Behind, Line, Package, package_of

COLUMNS = (
    Column("Zone"),
    Column("Access"),
    Column("Position"),
    Column("Unit"),
    Column("Works and documents"),
    Column("Last day"),
    Column("Set aside"),
    Column("Where it lies"),
    Column("Step list"),
)
HEADS = (
    "Position",
    "Unit",
    "Works and documents",
    "Last day",
    "Set aside, and where",
    "Done, by whom",
)
SHARES = (1.6, 2.2, 4, 1.2, 2.4, 2)
IN_HAND = ("No.", "Item", "State", "Last day")


@require_safe
@never_cache
@reader
def package_file(request: HttpRequest, check_id: int, form: str) -> HttpResponse:
    """The package of a check on paper, as a workbook or CSV."""
    rows = Check.objects.select_related("aircraft", "station")
    check = get_object_or_404(rows, pk=check_id)
    package, address = (
        package_of(check, today()),
        reverse("scheduling:check_package", args=[check.pk]),
    )
    address = request.build_absolute_uri(address)
    if form != "pdf":
        return listed(request, form, lambda: listing_of(package, address))
    paper = paper_of(package, handed_of(check), address, printed_by(request))
    return sent(pdf_of(paper), "pdf", f"{name_of(check)}.pdf")


def name_of(check: Check) -> str:
    return f"package-{check.aircraft.registration}-{check.name}"[:50].replace("/", "-")


def title_of(check: Check) -> str:
    return f"Package of {check.name}, {check.aircraft.registration}"


def cells(behind: Behind, line: Line) -> list[Cell]:
    row, aside = line.job.row, line.set_aside
    return [
        behind.zone,
        behind.access,
        f"{row.position} {row.inside}".strip(),
        line.own_unit,
        _works(line),
        line.job.last_on,
        _aside_words(aside) if aside else line.none_words if line.lacks_unit else "",
        aside.where if aside else "",
        line.steps.title if line.steps else "",
    ]


def _aside_words(aside: SetAside) -> str:
    """The unit, and what stands against using it: paper is read where nobody can look it up."""
    return f"{aside.unit}\nNOT TO BE FITTED: {aside.why_not}" if aside.why_not else aside.unit


def _works(line: Line) -> str:
    told = [
        ", ".join(
            filter(
                None,
                (
                    work.work,
                    work.limit,
                    work.document,
                    work.unit if work.unit != line.own_unit else "",
                ),
            )
        )
        for work in line.works
    ]
    return "\n".join(told if line.place_id else [*told, "done in place"])


def listing_of(package: Package, address: str) -> Listing:
    check = package.check
    return Listing(
        title=title_of(check),
        as_of=f"By the plan of {day_words(package.as_of)}",
        columns=COLUMNS,
        rows=[cells(part, line) for part in package.parts for line in part.lines],
        address=address,
        name=name_of(check),
        is_wide=True,
    )


def paper_of(package: Package, handed: Handed | None, address: str, printed: str) -> Paper:
    """The package as it is carried: what is in the hangar's hands first, then each zone, then cautions."""
    check = package.check
    parts = [_of_zone(part) for part in package.parts]
    if handed is not None:
        parts.insert(0, _in_hand(handed))
    cautions = [
        (each.title, str(one.step), one.words) for each in package.lists for one in each.cautions
    ]
    parts.append(Part("Cautions", ("Step list", "Step", "Words"), (2, 0.6, 6), cautions))
    parts.append(Part("Documents", ("Document",), (1,), [(each,) for each in package.documents]))
    return Paper(
        title=title_of(check),
        state=f"By the plan of {day_words(package.as_of)}. {_count(package)}",
        facts=_facts(package, handed),
        parts=parts,
        notes=[*_left_out(package), CAUTION],
        address=address,
        is_demonstration=is_demonstration(),
        printed=printed,
        is_wide=True,
    )


def _count(package: Package) -> str:
    lacking = f", {count_words(package.lacking)} without a unit to take" if package.lacking else ""
    ending = "" if package.swaps == 1 else "s"
    return f"{count_words(len(package.lines))} jobs, {count_words(package.swaps)} swap{ending}{lacking}."


def _left_out(package: Package) -> list[str]:
    if not (package.now or package.unknown):
        return []
    return [
        f"Not all of this aircraft: {package.now} overdue or unserviceable and {package.unknown} with data missing"
        " stand at no check, and not on this paper."
    ]


def _facts(package: Package, handed: Handed | None) -> list[tuple[str, str]]:
    check = package.check
    tools = dict.fromkeys(tool for each in package.lists for tool in each.tools)
    facts = [
        ("Aircraft", check.aircraft.registration),
        ("Check", f"{check.name}, {day_words(check.starts_on)} to {day_words(check.ends_on)}"),
        ("Station", f"{check.station.code} {check.station.name}"),
        ("At hand", ", ".join(tools)),
    ]
    if handed is not None:
        facts.append(
            ("With", f"{handed.last.to.shown_name}, since {day_words(handed.last.handed_on)}")
        )
        facts.append(("What they must know", handed.last.note))
    return facts


def _of_zone(part: Behind) -> Part:
    head = f"{f'Zone {part.zone}' if part.zone else 'No zone'}, {part.access or 'nothing opened'}"
    rows = []
    for line in part.lines:
        _, _, position, unit, works, last_on, aside, where, _ = map(words_of, cells(part, line))
        rows.append((position, unit, works, last_on, f"{aside}\n{where}".strip(), ""))
    return Part(f"{head}: {len(rows)}", HEADS, SHARES, rows)


def _in_hand(handed: Handed) -> Part:
    def last(on: date | None) -> str:
        return day_words(on) if on else ""

    return Part(
        f"In the hangar: {handed.done} of {len(handed.items)} done",
        IN_HAND,
        (0.5, 4, 4, 1.2),
        [
            (
                str(each.row.number),
                "\n".join([each.name, *each.works]),
                f"{each.standing.word}. {each.standing.words}".strip(),
                last(each.due_on or each.row.last_on),
            )
            for each in handed.items
        ],
    )
