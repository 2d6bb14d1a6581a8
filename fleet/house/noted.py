"""What the log is told of a request while it is served: which act it does."""

from __future__ import annotations

from uuid import UUID

from structlog.contextvars import bind_contextvars, get_contextvars


def note_act(act: str, act_id: UUID | None) -> None:
    """This will have every line of the log name the act until the request ends; of acts that call others,
    the outer one. In a job, which does acts by the thousand, it does nothing."""
    known = get_contextvars()
    if act_id is not None and "request_id" in known and "act_id" not in known:
        bind_contextvars(act=act, act_id=str(act_id))
