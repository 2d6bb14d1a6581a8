"""A condemnation that was a mistake is taken back: by name, with its document, never by another tag."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.common.said import UNIT_ID, unit_row
from equipment.common.texts import derived_act_id
from equipment.common.wording import unit_words
from equipment.keeping.derive import tell_condition
from equipment.models import Scrapping, TagTakenBack, Unit, UnitTag
from equipment.segregation.shop_first import condemnations_of
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import text
from fleet.acts.repeats import done_before
from fleet.house.desks import ACTS, ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import User
from fleet.words.said import day_words

from .units import lock_unit

NAME = "take_back_condemnation"


@dataclass(frozen=True, slots=True)
class CondemnedByMistake:
    """A unit was condemned by mistake, and who decides so says why and by which document."""

    unit_id: int = unit_row(help=UNIT_ID)
    reason: str = text("Why it was a mistake", 300, needed="Say why it was a mistake.")
    document: str = text(
        "Document", 80, needed="Name the document that decides it: an inspection's, an order's."
    )


@transaction.atomic
def take_back_condemnation(
    *, by: User, mistake: CondemnedByMistake, act_id: UUID, at: datetime
) -> TagTakenBack:
    """This will take back every condemnation of a unit. It is unserviceable from then on, until somebody
    who looked at it tags it serviceable; a failed test or a limit holds it as before.

    Refuses what is not condemned, what was made unusable before a witness (``unit_scrapped``), one
    without reason or document, and who condemned it, where anybody else might (``same_person``).
    """
    ask(by, NAME)
    rows = TagTakenBack.objects.filter(act_id=act_id)
    if done := done_before(act_id, NAME, {"mistake": mistake}, rows, by=by, at=at):
        return done
    reason = refuse_blank(mistake.reason, "Say why it was a mistake.", "reason", 300)
    document = refuse_blank(mistake.document, "Name the document that decides it.", "document", 80)
    unit = lock_unit(mistake.unit_id)
    tags = condemnations_of(unit.pk)
    _refuse(by, unit, tags)
    made = [
        TagTakenBack.objects.create(
            act_id=act_id if number == 0 else derived_act_id(act_id, f"tag {tag.pk}"),
            tag=tag,
            unit=unit,
            reason=reason,
            document=document,
            taken_back_at=at,
            taken_back_by=by,
        )
        for number, tag in enumerate(tags)
    ]
    _tag(by, unit, made[0], act_id, at)
    tell_condition([unit.pk])
    return made[0]


def _refuse(by: User, unit: Unit, tags: list[UnitTag]) -> None:
    words = unit_words(unit)
    if not tags:
        raise Refused("not_condemned", f"{words} is not condemned: nothing is taken back.", "unit")
    scrapped = Scrapping.objects.filter(tag__in=tags).first()
    if scrapped is not None:
        sentence = (
            f"{words} was made unusable before {scrapped.witness} on "
            f"{day_words(scrapped.scrapped_on)}: that is not taken back."
        )
        raise Refused("unit_scrapped", sentence, "unit")
    if by.pk in {tag.recorded_by_id for tag in tags} and _is_anybody_else(by):
        sentence = f"{by.shown_name} condemned {words}: another person takes it back."
        raise Refused("same_person", sentence, None)


def _is_anybody_else(by: User) -> bool:
    """Whether the house has another person whose role allows it."""
    others = User.objects.filter(is_active=True).exclude(pk=by.pk)
    return others.filter(roles__overlap=sorted(ACTS[NAME])).exists()


def _tag(by: User, unit: Unit, made: TagTakenBack, act_id: UUID, at: datetime) -> None:
    """Not condemned is not serviceable: nobody has looked at it yet."""
    words = f"Condemned by mistake, taken back by {made.document}: {made.reason}"
    UnitTag.objects.create(
        act_id=derived_act_id(act_id, "unserviceable"),
        unit=unit,
        sort="unserviceable",
        why="information",
        words=words[:300],
        actions_needed="Inspect it before it is tagged serviceable.",
        tagged_at=at,
        recorded_at=at,
        recorded_by=by,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBackShown:
    id: int
    unit: int = shown("unit_id")
    tag: int = shown("tag_id")
    reason: str
    document: str
    taken_back_at: datetime


# --- declared ---------------------------------------------------------------------------------

_SAID = {
    "unit": 512,
    "reason": "The tag was meant for serial 51022.",
    "document": "QTL 2024-117",
}
TAKE_BACK_CONDEMNATION = Act(
    name=NAME,
    does=take_back_condemnation,
    said=CondemnedByMistake,
    as_="mistake",
    tag="Beside a swap",
    summary="Take back a condemnation",
    description="Takes back, with reason and document, that a unit was tagged unsalvageable by mistake. It is "
    "unserviceable until it is tagged otherwise. Another person than who condemned it does this.",
    address="condemnations-taken-back",
    example={"act_id": EXAMPLE_ID, **_SAID},
    shows=TakenBackShown,
    answer={"id": 3, "tag": 61, "taken_back_at": "2024-03-04T08:00:00Z", **_SAID},
)
