"""What a job's message is here: a nudge. The work is rows; beat finds them if no nudge arrives."""

from __future__ import annotations

from functools import partial
from typing import Any

from celery.contrib.django.task import DjangoTask
from django.db import transaction


class Nudge(DjangoTask):  # type: ignore[misc]
    """A task whose ``delay_on_commit`` logs a broker that is away, and never fails the request."""

    def delay_on_commit(self, *args: Any, **kwargs: Any) -> None:
        """This will send the message once the transaction stands, if it can be sent."""
        transaction.on_commit(partial(self.delay, *args, **kwargs), robust=True)

    def apply_async_on_commit(self, *args: Any, **kwargs: Any) -> None:
        """As ``delay_on_commit``, with Celery's options."""
        transaction.on_commit(partial(self.apply_async, *args, **kwargs), robust=True)
