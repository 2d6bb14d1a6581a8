"""The job that reads large own spreadsheets: it drains rows, and may be killed at any point."""

from __future__ import annotations

import datetime as dt
import logging
import time

from celery import shared_task
from django.db import InterfaceError, OperationalError

from fleet.house import pace
from fleet.house.pages import today
from fleet.intake.problems import UnreadableFile
from fleet.models import OwnWorkbook

from .acts.workbooks import end_reading, show_reading
from .readings import read_now

log = logging.getLogger(__name__)
_EVERY = 0.5  # seconds between two updates of what is shown


@shared_task(name="fleet.tasks.read_own_workbooks")
def read_own_workbooks() -> int:
    """This will read every own spreadsheet that is asked for; beat asks every few seconds."""
    return read_asked(today())


def read_asked(day: dt.date) -> int:
    """This will read what is asked for and say how many; two at once only do it twice."""
    done = 0
    for workbook in OwnWorkbook.objects.filter(is_reading_asked=True).order_by("pk"):
        _read(workbook, day)
        done += 1
    return done


def _read(workbook: OwnWorkbook, day: dt.date) -> None:
    fault, shown_at = "", 0.0

    def show(share: float, words: str) -> None:
        nonlocal shown_at
        if time.monotonic() - shown_at >= _EVERY:
            shown_at = time.monotonic()
            show_reading(workbook=workbook, share=int(100 * share), words=words)

    try:
        with pace.watched(show):
            read_now(workbook, day)
    except (OperationalError, InterfaceError):
        raise  # the database went away: it is read at the next turn
    except (UnreadableFile, OSError) as error:
        fault = str(error)
    except Exception as error:
        log.exception("own spreadsheet %s was stopped by a fault", workbook.pk)
        fault = f"The program stopped at a fault of its own ({type(error).__name__}). Tell whoever looks after it."
    end_reading(workbook=workbook, fault=fault)
