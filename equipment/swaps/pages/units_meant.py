"""The pages of a removal and an installation: which unit is meant, what it is offered against."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from equipment.common import scanned
from equipment.common.wording import unit_words
from equipment.ledger.facts import When
from equipment.models import Movement, Unit
from equipment.swaps.acts import FoundUnit, TagFact
from equipment.swaps.reads.start import candidates_at
from fleet.screens.act_forms import SaidForm

from .forms import InstallationForm, RemovalForm, UnitCorrectionForm, UnitForm
from .named import Named
from .shown import SwapPage

Found = Unit | FoundUnit


@dataclass(frozen=True, slots=True)
class Offered:
    """A unit that may be meant, with what speaks against it."""

    id: int
    words: str
    more: str = ""
    why_not: tuple[str, ...] = ()
    is_chosen: bool = False


def found_by(form: UnitForm) -> Found | None:
    """The unit that a form means: its plate, else its code, else the one ticked; faults go on the form."""
    given = form.cleaned_data
    if given.get("part_number") or given.get("serial_number"):
        return _by_plate(form)
    if given.get("code"):
        return by_code(form)
    unit = Unit.objects.filter(pk=given.get("unit") or 0).first()
    if unit is None:
        words = "Scan the unit, choose it below, or write what its plate says."
        form.add_error("code", ValidationError(words, code="unit_missing"))
    return unit


def _by_plate(form: UnitForm) -> Found | None:
    number, serial = (form.cleaned_data[name].strip() for name in ("part_number", "serial_number"))
    for name, said in (("part_number", number), ("serial_number", serial)):
        if not said:
            form.add_error(name, ValidationError("Write this one too.", code="missing"))
    if not number or not serial:
        return None
    known = scanned.units_of(f"{number} {serial}", timezone.now().year)
    return known[0] if len(known) == 1 else FoundUnit(number, serial)


def by_code(form: UnitForm | UnitCorrectionForm) -> Unit | None:
    """The one unit that the form's code means; faults go on the form."""
    known = scanned.units_of(form.cleaned_data["code"], timezone.now().year)
    if len(known) == 1:
        return known[0]
    if known:
        several = "; ".join(unit_words(unit) for unit in known)
        words = f"Several units have this number: {several}. Give part number and serial number."
    else:
        words = (
            "No unit on record has this code. Open “Another unit” and write what its plate says."
        )
    form.add_error("code", ValidationError(words, code="unit_unknown"))
    return None


def facts_of(form: UnitForm, found: Found | None) -> dict[str, Any]:
    """What both acts take: the unit, the moment, what the aircraft had then."""
    given = form.cleaned_data
    return {
        "unit_id": found.pk if isinstance(found, Unit) else None,
        "found": found if isinstance(found, FoundUnit) else None,
        "when": in_order(form.when, found),
        "minutes": given["hours"],
        "cycles": given["cycles"],
        "log_page": given["log_page"],
        "is_confirmed": given["is_confirmed"],
    }


def in_order(when: When, found: Found | None) -> When:
    """A moment said to the minute, in the order of the record: not before what was recorded of the unit
    in that same minute, such as its release to stock by the clerk some seconds ago."""
    if not isinstance(found, Unit):
        return when
    known = Movement.objects.of_unit(found).filter(is_conforming=True, happened_at__gt=when.at)
    latest = known.order_by("happened_at", "pk").last()
    if latest is None or latest.happened_at.replace(second=0, microsecond=0) != when.at:
        return when
    return replace(when, at=latest.happened_at)


def tag_of(form: RemovalForm) -> TagFact:
    given = form.cleaned_data
    return TagFact(sort=given["tag"], why=given["why"], words=given["words"])


def choose_off(form: RemovalForm, shown: SwapPage) -> None:
    """The unit on record is the one meant unless something else is said."""
    if shown.swap.expected_off_id:
        form.initial["unit"] = shown.swap.expected_off_id


def _offered(unit: Named, form: UnitForm, why_not: tuple[str, ...] = ()) -> Offered:
    chosen = form["unit"].value()
    return Offered(
        unit.unit_id or 0, unit.words, unit.more, why_not, str(chosen or "") == str(unit.unit_id)
    )


def _moment(form: UnitForm) -> dict[str, Any]:
    """Folded away, since it is mostly now: the log gives the totals later; open if one is at fault."""
    fields = [form[name] for name in ("happened_at", "hours", "cycles", "log_page")]
    said = any(form[name].value() for name in ("hours", "cycles", "log_page"))
    return {"moment": fields, "is_moment_open": said or any(field.errors for field in fields)}


def off_context(form: RemovalForm, shown: SwapPage) -> dict[str, Any]:
    expected = shown.expected_off
    return {
        "swap": shown,
        "form": form,
        "heading": "What came off",
        "scan_help": "Leave it empty if it is the unit below.",
        "choose": "By the records this should come off",
        "units": [_offered(expected, form)] if expected else [],
        "other": "Another unit was there",
        "plate": [form["part_number"], form["serial_number"]],
        "groups": [
            [form["to"], form["shop"]],
            [form["tag"], form["why"], form["words"]],
        ],
        **_moment(form),
        "button": "Record the removal",
    }


def on_context(form: InstallationForm, shown: SwapPage) -> dict[str, Any]:
    if not form.is_bound and shown.swap.planned_on_id:
        form.initial["unit"] = shown.swap.planned_on_id
    units = [
        _offered(Named(each.words, each.more, each.unit_id), form, tuple(each.why_not))
        for each in candidates_at(shown.swap.place, shown.swap.expected_off_id)
    ]
    return {
        "swap": shown,
        "form": form,
        "heading": "What went on",
        "scan_help": "Leave it empty if it is one of the units below.",
        "choose": "Units that may go there",
        "units": units,
        "other": "Another unit",
        "plate": [form["part_number"], form["serial_number"]],
        **_moment(form),
        "button": "Record the installation",
    }


def back_of(shown: SwapPage, posts: str) -> str:
    """The step that a movement belongs to, or the whole list if no step records it."""
    for row in shown.rows:
        if row.posts == posts:
            return reverse("equipment:swap_step", args=[shown.id, row.number])
    return reverse("equipment:swap", args=[shown.id])


REASONS = {
    "abandon": (
        "Abandon this swap",
        "Only where it will not be finished. What was recorded stays readable.",
        "Abandon it",
    ),
    "correct": (
        "Correct this swap",
        "A new record begins that names this one; its signatures do not count for the new one.",
        "Begin the correction",
    ),
    "correct_unit": (
        "Correct one unit",
        "One fact, signed by itself: what was recorded is kept and replaced, and no step is signed again.",
        "Sign the correction",
    ),
}


def reason_context(
    form: SaidForm | UnitCorrectionForm, shown: SwapPage, what: str
) -> dict[str, Any]:
    heading, lead, button = REASONS[what]
    return {"swap": shown, "form": form, "heading": heading, "lead": lead, "button": button}
