"""Everything that people do to a swap. The swap is held first, then places, then units.

open_swap(*, by, new: NewSwap, act_id, at, sender_at=None) -> Swap
enter_step(*, by, swap_id, step_id, typed, tool_code="", is_confirmed=False, act_id, at, sender_at=None) -> StepEntry
sign_step, inspect_step, reinspect_step, refuse_inspection(*, proof, swap_id, step_id, act_id, at, …) -> Signature
record_removal(*, by, swap_id, unit_id | found, to, when, tag: TagFact, act_id, at, …) -> Moved
record_installation(*, by, swap_id, unit_id | found, when, act_id, at, …) -> Moved
release_swap(*, proof, swap_id, act_id, at, sender_at=None) -> Signature
abandon_swap(*, by, swap_id, reason, act_id, at) -> SwapEnd
hand_over_swap(*, giver: Proof, taker: Proof, swap_id, words, act_id, at) -> list[Signature]
correct_swap(*, by, swap_id, reason, act_id, at) -> Swap
call_inspector, answer_call, note_presence
paper.transcribe_swap(*, by, card, act_id, at) -> Swap
"""

from equipment.availability.acts.tag_facts import TagFact

from .calls import answer_call, call_inspector, note_presence
from .ending import abandon_swap, hand_over_swap
from .facts import FoundUnit, Moved, NewSwap
from .movements import record_installation, record_removal
from .opening import correct_swap, open_swap
from .release import release_swap
from .signing import (
    inspect_step,
    inspect_steps,
    refuse_inspection,
    refuse_inspections,
    reinspect_step,
    reinspect_steps,
    sign_step,
    sign_steps,
)
from .steps import enter_step

__all__ = [
    "FoundUnit",
    "Moved",
    "NewSwap",
    "TagFact",
    "abandon_swap",
    "answer_call",
    "call_inspector",
    "correct_swap",
    "enter_step",
    "hand_over_swap",
    "inspect_step",
    "inspect_steps",
    "note_presence",
    "open_swap",
    "record_installation",
    "record_removal",
    "refuse_inspection",
    "refuse_inspections",
    "reinspect_step",
    "reinspect_steps",
    "release_swap",
    "sign_step",
    "sign_steps",
]
