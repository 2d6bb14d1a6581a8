"""What to aim at before a value is read: the wrench's setting, the bottle's band at its temperature."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from equipment.judging.declaring.sort import Given
from equipment.judging.measuring.pressure import Chart
from equipment.judging.sorts.table import BY_CODE

from .rules import StepRule


def aim_of(
    rule: StepRule,
    typed: Mapping[str, Any],
    *,
    wrench_length_mm: float | None = None,
    chart: Chart | None = None,
) -> str:
    """A sentence from what is typed so far, the value itself not needed; empty if it says nothing.

    What cannot be read yet is left out: the field's own sentence tells of it.
    """
    given = Given(chart=chart, wrench_length_mm=wrench_length_mm)
    return BY_CODE[rule.sort].aim(rule.rule, typed, given)
