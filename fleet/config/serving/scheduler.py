"""What asks for the jobs at their times, and says that it is alive."""

from __future__ import annotations

from time import monotonic
from typing import Any

import structlog
from celery.beat import Scheduler as BeatScheduler
from django.db import Error, connection

from fleet.config.models import beat

log = structlog.get_logger(__name__)
SIGN_SECONDS = 5.0


class Scheduler(BeatScheduler):
    """Celery's scheduler with a sign of life, and no file of its own that a full disk could tear.

    It need not remember: what a night missed is asked for by the next ``drain``.
    """

    max_interval = SIGN_SECONDS
    _signed = 0.0

    def tick(self, *args: Any, **kwargs: Any) -> float:
        """This will ask for what is due. Returns the seconds until it should be called again."""
        wait = super().tick(*args, **kwargs)
        if monotonic() - self._signed >= SIGN_SECONDS:
            self._signed = monotonic()
            _sign()
        return float(min(wait or SIGN_SECONDS, SIGN_SECONDS))


def _sign() -> None:
    try:
        beat("scheduler")
    except Error as error:  # a database that is away must not end the scheduler
        log.warning("heartbeat not written", reason=type(error).__name__)
    finally:
        connection.close()
