"""An item of a package is not done at its check: carried forward, with approval and reason."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.pages import zone
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import refuse_blank
from fleet.models import Check, User
from scheduling.models import CarriedForward, DueItem, PackageItem

from ..standing import CARRIED, DONE, why_not_carry
from .held import handed, lock_check, refuse_closed


@dataclass(frozen=True, slots=True)
class NotDone:
    """Why an item is not done at its check, who approved it, by which document, and when it is done instead."""

    item_id: int = number("The item", least=1, name="item", help="Its id in the package.")
    reason: str = text("Why it is not done", 200, needed="Say why it is not done now.")
    approval: str = text("Approval", 80, needed="Name the approval: its number or document.")
    approved_by: str = text("Approved by", 80, needed="Say who approved it.")
    to_check_id: int | None = number(
        "Done at",
        least=1,
        name="to_check",
        default=None,
        help="A later check of the same aircraft.",
    )


@transaction.atomic
def carry_forward(*, by: User, not_done: NotDone, act_id: UUID, at: datetime) -> CarriedForward:
    """This will carry an item of a package forward. It moves no limit: refuses what is past its last day, or
    would be by the check that it is carried to; an item that is done, or carried already; a closed check.
    """
    ask(by, "carry_forward")
    rows = CarriedForward.objects.filter(act_id=act_id)
    if done := done_before(act_id, "carry_forward", {"not_done": not_done}, rows, by=by, at=at):
        return done
    item = PackageItem.objects.filter(pk=not_done.item_id).first()
    if item is None:
        raise Refused("unknown_item", "There is no such item of a package.", "item")
    reason = refuse_blank(not_done.reason, "Say why it is not done now.", "reason", 200)
    approval = refuse_blank(not_done.approval, "Name the approval.", "approval", 80)
    approved_by = refuse_blank(not_done.approved_by, "Say who approved it.", "approved_by", 80)
    check = lock_check(item.check_planned_id)
    refuse_closed(check)
    _refuse_ended(check, item)
    to = _to(check, not_done.to_check_id)
    due_on = DueItem.objects.filter(pk=item.due_item).values_list("due_on", flat=True).first()
    today = at.astimezone(zone()).date()
    Reasons(why_not_carry(due_on, today, to.starts_on if to else None)).refuse()
    return CarriedForward.objects.create(
        act_id=act_id,
        item=item,
        to_check=to,
        reason=reason,
        approval=approval,
        approved_by=approved_by,
        due_on=due_on,
        carried_at=at,
        carried_by=by,
    )


def _refuse_ended(check: Check, item: PackageItem) -> None:
    [now] = [each for each in handed(check).items if each.row.pk == item.pk]
    if now.standing.state in (DONE, CARRIED):
        words = f"It is {now.standing.word} already. {now.standing.words}"
        raise Refused("item_ended", words, "item")


def _to(check: Check, key: int | None) -> Check | None:
    """The later check that it is carried to, if one is named."""
    if key is None:
        return None
    found = Check.objects.filter(pk=key, aircraft=check.aircraft_id, is_cancelled=False).first()
    if found is None or found.starts_on <= check.starts_on:
        words = f"Name a later check of {check.aircraft}, or none."
        raise Refused("not_a_later_check", words, "to_check")
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriedShown:
    id: int
    item: int = shown("item_id")
    to_check: int | None = shown("to_check_id")
    reason: str
    approval: str
    approved_by: str
    due_on: date | None
    carried_at: datetime


# --- declared ---------------------------------------------------------------------------------

CARRY_FORWARD = Act(
    name="carry_forward",
    does=carry_forward,
    said=NotDone,
    as_="not_done",
    tag="Plan",
    summary="Carry an item forward",
    description="Says that an item of a package is not done at its check, why, and by whose approval. It moves no "
    "limit.",
    address="plan/package-items/<int:item_id>/carried-forward",
    in_address=("item_id",),
    example={
        "act_id": EXAMPLE_ID,
        "reason": "The spare came without its certificate.",
        "approval": "TC-2027-114",
        "approved_by": "O. Lind",
    },
    shows=CarriedShown,
    answer={
        "id": 3,
        "item": 12,
        "to_check": None,
        "reason": "The spare came without its certificate.",
        "approval": "TC-2027-114",
        "approved_by": "O. Lind",
        "due_on": "2027-06-01",
        "carried_at": "2027-03-01T10:00:00Z",
    },
)
