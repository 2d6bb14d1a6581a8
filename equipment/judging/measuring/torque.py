"""Torque: the wrench's setting with an extension, friction drag, and the range (AC 43.13-1B ¶7-40)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import cos, radians

from equipment.judging.verdicts import Judgement, Problem, amount_words, range_words, within

from .units import tidied


@dataclass(frozen=True, slots=True)
class TorqueRule:
    """The torque wanted on the fastener, in ``unit``; ``has_drag`` if friction drag is added to it.

    A torque of one value has both ends at it.
    """

    low: Decimal
    high: Decimal
    unit: str
    has_drag: bool = False


def setting_of(
    torque: Decimal, wrench_length: Decimal, extension: Decimal, angle_deg: Decimal = Decimal(0)
) -> Decimal | Problem:
    """What the wrench must show for a torque at the fastener: TW = TA · L / (L + E · cos a).

    L is from the drive to the centre of the grip; E, in the same unit, is positive away from the
    handle, negative back toward it; at a right angle nothing changes.
    """
    factor = _lever(wrench_length, extension, angle_deg)
    return factor if isinstance(factor, Problem) else tidied(torque / factor)


def applied_of(
    indicated: Decimal, wrench_length: Decimal, extension: Decimal, angle_deg: Decimal = Decimal(0)
) -> Decimal | Problem:
    """The torque at the fastener when the wrench shows this much; the inverse of `setting_of`."""
    factor = _lever(wrench_length, extension, angle_deg)
    return factor if isinstance(factor, Problem) else tidied(indicated * factor)


def _lever(length: Decimal, extension: Decimal, angle_deg: Decimal) -> Decimal | Problem:
    """(L + E · cos a) / L, if wrench and extension together still have a length."""
    if length <= 0:
        sentence = "The wrench's length must be more than nought."
        return Problem("wrench_length", sentence, "wrench_length")
    effective = length + extension * _cosine(angle_deg)
    if effective <= 0:
        sentence = "The extension reaches back to the handle or beyond it: it leaves no lever."
        return Problem("extension_too_long", sentence, "extension")
    return effective / length


def _cosine(angle_deg: Decimal) -> Decimal:
    """Exact at the four quarters, so that a right angle changes nothing at all."""
    if angle_deg % 90 == 0:
        return Decimal((1, 0, -1, 0)[int(angle_deg / 90) % 4])
    return Decimal(repr(cos(radians(float(angle_deg)))))


def final_range(rule: TorqueRule, drag: Decimal) -> tuple[Decimal, Decimal]:
    """The range of the final torque: least + drag to most + drag (¶7-40 d and f)."""
    return rule.low + drag, rule.high + drag


def judge_torque(
    rule: TorqueRule,
    reading: Decimal,
    drag: Decimal | None = None,
    *,
    readable_to: Decimal = Decimal(0),
) -> Judgement:
    """Whether the final torque at the fastener is in the range with the drag added; ends included.

    ``reading`` and ``drag`` are in the rule's unit; a drag that was read counts, whether the rule asks
    for it or not. A rule with drag and no drag recorded cannot be judged. Of a torque of one value a
    reading within ``readable_to`` of it is that value: the wrench's scale shows no more.
    """
    wanted = range_words(rule.low, rule.high, rule.unit)
    if rule.has_drag and drag is None:
        sentence = f"It cannot be judged: the friction drag to add to {wanted} is not recorded."
        return Judgement("cannot_judge", sentence)
    low, high = final_range(rule, drag or Decimal(0))
    by = within(low, reading, high, rule.unit)
    if rule.low == rule.high and abs(reading - low) <= readable_to:
        by = None
    said = _said(rule, reading, drag)
    if by is None:
        return Judgement("in", f"{said} is within {wanted}.")
    return Judgement("out", f"{said} is outside {wanted}: {by}.", by)


def _said(rule: TorqueRule, reading: Decimal, drag: Decimal | None) -> str:
    final = amount_words(reading, rule.unit)
    if drag is None:
        return final
    net = amount_words(reading - drag, rule.unit)
    return f"{final} less {amount_words(drag, rule.unit)} of drag, {net},"
