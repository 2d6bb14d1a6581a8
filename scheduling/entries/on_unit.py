"""What a controller enters of one unit: works done, life statements, extensions, dispositions; its page leads here."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from equipment.common.wording import unit_words
from equipment.ledger.nesting import inside_now
from equipment.models import Unit
from equipment.units.acts.corrected import CORRECT_UNIT
from equipment.units.sheets.papers import STATEMENTS
from fleet.house.pages import today
from fleet.house.refusals import Refusal
from fleet.intake.registry import SheetKind
from fleet.models import Measure
from fleet.offers.lines import line_act
from fleet.offers.offer import Offer
from fleet.offers.page import About, Done, Page
from scheduling.models import DueItem, Limit, Programme, Work
from scheduling.programme.acts.dispositions import DISPOSITION_DIRECTIVE
from scheduling.programme.acts.works import why_unshown
from scheduling.programme.sheets.allowances import EXTENSIONS
from scheduling.programme.sheets.works import WORKS_DONE

from .foretold.moves import Moves, Reach, foresee

TEMPLATE = "scheduling/entries/act.html"
Choices = Sequence[tuple[str, str]]
#: The columns of a sheet that name the unit, or what else a line may be about.
SUBJECT = ("maker", "part", "serial", "aircraft", "position")


@dataclass(frozen=True, slots=True)
class OnUnit:
    """One sort of line about a unit: where its page is, and its words."""

    kind: SheetKind
    name: str
    slug: str
    heading: str
    lead: str
    button: str
    judge: Callable[[Any], Sequence[Refusal]] | None = None


def _shown(line: Any) -> Sequence[Refusal]:
    """A work is shown by whoever did it, and by its paper; its withdrawal is not entered here."""
    return why_unshown(line)


SORTS = (
    OnUnit(
        WORKS_DONE,
        "unit_work",
        "work-done",
        "Record a work done",
        "What restarts its clocks: by whom, on which day, by which certificate.",
        "Save the work",
        _shown,
    ),
    OnUnit(
        STATEMENTS,
        "unit_life",
        "life",
        "State its life",
        "A total as a paper says it; later use counts on from the latest.",
        "Save the statement",
    ),
    OnUnit(
        EXTENSIONS,
        "unit_extension",
        "extension",
        "Record an extension",
        "An approved, numbered, one-time allowance on one limit.",
        "Save the extension",
    ),
)


def _works() -> Choices:
    return list(Work.objects.order_by("name").values_list("code", "name"))


def _programmes() -> Choices:
    return list(Programme.objects.order_by("code").values_list("code", "name"))


def _limits() -> Choices:
    rows = Limit.objects.order_by("code", "pk").values_list("code", "title")
    return [(code, f"{code}: {title}") for code, title in dict(rows).items()]


def _measures() -> Choices:
    return list(Measure.objects.order_by("name").values_list("code", "name"))


CHOSEN: Mapping[str, Callable[[], Choices]] = {
    "work": _works,
    "programme": _programmes,
    "limit": _limits,
    "measure": _measures,
}


def _about(request: HttpRequest, unit_id: int) -> About:
    """The unit, named as its sheet's line would name it."""
    unit = get_object_or_404(
        Unit.objects.select_related("original_part__maker", "part_number"), pk=unit_id
    )
    programme = (
        DueItem.objects.filter(unit=unit).values_list("limit__programme__code", flat=True).first()
    )
    return About(
        given={
            "unit_id": unit.pk,
            "maker": unit.original_part.maker.code,
            "part": unit.original_part.number,
            "serial": unit.serial_number,
        },
        subject=unit_words(unit),
        starts={"programme": programme or ""},
        back=reverse("equipment:unit", args=[unit.pk]),
        back_label="Back to the unit",
    )


def moved_of_unit(do: Callable[[], Any], about: About, typed: Any) -> list[Moves]:
    """What the act would move of the unit and of all that is inside it."""
    unit = about.given["unit_id"]
    return foresee(do, Reach(unit_ids=tuple(inside_now([unit])[unit])), [today()])


def _done(done: Done) -> str:
    return "This was on record already." if done.made == "known" else "It is on record."


def _offer(sort: OnUnit) -> Offer:
    columns = {column.field for column in sort.kind.columns}
    page = Page(
        address=f"units/<int:unit_id>/{sort.slug}/",
        name=sort.name,
        heading=sort.heading,
        lead=sort.lead,
        button=sort.button,
        done=_done,
        about=_about,
        known=tuple(name for name in SUBJECT if name in columns),
        template=TEMPLATE,
        stands_on="unit",
        foresee=moved_of_unit,
    )
    return Offer(line_act(sort.kind, f"enter_{sort.name}", {}, CHOSEN, sort.judge), None, page)


# --- dispositions -----------------------------------------------------------------------------


def _about_case(request: HttpRequest, limit_id: int, unit_id: int) -> About:
    """A unit under one paragraph of a directive."""
    limit = get_object_or_404(
        Limit.objects.select_related("programme"), pk=limit_id, is_directive=True
    )
    paragraph = f" paragraph {limit.paragraph}" if limit.paragraph else ""
    about = _about(request, unit_id)
    return replace(
        about,
        given={"unit_id": unit_id, "limit_id": limit.pk},
        subject=f"{about.subject} under {limit.document}{paragraph}",
        starts={"on": today()},
        back=reverse("scheduling:limit_compliance", args=[limit.pk]),
        back_label="Compliance",
    )


DISPOSED = Offer(
    DISPOSITION_DIRECTIVE,
    None,
    Page(
        address="directives/<int:limit_id>/units/<int:unit_id>/",
        name="disposition",
        heading="Decide a unit's case",
        lead="From a day on; the latest holds, the earlier ones stay on record.",
        button="Save the disposition",
        done="The disposition is on record.",
        about=_about_case,
        known=("limit", "unit"),
        template=TEMPLATE,
        foresee=moved_of_unit,
    ),
)
CORRECTED = Offer(
    CORRECT_UNIT,
    None,
    Page(
        address="units/<int:unit_id>/correct/",
        name="unit_correct",
        heading="Correct the unit",
        lead="What was typed wrong of it. It stays the same unit with its history; what the record said"
        " before is kept.",
        button="Save the correction",
        done="The unit is corrected.",
        about=_about,
        known=("unit",),
        first=("serial_number", "part_number", "maker", "manufactured_on", "reason", "document"),
        template=TEMPLATE,
        stands_on="unit",
        foresee=moved_of_unit,
    ),
)
OFFERS = (*(_offer(sort) for sort in SORTS), DISPOSED, CORRECTED)
