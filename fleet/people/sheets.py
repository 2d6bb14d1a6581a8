"""Authorisations: who may sign what, on which types, from when to when."""

from __future__ import annotations

from fleet.intake.columns import CHOICE, CODE, DAY, LIST
from fleet.intake.registry import Column, SheetKind
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded
from fleet.models import Authorisation, User

ACTS = {code for code, _ in Authorisation.ACTS}


def bring_authorisations(batch: Batch) -> None:
    people = {name.upper(): key for name, key in User.objects.values_list("username", "pk")}
    users = batch.found("person", people, "person")
    for line in batch.good:
        _refuse_wrong(batch, line)
    names = ("number", "sort", "title", "stamp", "from_on", "until_on")
    values = {
        "user_id": users,
        **{name: batch[name] for name in names},
        "acts": [_lower(acts) for acts in batch["acts"]],
        "aircraft_types": [list(types or ()) for types in batch["aircraft_types"]],
        "kinds": [list(kinds or ()) for kinds in batch["kinds"]],
    }
    key = ("number", "from_on")
    bring_plain(batch, Authorisation, key=key, values=values, fixed=recorded(batch))


def _lower(acts: tuple[str, ...] | None) -> list[str]:
    return [act.lower() for act in acts or ()]


def _refuse_wrong(batch: Batch, line: int) -> None:
    wrong = [act for act in _lower(batch["acts"][line]) if act not in ACTS]
    if wrong:
        batch.refuse(
            line,
            "acts",
            "unknown_act",
            f"'{wrong[0]}' is not an act that is authorised. Write some of: {', '.join(sorted(ACTS))}.",
        )
    if batch["until_on"][line] < batch["from_on"][line]:
        batch.refuse(
            line,
            "until_on",
            "an_authorisation_lasts_at_least_a_day",
            "It ends before it begins. Correct one of the two days.",
        )
    named = (
        ("aircraft_types", lookups.codes_of_types(batch)),
        ("kinds", lookups.codes_of_kinds(batch)),
    )
    for field, known in named:
        for code in batch[field][line] or ():
            if code.upper() not in known:
                batch.refuse_unknown(line, field, code, known, field.replace("_", " ").rstrip("s"))


AUTHORISATIONS = SheetKind(
    "Authorisations",
    "Licences and company approvals: what each person may sign, from when to when.",
    15,
    "enter_authorisation",
    (
        Column(
            "Person",
            "person",
            CODE,
            True,
            "The person's sign-in name.",
            ("user", "username"),
            most=150,
        ),
        Column("Number", "number", CODE, True, "Number of the licence or approval.", most=40),
        Column(
            "Kind",
            "sort",
            CHOICE,
            True,
            "licence or company approval.",
            ("sort",),
            choices=dict(Authorisation.SORTS),
        ),
        Column("Title", "title", meaning="Occupational title."),
        Column("Acts", "acts", LIST, True, "sign_step, inspect, release."),
        Column("Aircraft types", "aircraft_types", LIST, meaning="Codes; blank: any."),
        Column(
            "Kinds of equipment", "kinds", LIST, meaning="Codes; blank: any.", aliases=("kinds",)
        ),
        Column("Stamp", "stamp", meaning="Number on the stamp.", most=24),
        Column("From", "from_on", DAY, True, "First day."),
        Column("Until", "until_on", DAY, True, "Last day."),
    ),
    bring_authorisations,
)

SHEETS = (AUTHORISATIONS,)
