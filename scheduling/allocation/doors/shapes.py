"""What the doors of the allocation take and show."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from fleet.doors.fields import Shape, StrictInteger, StrictText
from fleet.doors.rows import RowShown
from scheduling.allocation.reads.kept import STATES, Wanted
from scheduling.models import PairingRuling


class NeedsAsked(Shape):
    """Which needs: empty is all."""

    station = StrictText(required=False, max_length=8, default="", help_text="A station's code.")
    kind = StrictText(required=False, max_length=24, default="", help_text="A kind's code.")
    state = serializers.ChoiceField(
        required=False, choices=STATES, default="", help_text="short, proposed or set_aside."
    )
    text = StrictText(required=False, max_length=40, default="", help_text="Of a position or unit.")
    page = StrictInteger(required=False, least=1, most=1000, default=1, help_text="Counted from 1.")


def wanted_of(asked: dict[str, Any]) -> Wanted:
    return Wanted(asked["station"], asked["kind"], asked["state"], asked["text"])


class WhyAsked(Shape):
    """One need, and a unit that is asked about."""

    need = StrictText(
        required=False,
        default="",
        max_length=120,
        help_text="The need's key, as the list of needs has it.",
    )
    unit = StrictInteger(
        least=1, required=False, help_text="A unit's id; without it every unit is told."
    )


class RulingShown(RowShown):
    of = PairingRuling
    shows = "id act_id sort unit reservation words"
    told = {"sort": "accept, lock, forbid or free."}
    need = serializers.CharField(source="need_key")
    ruled_at = serializers.DateTimeField()
    ruled_by = serializers.CharField(source="ruled_by.shown_name")


class NeedShape(serializers.Serializer[Any]):
    need = serializers.CharField(source="row.key")
    state = serializers.CharField(help_text="short, proposed or set_aside.")
    on = serializers.DateField(source="row.on")
    station = serializers.CharField(source="row.station")
    registration = serializers.CharField(source="row.registration")
    position = serializers.CharField(source="row.position")
    check_name = serializers.CharField(source="row.check_name")
    family = serializers.CharField(source="row.family")
    works = serializers.ListField(source="row.works", child=serializers.CharField())
    unit_off = serializers.IntegerField(source="row.unit_off_id")
    unit_off_words = serializers.CharField(source="row.off_words")
    unit = serializers.IntegerField(source="row.unit_id", allow_null=True)
    unit_words = serializers.CharField()
    pieces = serializers.IntegerField(
        source="row.pieces", help_text="Of what is tracked by batch: how many come off; else 1."
    )
    cost = serializers.IntegerField(source="row.cost")


class ProposalShown(serializers.Serializer[Any]):
    as_of = serializers.DateField(allow_null=True)
    until_on = serializers.DateField(allow_null=True)
    made_at = serializers.DateTimeField(allow_null=True)
    is_stale = serializers.BooleanField(help_text="Facts have changed since; it is being renewed.")
    needs = serializers.IntegerField()
    short = serializers.IntegerField()


class NeedPage(serializers.Serializer[Any]):
    next_page = serializers.IntegerField(allow_null=True)
    proposal = ProposalShown()
    counts = serializers.DictField(child=serializers.IntegerField())
    results = NeedShape(many=True)


class ReasonShown(serializers.Serializer[Any]):
    code = serializers.CharField()
    message = serializers.CharField()


class JudgedShown(serializers.Serializer[Any]):
    unit = serializers.IntegerField(source="offer.unit_id")
    unit_words = serializers.CharField(source="offer.words")
    may = serializers.BooleanField()
    sentences = serializers.ListField(child=serializers.CharField())
    against = ReasonShown(many=True)
    cost = serializers.IntegerField(source="cost.total", allow_null=True, default=None)
    taken_by = serializers.CharField(help_text="The need that it is proposed for, if another.")


class WhyShown(serializers.Serializer[Any]):
    need = serializers.CharField()
    units = JudgedShown(many=True)


class CureShown(serializers.Serializer[Any]):
    sort = serializers.CharField(help_text="hurry, move_check, lend or alternate.")
    unit = serializers.IntegerField(source="unit_id")
    days = serializers.IntegerField()
    price = serializers.IntegerField()
    sentence = serializers.CharField()


class ShortShown(serializers.Serializer[Any]):
    need = serializers.CharField(source="row.key")
    on = serializers.DateField(source="row.on")
    station = serializers.CharField(source="row.station")
    cures = CureShown(
        many=True,
        help_text="The cheapest first, ten at most; each was solved anew and leaves no other short.",
    )


class MonthShape(serializers.Serializer[Any]):
    month = serializers.DateField()
    needs = serializers.IntegerField()
    on_hand = serializers.IntegerField(
        help_text="As the month begins; in the running month, today."
    )
    coming_back = serializers.IntegerField()
    short = serializers.IntegerField()


class FamilyShape(serializers.Serializer[Any]):
    family = serializers.CharField(source="name")
    months = MonthShape(many=True)
    short = ShortShown(many=True)
    lacking = serializers.IntegerField(
        help_text="Removals that no unit covers: the same figure as the float's `short`."
    )
    unlisted = serializers.CharField(
        help_text="Where no fits tell hands and doors apart, in words; else empty."
    )


class ShortagePage(serializers.Serializer[Any]):
    proposal = ProposalShown()
    results = FamilyShape(many=True)


class OutShown(serializers.Serializer[Any]):
    need = serializers.CharField(source="key")
    out = serializers.DateField()
    back = serializers.DateField(allow_null=True)


class FloatShape(serializers.Serializer[Any]):
    family = serializers.CharField(source="name")
    needs = serializers.IntegerField()
    spares = serializers.IntegerField(help_text="The fewest with which no planned removal waits.")
    have = serializers.IntegerField(
        help_text="Units in stores and at shops that may cover at least one of these removals."
    )
    short = serializers.IntegerField(
        source="lacking", help_text="Removals that no unit covers: the figure of the shortage."
    )
    proof = OutShown(many=True, help_text="As many needs, none served by another's unit.")
    chains = serializers.ListField(child=serializers.ListField(child=serializers.CharField()))
    unlisted = serializers.CharField(
        help_text="Where no fits tell hands and doors apart, in words; else empty."
    )


class ChanceShape(serializers.Serializer[Any]):
    kind = serializers.CharField()
    removals_a_year = serializers.FloatField()
    turn_days = serializers.IntegerField()
    fill_rate = serializers.FloatField()
    spares = serializers.IntegerField(source="cover.spares")
    fill_rate_got = serializers.FloatField(source="cover.fill_rate")
    ready_rate = serializers.FloatField(source="cover.ready_rate")


class ToOwnShape(serializers.Serializer[Any]):
    kind = serializers.CharField()
    planned = serializers.IntegerField(help_text="For the plan, proven.")
    unforeseen = serializers.IntegerField(
        allow_null=True, help_text="For chance; null where no rate is given."
    )
    to_own = serializers.IntegerField(source="total", help_text="Both together.")
    have = serializers.IntegerField(help_text="Good for at least one planned removal.")
    missing = serializers.IntegerField()


class FloatPage(serializers.Serializer[Any]):
    proposal = ProposalShown()
    planned = FloatShape(many=True)
    unforeseen = ChanceShape(many=True, help_text="Poisson; apart from what is planned.")
    to_own = ToOwnShape(many=True, help_text="By kind, both together.")


class ToBuyShown(serializers.Serializer[Any]):
    family = serializers.CharField()
    parts = serializers.ListField(child=serializers.CharField())
    kind = serializers.CharField()
    planned = serializers.IntegerField(help_text="Removals planned in the horizon.")
    unforeseen_a_year = serializers.FloatField()
    turn_days = serializers.IntegerField()
    least = serializers.IntegerField(help_text="Least stock: the proven float.")
    reorder_at = serializers.IntegerField()
    good = serializers.IntegerField()
    coming = serializers.IntegerField(help_text="Asked for or ordered, and not received yet.")
    to_order = serializers.IntegerField()
    why = serializers.CharField()


class ToBuyPage(serializers.Serializer[Any]):
    proposal = ProposalShown()
    results = ToBuyShown(many=True, help_text="What lacks most first.")
