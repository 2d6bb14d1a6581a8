"""Authorisations: who may sign what, on which types, from when to when."""

from __future__ import annotations

from fleet.intake.registry import SheetKind
from fleet.intake.said import column_of
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded
from fleet.models import Authorisation, User
from fleet.people.acts.authorisations import NewAuthorisation

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


#: In the order of the sheet.
SAID = (
    "person",
    "number",
    "sort",
    "title",
    "acts",
    "aircraft_types",
    "kinds",
    "stamp",
    "from_on",
    "until_on",
)

AUTHORISATIONS = SheetKind(
    "Authorisations",
    "Licences and company approvals: what each person may sign, from when to when.",
    15,
    "enter_authorisation",
    tuple(column_of(NewAuthorisation, name) for name in SAID),
    bring_authorisations,
)

SHEETS = (AUTHORISATIONS,)
