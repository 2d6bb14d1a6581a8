"""Doors that list tools and calibrations, and how either is read again once it is entered."""

from __future__ import annotations

from django.db.models import QuerySet

from equipment.ledger.facts import Entered
from equipment.models import Calibration, Tool
from equipment.procedures.doors import examples
from equipment.tools.responses import CalibrationKept, ToolKept
from fleet.doors.door import Door
from fleet.doors.lists import listed


def tools_kept() -> QuerySet[Tool]:
    return Tool.objects.select_related("station")


def calibrations_kept() -> QuerySet[Calibration]:
    return Calibration.objects.select_related("tool")


class ToolList(Door):
    get = listed(
        "list_tools",
        tag="Tools",
        summary="Tools",
        description="Wrenches, meters and gauges, each with a code of its own.",
        shows=ToolKept,
        example=examples.TOOL,
        rows=tools_kept,
        order=("code", "pk"),
    )


class CalibrationList(Door):
    get = listed(
        "list_calibrations",
        tag="Tools",
        summary="Calibrations",
        description="The record of the tools, the latest recorded first.",
        shows=CalibrationKept,
        example=examples.CALIBRATION,
        rows=calibrations_kept,
        order=("-pk",),
    )


def tool_kept(entered: Entered) -> Tool:
    return tools_kept().get(pk=entered.id)


def calibration_kept(entered: Entered) -> Calibration:
    return calibrations_kept().get(pk=entered.id)
