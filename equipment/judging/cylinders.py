"""A cylinder's requalification judged: test pressure and permanent expansion (49 CFR 180.205, 180.209)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from .verdicts import Judgement, amount_words, number_words

# 180.209(a) Table 1, foot-note 1: at most 2 inches outside diameter, and less than 2 feet long.
SMALL_DIAMETER_MM, SMALL_LENGTH_MM = Decimal("50.8"), Decimal("609.6")


@dataclass(frozen=True, slots=True)
class CylinderRule:
    """What a specification asks: the test pressure as a share of the service pressure (5/3, 2) or a
    least one in psig, and the most permanent expansion in per cent of the total (10 unless it says)."""

    code: str
    times: tuple[int, int] | None
    least_psig: Decimal | None
    most_percent: Decimal


@dataclass(frozen=True, slots=True)
class CylinderFacts:
    """A design of cylinder: its service pressure in psig, its size in millimetres if known."""

    service_psig: Decimal | None = None
    diameter_mm: Decimal | None = None
    length_mm: Decimal | None = None


@dataclass(frozen=True, slots=True)
class TestFound:
    """What a requalification found: the pressure held, in psig; total and permanent expansion in ml.

    ``asks_pressure`` and ``asks_expansion`` say what its method measures.
    """

    is_sound: bool
    test_psig: Decimal | None = None
    total_ml: Decimal | None = None
    permanent_ml: Decimal | None = None
    asks_pressure: bool = True
    asks_expansion: bool = True


def least_test_pressure(rule: CylinderRule, service_psig: Decimal | None) -> Decimal | None:
    """The least test pressure in psig, to a tenth; None if the specification or the pressure says none."""
    by_service = None
    if rule.times is not None and service_psig is not None:
        over, under = rule.times
        by_service = (service_psig * over / under).quantize(Decimal("0.1"))
    asked = [each for each in (by_service, rule.least_psig) if each is not None]
    return max(asked, default=None)


def is_expansion_excepted(cylinder: CylinderFacts) -> bool:
    """Whether the volumetric expansion test is not required of a cylinder so small; it is still looked at."""
    diameter, length = cylinder.diameter_mm, cylinder.length_mm
    if diameter is None or length is None:
        return False
    return diameter <= SMALL_DIAMETER_MM and length < SMALL_LENGTH_MM


def judge_requalification(
    rule: CylinderRule, cylinder: CylinderFacts, found: TestFound
) -> Judgement:
    """Whether a cylinder is requalified: ``in``; condemned: ``out``; or the test says nothing.

    Condemned: not sound to the eye, or a permanent expansion of more than the specification's per cent
    of the total (180.205(i)). A test below its pressure, or without what its method measures, says nothing.
    """
    if not found.is_sound:
        return Judgement("out", "Not sound by the visual inspection.", "not sound")
    if found.asks_pressure and (why := _why_not_tested(rule, cylinder, found)):
        return Judgement("cannot_judge", f"It is not requalified: {why}")
    if not found.asks_expansion:
        return Judgement("in", "Requalified by its method.")
    if is_expansion_excepted(cylinder):
        words = (
            "Requalified: the volumetric expansion test is not required of a cylinder this small."
        )
        return Judgement("in", words)
    return _judge_expansion(rule, found)


def _why_not_tested(rule: CylinderRule, cylinder: CylinderFacts, found: TestFound) -> str:
    least = least_test_pressure(rule, cylinder.service_psig)
    if least is None:
        return "" if rule.times is None else "its service pressure is not on record."
    if found.test_psig is None:
        return (
            f"the test pressure is not recorded; {rule.code} asks for {amount_words(least, 'psi')}."
        )
    if found.test_psig < least:
        held, asked = (amount_words(each, "psi") for each in (found.test_psig, least))
        return f"it was tested at {held}, and {rule.code} asks for at least {asked}."
    return ""


def _judge_expansion(rule: CylinderRule, found: TestFound) -> Judgement:
    total, permanent = found.total_ml, found.permanent_ml
    if total is None or permanent is None or total <= 0:
        words = "It is not requalified: total and permanent expansion are not recorded."
        return Judgement("cannot_judge", words)
    percent = permanent * 100 / total
    said = f"A permanent expansion of {number_words(percent.quantize(Decimal('0.01')))} %"
    most = f"{number_words(rule.most_percent)} %"
    if percent > rule.most_percent:
        return Judgement("out", f"{said} is more than {most}: condemned.", f"more than {most}")
    return Judgement("in", f"{said} is within {most} of the total.")
