"""What a tag says of a unit, and why a tag is refused."""

from __future__ import annotations

from dataclasses import dataclass

from equipment.models import UnitTag
from fleet.acts.fields import choice, number, text
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import why_not_kept


@dataclass(frozen=True, slots=True)
class TagFact:
    """How the unit that came off is tagged; ``sort`` and ``why`` are those of ``UnitTag``.

    ``total_minutes`` and ``total_cycles`` are the unit's own, where they are known.
    """

    sort: str = choice("Tag", UnitTag.SORTS)
    why: str = choice("Because of", UnitTag.WHY, default="")
    words: str = text("In words", 300, default="")
    actions_needed: str = text("What must be done", 200, default="")
    exposure: str = text("What it was exposed to", 200, default="")
    preservation: str = text("How it was preserved", 200, default="")
    total_minutes: int | None = number("Its hours, in minutes", default=None, help="Its own.")
    total_cycles: int | None = number("Its cycles", default=None, help="Its own.")


def refuse_tag(tag: TagFact) -> None:
    """This will refuse a tag of an unknown sort, or one that does not say why."""
    if tag.sort not in dict(UnitTag.SORTS):
        raise Refused("unknown_tag", "Tag it serviceable, unserviceable or unsalvageable.", "tag")
    if tag.why not in dict(UnitTag.WHY):
        raise Refused("unknown_reason", "Choose one of the reasons listed.", "why")
    if tag.sort != "serviceable" and not (tag.why or tag.words.strip()):
        words = "Say why it is not serviceable: whoever gets it goes by that."
        raise Refused("missing", words, "why")
    reasons = Reasons()
    for name, most in (
        ("words", 300),
        ("actions_needed", 200),
        ("exposure", 200),
        ("preservation", 200),
    ):
        reasons.found += why_not_kept(getattr(tag, name), name, most)
    reasons.refuse()
