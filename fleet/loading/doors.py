"""Doors of loads: bring sheets, see what was found, decide, see what was refused."""

from __future__ import annotations

import json
from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.parsers import MultiPartParser
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.doors import examples
from fleet.doors.door import Door, answer, found_or_missing
from fleet.doors.fields import Shape
from fleet.doors.lists import listed
from fleet.doors.rows import RowShown
from fleet.doors.schema import described
from fleet.house.refusals import Refused
from fleet.loading.acts.loads import TO_WORK, bring_load, decide_load, drop_load, restart_load
from fleet.models import Load, LoadLine, User
from fleet.own_sheets.beside.given_back import differing_dates

from .own import said_by
from .returned import returned_workbook
from .tasks import drain_loads

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
DROP, AGAIN = "nothing", "again"


class WorkbookRenderer(BaseRenderer):
    """A workbook as it is; a problem, which is none, as JSON."""

    media_type = XLSX
    format = "xlsx"
    charset = None
    render_style = "binary"

    def render(self, data: Any, *args: Any, **more: Any) -> bytes:
        return data if isinstance(data, bytes) else json.dumps(data).encode()


class LoadShown(RowShown):
    of = Load
    shows = """
        key mode dates brought_at brought_by.username brought_as applied_at progress_done
        progress_total progress_words accepted refused known fault
    """
    told = {
        "mode": "How it is applied; empty until that is decided.",
        "dates": "How slashed dates are read.",
        "brought_as": "The one role of the token that it came by; empty: all that its person holds.",
    }
    state = serializers.ChoiceField(Load.STATES)
    summary = serializers.ListField(child=serializers.JSONField(), help_text="Per sheet.")
    beside = serializers.DictField(
        child=serializers.JSONField(),
        help_text="An own spreadsheet's next dates beside the reckoned ones: total, same, same_month, differ,"
        " groups by their reason, rows that differ; and suspicions, each with its lines. Empty for the template's sheets.",
    )


class LoadLineShown(RowShown):
    of = LoadLine
    shows = "file.name sheet row outcome cell code message"
    told = {"outcome": "refused, or warning.", "message": "What is wrong, and what would do."}
    values = serializers.DictField(child=serializers.CharField(), help_text="As brought.")


@extend_schema_field({"type": "string", "format": "binary"})
class SheetFile(serializers.FileField):
    """One workbook or CSV file."""


class LoadSent(Shape):
    """Files, how slashed dates are read, and how the lines are applied."""

    files = serializers.ListField(
        child=SheetFile(allow_empty_file=True),
        max_length=50,
        default=list,
        help_text="XLSX or CSV; with a mapping also ODS.",
    )
    dates = serializers.ChoiceField(["day-first", "iso", ""], default="")
    mode = serializers.ChoiceField(
        ["", *dict(Load.MODES)], default="", help_text="Empty: read first, then decide."
    )
    mapping = serializers.CharField(
        default="",
        allow_blank=True,
        max_length=80,
        help_text="The kept mapping by which own spreadsheets are read; empty: the template's sheets.",
    )


class DecisionSent(Shape):
    """What becomes of a load that was read."""

    mode = serializers.ChoiceField(
        [*dict(Load.MODES), DROP, AGAIN],
        help_text="All or nothing, the good lines, or nothing of it; again: one that stopped at a fault.",
    )


def loads_shown() -> QuerySet[Load]:
    return Load.objects.select_related("brought_by")


def load_of(key: UUID) -> Load:
    """The load of an address, or a problem that says so."""
    sentence = f"There is no load {key}. See /api/v1/loads for those on record."
    found: Load = found_or_missing(loads_shown(), "unknown_load", sentence, key=key)
    return found


class Loads(Door):
    parser_classes = [MultiPartParser]

    get = listed(
        "list_loads",
        tag="Loads",
        summary="Loads",
        description="Sheets that were brought, the latest first, with how far each is.",
        shows=LoadShown,
        example=examples.LOAD,
        rows=loads_shown,
        order=("-pk",),
    )

    @described(
        tag="Loads",
        name="bring_load",
        summary="Bring sheets",
        description="Brings XLSX or CSV files. They are read by a job: ask for the load's state. The "
        "same file brought twice changes nothing.",
        takes={"multipart/form-data": LoadSent},
        answer=LoadShown,
        example=examples.LOAD,
        act="load_sheets",
    )
    def post(self, request: Request) -> Response:
        sent = self.brought(LoadSent)
        load = bring_load(
            by=self.person,
            files=[(file.name, file.chunks()) for file in sent["files"]],
            at=timezone.now(),
            dates=sent["dates"],
            mode=sent["mode"],
            own_said=said_by(sent["mapping"]),
        )
        drain_loads.delay_on_commit()
        return answer(LoadShown(load_of(load.key)).data, is_new=True)


class LoadOne(Door):
    @described(
        tag="Loads",
        name="get_load",
        summary="One load",
        description="What state a load is in, how far, and what was found in it.",
        answer=LoadShown,
        example=examples.LOAD,
    )
    def get(self, request: Request, key: UUID) -> Response:
        return Response(LoadShown(load_of(key)).data)


def _lines_of(key: UUID) -> QuerySet[LoadLine]:
    return LoadLine.objects.filter(load=load_of(key)).select_related("file")


class LoadLines(Door):
    get = listed(
        "list_lines_of_load",
        tag="Loads",
        summary="Refused lines of a load",
        description="Each line that was refused or warned of, as brought: why, which cell, what would do.",
        shows=LoadLineShown,
        example=examples.LOAD_LINE,
        rows=_lines_of,
        order=("sheet", "row", "pk"),
    )


class LoadReturned(Door):
    renderer_classes = [WorkbookRenderer]

    @described(
        tag="Loads",
        name="get_returned_workbook",
        summary="Refused lines of a load as a workbook",
        description="An own spreadsheet as it was brought, its refused cells marked, the reasons in a column at the "
        "end; of the template's sheets the refused lines alone. Mended, it can be brought again.",
        answer=OpenApiTypes.BINARY,
        example="PK...",
        media=XLSX,
    )
    def get(self, request: Request, key: UUID) -> Response:
        named = {"Content-Disposition": f'attachment; filename="returned-{key}.xlsx"'}
        return Response(returned_workbook(load_of(key)), headers=named)


class LoadBeside(Door):
    renderer_classes = [WorkbookRenderer]

    @described(
        tag="Loads",
        name="get_comparison_workbook",
        summary="The comparison of a load as a workbook",
        description="An own spreadsheet's next dates that differ from the reckoned ones, by reason and one by one.",
        answer=OpenApiTypes.BINARY,
        example="PK...",
        media=XLSX,
    )
    def get(self, request: Request, key: UUID) -> Response:
        named = {"Content-Disposition": f'attachment; filename="dates-beside-{key}.xlsx"'}
        return Response(differing_dates(load_of(key).beside), headers=named)


class LoadDecision(Door):
    @described(
        tag="Loads",
        name="decide_load",
        summary="Decide on a load",
        description="Has a load that was read applied, sets it aside, or starts one again that "
        "stopped at a fault. The same decision again changes nothing.",
        takes=DecisionSent,
        sent={"mode": Load.GOOD_LINES},
        answer=LoadShown,
        example={**examples.LOAD, "state": Load.APPLYING, "mode": Load.GOOD_LINES},
        act="load_sheets",
    )
    def post(self, request: Request, key: UUID) -> Response:
        load, mode = load_of(key), self.brought(DecisionSent)["mode"]
        is_new = _decided_now(self.person, load, mode)
        drain_loads.delay_on_commit()
        return answer(LoadShown(load_of(key)).data, is_new=is_new)


def _decided_now(by: User, load: Load, mode: str) -> bool:
    """Whether it was decided now; False if the very same had been decided before."""
    try:
        if mode == DROP:
            drop_load(by=by, load=load)
        elif mode == AGAIN:
            restart_load(by=by, load=load)
        else:
            decide_load(by=by, load=load, mode=mode)
    except Refused as refused:
        load.refresh_from_db()
        if refused.code not in {"not_waiting", "not_stopped"} or not _stands(load, mode):
            raise
        return False
    return True


def _stands(load: Load, mode: str) -> bool:
    """Whether a load is as this decision would leave it."""
    if mode == AGAIN:
        return load.state in TO_WORK
    was = DROP if load.state == Load.REFUSED and not load.mode else load.mode
    return was == mode
