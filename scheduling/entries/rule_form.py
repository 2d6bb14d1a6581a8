"""A limit built as a sentence: its rule, up to three clocks, up to three amounts of the first clock."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django import forms
from django.http import QueryDict

from fleet.house.refusals import Refusal
from fleet.intake.registry import Column, SheetKind
from fleet.loading.acts.lines import SheetLine
from fleet.models import Kind, Measure
from fleet.offers.lines import said_of
from fleet.screens.act_forms import SaidForm, form_of
from scheduling.models import Limit, Programme, Work
from scheduling.programme.sheets.amounts import AMOUNTS
from scheduling.programme.sheets.clocks import CLOCKS
from scheduling.programme.sheets.limits import LIMITS
from scheduling.programme.sheets.programmes import WORKS

Choices = Sequence[tuple[str, str]]
NUMBERS_OF_CLOCKS, NUMBERS_OF_AMOUNTS = 3, 3
NAMED = ("programme", "limit", "revision")


def _of(model: Any) -> Callable[[], Choices]:
    return lambda: [
        (code, f"{name} ({code})" if name != code else name)
        for code, name in model.objects.order_by("name").values_list("code", "name")
    ]


def _measures() -> Choices:
    return [("months", "months"), ("days", "days"), *_of(Measure)()]


CHOSEN: Mapping[str, Callable[[], Choices]] = {
    "programme": _of(Programme),
    "work": _of(Work),
    "kind": _of(Kind),
    "measure": _measures,
}


def _form(kind: SheetKind, name: str, without: Sequence[str]) -> type[SaidForm]:
    told = [column for column in kind.columns if column.field not in without]
    return form_of(said_of(told, name, {}, CHOSEN))


LimitForm = _form(LIMITS, "limit", ())
ClockForm = _form(CLOCKS, "clock", (*NAMED, "clock"))
AmountForm = _form(AMOUNTS, "amount", (*NAMED, "clock", "order"))

#: How the parts of the sentence are called where it is built.
LABELS = {
    "subject": "It is about",
    "kind": "of the kind",
    "work": "needs",
    "amount": "every",
    "measure": "counted in",
    "counts_from": "from",
    "first_from": "the first time from",
}
#: The fields of a limit in the order of its sentence; the rest on request, under these headings.
SENTENCE = ("subject", "kind", "work")
IDENTITY = ("programme", "limit", "revision", "title")
SOURCE = ("document", "document_revision", "from_on", "until_on", "reason")
CLOCK_SENTENCE = ("amount", "measure", "counts_from", "first_from")
ON_REQUEST: Mapping[str, tuple[str, ...]] = {
    "Only some of them": (
        "part_numbers",
        "standards",
        "serials",
        "manufactured_from",
        "manufactured_to",
        "positions",
        "msns",
        "quota",
    ),
    "Variation and extension": (
        "variation_days",
        "variation_percent",
        "variation_days_most",
        "variation_minutes",
        "variation_count",
        "next_from_original_due",
        "is_extendable",
        "extension_days_most",
        "extension_minutes_most",
        "extension_count_most",
    ),
    "Directive, and what else restarts it": ("is_directive", "paragraph", "also_reset_by", "when"),
}


class NewWorkForm(forms.Form):
    """A work that is not on record yet, by its name."""

    name = forms.CharField(label="or a work that is not on record", max_length=60, required=False)


class RuleForm:
    """The forms of one limit together: shape only, the sheets' own judgement says the rest."""

    def __init__(self, data: QueryDict | None, starts: Mapping[str, Mapping[str, Any]]) -> None:
        self.rule = LimitForm(data, initial=starts.get("rule"))
        self.new_work = NewWorkForm(data, prefix="new_work")
        self.clocks = [
            self._part(ClockForm, data, starts, f"clock{n}", needed=n == 1)
            for n in range(1, NUMBERS_OF_CLOCKS + 1)
        ]
        self.amounts = [
            self._part(AmountForm, data, starts, f"amount{n}", needed=False)
            for n in range(1, NUMBERS_OF_AMOUNTS + 1)
        ]
        self.is_bound = data is not None
        for form in (self.rule, *self.clocks):
            for name in LABELS.keys() & form.fields.keys():
                form.fields[name].label, form.fields[name].help_text = LABELS[name], ""
        self.clocks[0].fields["amount"].help_text = "Hours as 12000:00; blank where steps say it."
        if self.is_bound and self.new_name:
            self.rule.fields["work"].required = False

    @staticmethod
    def _part(
        form: type[SaidForm],
        data: QueryDict | None,
        starts: Mapping[str, Mapping[str, Any]],
        prefix: str,
        *,
        needed: bool,
    ) -> SaidForm:
        return form(
            data,
            prefix=prefix,
            initial=starts.get(prefix) if data is None else None,
            empty_permitted=not needed,
            use_required_attribute=False,
        )

    @property
    def new_name(self) -> str:
        return str(self.new_work.data.get("new_work-name", "")).strip()

    def is_valid(self) -> bool:
        several = [self.rule, self.new_work, *self.clocks, *self.amounts]
        return all([one.is_valid() for one in several])

    @property
    def has_errors(self) -> bool:
        several = (self.rule, self.new_work, *self.clocks, *self.amounts)
        return any(one.is_bound and one.errors for one in several)

    def lines(self) -> list[tuple[SaidForm | forms.Form, SheetLine]]:
        """The lines of the sheets that say it, each with the form that its refusals stand on."""
        rule = _cells(LIMITS.columns, self.rule.cleaned_data)
        found: list[tuple[SaidForm | forms.Form, SheetLine]] = []
        if self.new_name:
            rule["work"] = code_of(self.new_name)
            cells = {"code": rule["work"], "name": self.new_name}
            found.append((self.new_work, SheetLine(WORKS, cells)))
        found.append((self.rule, SheetLine(LIMITS, rule)))
        named = {name: rule[name] for name in NAMED}
        for number, form in enumerate(self.clocks, start=1):
            if number == 1 or _is_filled(form):
                cells = _cells(CLOCKS.columns, form.cleaned_data) | named | {"clock": str(number)}
                found.append((form, SheetLine(CLOCKS, cells)))
        for number, form in enumerate(self.amounts, start=1):
            if _is_filled(form):
                cells = _cells(AMOUNTS.columns, form.cleaned_data) | named
                more = {"clock": "1", "order": str(number)}
                found.append((form, SheetLine(AMOUNTS, cells | more)))
        return found

    def refuse(self, forms_of: Sequence[forms.Form], refusals: Sequence[Refusal]) -> None:
        """This will put each reason at its field, under the part of the sentence that it is about."""
        for each in refusals:
            place, _, name = (each.field or "").partition(".")
            form = forms_of[int(place)] if place.isdecimal() else self.rule
            known = name if name in form.fields else None
            form.add_error(known, each.message)


def code_of(name: str) -> str:
    """A code out of a work's name: ``Weight check`` is ``WEIGHT-CHECK``."""
    return "-".join(name.upper().split())[:24]


def _is_filled(form: SaidForm) -> bool:
    return bool(form.has_changed() and form.cleaned_data)


def _cells(columns: Sequence[Column], typed: Mapping[str, Any]) -> dict[str, Any]:
    return {column.field: typed.get(column.field, "") for column in columns}


# --- what a revision starts from ----------------------------------------------------------------


def starts_of(limit: Limit) -> dict[str, dict[str, Any]]:
    """What the form of a new revision shows at first: all that the one before says, but its revision,
    its source's revision, its days and the reason."""
    rule = {column.field: _kept(limit, column.field) for column in LIMITS.columns}
    rule |= {
        "programme": limit.programme.code,
        "limit": limit.code,
        "work": limit.work.code,
        "kind": limit.kind.code if limit.kind else "",
        "part_numbers": ", ".join(
            f"{part.maker.code}:{part.number}"
            for part in limit.part_numbers.select_related("maker")
        ),
        "also_reset_by": ", ".join(
            reset.work.code for reset in limit.resets.select_related("work")
        ),
        "serials": _spans(limit.serials),
        "msns": _spans(limit.msns),
        "variation_minutes": _hours(limit.variation_minutes),
        "extension_minutes_most": _hours(limit.extension_minutes_most),
        "revision": "",
        "document_revision": "",
        "from_on": None,
        "until_on": None,
        "reason": "",
    }
    return {"rule": rule, **_clocks_of(limit)}


def _clocks_of(limit: Limit) -> dict[str, dict[str, Any]]:
    """The clocks of a revision, and the amounts of its first one, as the form has them."""
    found: dict[str, dict[str, Any]] = {}
    measures = dict(Measure.objects.values_list("code", "unit"))
    for number, clock in enumerate(limit.clocks.prefetch_related("amounts").order_by("seq"), 1):
        found[f"clock{number}"] = _plain(CLOCKS, clock)
        amounts = sorted(clock.amounts.all(), key=lambda one: one.seq)
        is_hours = measures.get(clock.measure) == Measure.MINUTES
        backstop = _amount(clock.never_later_total, is_hours)
        found[f"clock{number}"]["never_later_total"] = backstop
        if len(amounts) == 1 and _is_one_figure(amounts[0]):
            found[f"clock{number}"]["amount"] = _amount(amounts[0].value, is_hours)
        elif number == 1:
            for order, one in enumerate(amounts[:NUMBERS_OF_AMOUNTS], 1):
                found[f"amount{order}"] = _plain(AMOUNTS, one)
                found[f"amount{order}"]["amount"] = _amount(one.value, is_hours)
    return found


def _plain(kind: SheetKind, row: Any) -> dict[str, Any]:
    return {
        column.field: _kept(row, column.field)
        for column in kind.columns
        if hasattr(row, column.field)
    }


def _kept(row: Any, name: str) -> Any:
    value = getattr(row, name, "")
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return "" if value in (None, 0) and not isinstance(value, bool) else value


def _is_one_figure(amount: Any) -> bool:
    chosen = (amount.share_percent, amount.age_from_months, amount.method, amount.standard)
    return amount.when == "any" and not any(chosen)


def _spans(listed: list[Any]) -> str:
    return ", ".join("..".join(one) if isinstance(one, list) else str(one) for one in listed)


def _amount(value: int | None, is_hours: bool) -> str:
    if value is None:
        return ""
    return _hours(value) if is_hours else str(value)


def _hours(minutes: int | None) -> str:
    return f"{minutes // 60}:{minutes % 60:02d}" if minutes else ""
