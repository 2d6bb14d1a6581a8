"""What the doors of a swap show, and how a whole swap is put together for them."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers

from equipment.common.doors.responses import PlaceShown, with_place
from equipment.judging.release.obstacles import StepState, stands_in_the_way
from equipment.models import (
    Discrepancy,
    InspectorCall,
    Signature,
    Step,
    StepEntry,
    StepList,
    Swap,
    SwapEnd,
)
from equipment.swaps.reads.contents import is_as_signed, is_current
from equipment.swaps.reads.resting import resting_of
from equipment.swaps.reads.rows import SwapRows, rows_of
from equipment.swaps.reads.state import state_of_rows
from equipment.units.doors.responses import InServiceShown
from fleet.doors.fields import Instant
from fleet.doors.rows import RowShown

from .requests import ABANDONED, OPEN, RELEASED


class EntryShown(RowShown):
    of = StepEntry
    shows = """
        id step.number values verdict sentence is_confirmed tool.code entered_at
        entered_by.username act_id
    """
    told = {
        "values": "The same in the rule's own units.",
        "verdict": "in, out, cannot_judge or none.",
        "sentence": "The verdict in words: by how much.",
    }
    typed = serializers.DictField(child=serializers.CharField(), help_text="As typed.")


class SignatureShown(RowShown):
    of = Signature
    shows = """
        id step.number by.username name statement data_revision is_ink ink_signer ink_stamp
        ink_on reason assigned.username digest signed_at act_id
    """
    told = {
        "is_ink": "In ink, on a card; `by` is who entered it.",
        "ink_signer": "Whose the ink is.",
        "name": "The signer's, as it was then.",
        "statement": "What was signed.",
        "digest": "SHA-256 of the facts signed.",
    }
    sort = serializers.ChoiceField(Signature.SORTS)
    authorisation = serializers.CharField(source="authorisation_words")
    is_as_signed = serializers.SerializerMethodField(
        help_text="Whether name, authorisation, time and facts are still those that were signed."
    )

    def get_is_as_signed(self, signature: Signature) -> bool:
        return is_as_signed(signature)


class StepSignatureShown(SignatureShown):
    counts = serializers.SerializerMethodField(
        help_text="Whether what was signed is still what stands there."
    )

    def get_counts(self, signature: Signature) -> bool:
        rows: SwapRows = self.context["rows"]
        step = next(step for step in rows.steps if step.pk == signature.step_id)
        return is_current(rows, step, signature)


class StepShown(serializers.Serializer[Any]):
    number = serializers.IntegerField()
    phase = serializers.ChoiceField(Step.PHASES)
    sort = serializers.ChoiceField(Step.SORTS)
    words = serializers.CharField()
    caution = serializers.CharField()
    document = serializers.CharField(help_text="Where it is not the list's.")
    rule = serializers.JSONField()
    is_needed = serializers.BooleanField(help_text="In this sort of swap.")
    is_inspected = serializers.BooleanField(help_text="A second person inspects it.")
    posts = serializers.CharField(help_text="removal, installation, or empty.")
    verdict = serializers.CharField(allow_null=True, help_text="Of the latest entry.")
    entry = EntryShown(allow_null=True, help_text="The latest, which counts.")
    signatures = StepSignatureShown(many=True)


class StepListShown(RowShown):
    of = StepList
    shows = "code revision title document document_revision"


class ObstacleShown(serializers.Serializer[Any]):
    code = serializers.CharField()
    message = serializers.CharField(source="sentence")
    step = serializers.IntegerField(source="step_number", allow_null=True)


class MoveShown(serializers.Serializer[Any]):
    movement = serializers.IntegerField(source="pk")
    unit = serializers.IntegerField(source="unit_id")
    happened_at = Instant(read_only=True)
    is_conforming = serializers.BooleanField()


class DiscrepancyShown(RowShown):
    of = Discrepancy
    shows = "id sort words found_at"


class CallShown(RowShown):
    of = InspectorCall
    shows = """
        id swap step.number called_at called_by.username coming_at coming_by.username
        ended_at
    """


class EndShown(RowShown):
    of = SwapEnd
    shows = "swap sort reason at by.username"
    told = {"sort": "released or abandoned."}
    dispositions = serializers.ListField(child=serializers.JSONField())
    works = serializers.ListField(child=serializers.CharField(), help_text="Works it counts as.")


class SwapRowShown(RowShown):
    of = Swap
    shows = """
        id aircraft.registration station.code reason sort work expected_off planned_on due_item
        donor_of corrects corrected_by.pk correction_reason is_transcribed opened_at
        opened_by.username act_id
    """
    told = {"is_transcribed": "Done on paper, entered afterwards."}
    sort = serializers.ChoiceField(Swap.SORTS)
    state = serializers.SerializerMethodField(help_text=f"{OPEN}, {RELEASED} or {ABANDONED}.")
    place = PlaceShown()

    def get_state(self, swap: Swap) -> str:
        end = getattr(swap, "end", None)
        return end.sort if end is not None else OPEN


CALL_COLUMNS = ("called_by", "coming_by")
_OF_STEP = (
    "number",
    "phase",
    "sort",
    "words",
    "caution",
    "document",
    "rule",
    "is_inspected",
    "posts",
)
SWAP_COLUMNS = (
    "aircraft",
    "station",
    "opened_by",
    "end",
    "corrected_by",
    *with_place("place"),
)


class ReadingOfSwap(serializers.Serializer[Any]):
    """One value that the release rests on."""

    step = serializers.IntegerField(source="number")
    words = serializers.CharField()
    sentence = serializers.CharField(help_text="The value against its limit, as it was judged.")
    tool = serializers.CharField(help_text="What it was read with; empty: nothing.")
    signed = serializers.CharField(help_text="Who signed it off, under what, when; empty: nobody.")
    inspected = serializers.CharField(help_text="Who inspected it, likewise; empty: nobody.")


class PhotoOfSwap(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    name = serializers.CharField()
    step = serializers.IntegerField(source="number", allow_null=True)


class InServiceOfSwap(serializers.Serializer[Any]):
    role = serializers.CharField(help_text="off or on.")
    unit = serializers.IntegerField(source="unit_id")
    life = InServiceShown(help_text="As it came off; of what went on, the day before.")


class RestingShown(serializers.Serializer[Any]):
    """What a release rests on, as its page shows it before it is signed."""

    readings = ReadingOfSwap(many=True)
    certificates = serializers.ListField(
        child=serializers.CharField(),
        help_text="Of the unit that went on, and of all in it, the latest first.",
    )
    photos = PhotoOfSwap(many=True)
    in_service = InServiceOfSwap(many=True, help_text="Hours and cycles of both units.")
    not_shown = serializers.ListField(
        child=serializers.CharField(),
        help_text="Of a card: the hold points that it does not show to be kept.",
    )


class SwapRest(serializers.Serializer[Any]):
    """What is read beside the swap's own row."""

    step_list = StepListShown(allow_null=True)
    steps = StepShown(many=True)
    removal = MoveShown(allow_null=True)
    installation = MoveShown(allow_null=True)
    obstacles = ObstacleShown(many=True, help_text="What stands in the way of its release.")
    rests_on = RestingShown()
    discrepancies = DiscrepancyShown(many=True, help_text="Not settled yet.")
    calls = CallShown(many=True, help_text="Inspectors waited for.")
    signatures = SignatureShown(many=True, help_text="Of the release and of handovers.")
    end = EndShown(allow_null=True)


class SwapShown(SwapRowShown, SwapRest):
    """A swap as it stands: every step with its latest entry and signatures, what is in the way."""

    def to_representation(self, instance: Swap) -> dict[str, Any]:
        """Out of the whole swap (``reads.rows.whole``), whose rows are read once."""
        rows = rows_of(instance)
        rest = SwapRest(_rest(instance, rows), context={"rows": rows})
        return {**SwapRowShown(instance).data, **rest.data}


def swaps_shown() -> QuerySet[Swap]:
    return Swap.objects.select_related(*SWAP_COLUMNS)


def _rest(swap: Swap, rows: SwapRows) -> dict[str, Any]:
    state = state_of_rows(rows, timezone.now())
    end = getattr(swap, "end", None)
    unsettled = Discrepancy.objects.filter(swap=swap, settlement=None)
    return {
        "step_list": swap.step_list,
        "steps": [_step(rows, *pair) for pair in zip(rows.steps, state.steps, strict=True)],
        "removal": rows.off,
        "installation": rows.on,
        "obstacles": [] if end is not None else stands_in_the_way(state),
        "rests_on": resting_of(rows),
        "discrepancies": unsettled.order_by("found_at", "pk"),
        "calls": swap.calls.filter(ended_at=None).select_related("step", *CALL_COLUMNS),
        "signatures": [each for each in rows.signatures if each.step_id is None],
        "end": end,
    }


def _step(rows: SwapRows, step: Step, state: StepState) -> dict[str, Any]:
    """One step, as needed as this sort of swap needs it: one list serves several."""
    entry = rows.entry(step.pk)
    signatures = [each for each in rows.signatures if each.step_id == step.pk]
    for row in [entry, *signatures]:
        if row is not None:
            row.step = step  # is read already: no query for each
    return {
        **{name: getattr(step, name) for name in _OF_STEP},
        "is_needed": state.is_needed,
        "verdict": state.verdict,
        "entry": entry,
        "signatures": signatures,
    }
