"""What a job's message is here: a nudge. The work is rows; beat finds them if no nudge arrives."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from celery.contrib.django.task import DjangoTask
from django.db import transaction


class Nudge(DjangoTask):
    """A task whose ``delay_on_commit`` logs a broker that is away, and never fails the request."""

    def delay_on_commit(self, *args: Any, **kwargs: Any) -> None:
        """This will send the message once the transaction stands, if it can be sent."""
        self._once_it_stands(partial(self.delay, *args, **kwargs))

    def apply_async_on_commit(self, *args: Any, **kwargs: Any) -> None:
        """As ``delay_on_commit``, with Celery's options."""
        self._once_it_stands(partial(self.apply_async, *args, **kwargs))

    def _once_it_stands(self, send: Callable[[], Any]) -> None:
        def nudge() -> None:  # Django names the function in its log, and a partial has no name
            send()

        transaction.on_commit(nudge, robust=True)
