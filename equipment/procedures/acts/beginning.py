"""A step list begun from the general steps, for a kind of equipment that has none yet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from equipment.ledger.facts import Entered
from equipment.procedures.general import GENERAL
from fleet.acts.act import Act
from fleet.acts.fields import choice, day, text
from fleet.house.refusals import Refused
from fleet.models import Kind, User

from .procedures import NewStepList, enter_step_lists


def kinds_to_choose() -> list[tuple[str, str]]:
    return list(Kind.objects.order_by("name").values_list("code", "name"))


@dataclass(frozen=True, slots=True)
class BegunList:
    """For which kind a list is begun, and by which document it is worked."""

    kind: str = choice("Kind of equipment", kinds_to_choose)
    document: str = text("Approved data", 80, hint="The manual or task that the change is done by.")
    document_revision: str = text("Its revision", 24)
    from_on: date = day("From", help="The first day on which changes are worked by it.")
    code: str = text(
        "Code of the list", 32, default="", hint="Left blank: the kind's, with -CHANGE."
    )
    revision: str = text("Revision of the list", 24, default="1")


def begin_step_list(*, by: User, begun: BegunList, at: datetime) -> Entered:
    """This will put a list of the general steps on record for a kind of equipment.

    Refuses as :func:`enter_step_lists` does, at the fields: a code and revision on record with other
    contents, and a kind that there is not.
    """
    kind = Kind.objects.filter(code=begun.kind).first()
    if kind is None:
        raise Refused("unknown_kind", "There is no such kind of equipment.", "kind")
    row = NewStepList(
        code=begun.code.strip() or f"{kind.code}-CHANGE",
        revision=begun.revision.strip(),
        title=f"{kind.name}, change by general steps",
        kind_id=kind.pk,
        document=begun.document.strip(),
        document_revision=begun.document_revision.strip(),
        from_on=begun.from_on,
        steps=[replace(step, document=begun.document.strip()) for step in GENERAL],
    )
    [entered] = enter_step_lists(by=by, rows=[row], at=at)
    return entered


BEGIN_STEP_LIST = Act(
    name="begin_step_list",
    does=begin_step_list,
    said=BegunList,
    as_="begun",
    who="enter_procedures",
    known_by="its code and revision",
    tag="Procedures",
    summary="Begin a step list from general steps",
    description="Puts a list of general steps on record for a kind of equipment; the approved data governs.",
)
