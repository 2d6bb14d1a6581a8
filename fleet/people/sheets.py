"""Sheets of people: who works here, in which roles; who may sign what, from when to when."""

from __future__ import annotations

from fleet.house.desks import ROLES
from fleet.house.refusals import Refused
from fleet.intake.registry import SheetKind
from fleet.intake.said import column_of, columns_of
from fleet.loading import lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded
from fleet.models import Authorisation, Station, User
from fleet.people.acts.authorisations import NewAuthorisation
from fleet.people.acts.people import Invitation, invite_people, why_not_invited

ACTS = {code for code, _ in Authorisation.ACTS}


def bring_people(batch: Batch) -> None:
    """Whoever is not here yet is invited, all in one act. Whoever is here is known if the line says the
    same; else it is changed on the person's page, not by a load."""
    stations = {code: key for code, key in Station.objects.values_list("code", "pk")}
    homes = batch.found("home_station", stations, "station")
    rows = {line: _invitation(batch, line, homes[line]) for line in batch.good}
    here = {person.username.lower(): person for person in User.objects.all()}
    for line, row in list(rows.items()):
        if person := here.get(row.username.lower()):
            _compare(batch, line, row, person)
            del rows[line]
    for (line, _), found in zip(
        list(rows.items()), why_not_invited(list(rows.values())), strict=True
    ):
        for refusal in found:
            batch.refuse(line, refusal.field, refusal.code, refusal.message)
    new = [row for line, row in rows.items() if batch.is_good(line)]
    batch.touch()
    try:
        invite_people(by=batch.bringing.by, rows=new, at=batch.bringing.at)
    except Refused as refused:
        batch.refuse_all(refused)


def _invitation(batch: Batch, line: int, home: int | None) -> Invitation:
    cells = batch.line(line)
    words = {words.lower(): code for code, words in ROLES}
    roles = tuple(words.get(role.lower(), role.lower()) for role in cells["roles"] or ())
    names = {name: cells[name] or "" for name in ("username", "first_name", "last_name")}
    return Invitation(**names, roles=roles, home_station_id=home)


def _compare(batch: Batch, line: int, row: Invitation, person: User) -> None:
    said = {
        "first_name": (row.first_name, person.first_name),
        "last_name": (row.last_name, person.last_name),
        "roles": (sorted(row.roles), sorted(person.roles)),
        "home_station": (row.home_station_id, person.home_station_id),
    }
    differing = [name for name, (brought, kept) in said.items() if brought != kept]
    if not differing:
        batch.know([line])
        return
    column = batch.table.kind.column(differing[0]).name
    batch.refuse(
        line,
        differing[0],
        "differs_from_record",
        f"{person.shown_name} is here already with another '{column}'. A load invites people and does not change"
        " them: put the line right, or change it on the person's page.",
    )


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

PEOPLE = SheetKind(
    "People",
    "Who works here, in which roles. Each is invited: an administrator hands on a one-time address.",
    12,
    "manage_people",
    columns_of(Invitation),
    bring_people,
    [["d.follows", "Dagny", "Follows", "technician, inspector", "QEX1"]],
)
AUTHORISATIONS = SheetKind(
    "Authorisations",
    "Licences and company approvals: what each person may sign, from when to when.",
    15,
    "enter_authorisation",
    tuple(column_of(NewAuthorisation, name) for name in SAID),
    bring_authorisations,
)

SHEETS = (PEOPLE, AUTHORISATIONS)
