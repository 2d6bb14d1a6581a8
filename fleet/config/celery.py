"""The Celery application: ``celery -A fleet.config worker`` finds it here."""

from __future__ import annotations

import os
from typing import Any

import structlog
from celery import Celery, bootsteps
from celery.signals import task_success
from kombu.transport import TRANSPORT_ALIASES

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "fleet.config.settings")

HEARTBEAT_SECONDS = 5.0
# Messages as files, of which a torn one stops nobody.
TRANSPORT_ALIASES["folder"] = "fleet.config.serving.messages:Transport"

app = Celery("greenband", task_cls="fleet.config.nudge:Nudge")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
app.autodiscover_tasks(["fleet.loading", "fleet.moving_in", "equipment.keeping"])
log = structlog.get_logger(__name__)


class SignOfLife(bootsteps.StartStopStep):
    """The worker's own timer writes a row: health is read from it, without asking the worker."""

    requires = {"celery.worker.components:Timer"}

    def __init__(self, parent: Any, **kwargs: Any) -> None:
        self.entry: Any = None
        self.process = "worker"
        super().__init__(parent, **kwargs)

    def start(self, parent: Any) -> None:
        # Its name for celery is name@machine; a worker that nobody named reckons.
        self.process = "loader" if parent.hostname.startswith("loader@") else "worker"
        self._beat()
        self.entry = parent.timer.call_repeatedly(HEARTBEAT_SECONDS, self._beat)

    def stop(self, parent: Any) -> None:
        if self.entry:
            self.entry.cancel()
            self.entry = None

    def _beat(self) -> None:
        from django.db import Error, connection

        from .models import beat

        try:
            beat(self.process)
        except Error as error:  # a database that is away must not end the worker
            log.warning("heartbeat not written", reason=type(error).__name__)
        finally:
            connection.close()


app.steps["worker"].add(SignOfLife)

#: The jobs that say whether they made the new day's list.
NIGHTS = {"scheduling.tasks.nightly", "scheduling.tasks.drain"}


@task_success.connect
def note_night(sender: Any, result: Any, **_: Any) -> None:
    """This will note when the new day's list was last made, for health."""
    from .models import beat

    if sender.name in NIGHTS and result is True:
        beat("night")
