"""Messages of jobs as files in a folder, for a house without a broker of its own.

A full disk or a crash may leave an empty or torn file. It is put aside with a line in the log, and the
next is taken: a message is only a nudge, and what is to be done stands in rows.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from queue import Empty
from time import monotonic
from typing import Any
from uuid import uuid4

import structlog
from kombu.exceptions import ChannelError
from kombu.transport import filesystem
from kombu.utils.json import dumps, loads

log = structlog.get_logger(__name__)
#: The folder, beside the messages, for those that could not be read.
ASIDE = "aside"
MOST_ASIDE = 100


class Channel(filesystem.Channel):
    """One end of the folder: a message is there whole or not at all, and a torn one stops nobody."""

    def _put(self, queue: str, payload: Any, **kwargs: Any) -> None:  # type: ignore[override]
        """This will write the message under another name first. Raises ChannelError if it cannot."""
        name = f"{round(monotonic() * 1000)}_{uuid4()}.{queue}.msg"
        folder = Path(self.data_folder_out)
        draft = folder / f"{name}.draft"
        try:
            draft.write_text(dumps(payload))
            draft.replace(folder / name)
        except OSError as fault:
            with suppress(OSError):
                draft.unlink(missing_ok=True)
            raise ChannelError(f"A message cannot be written: {fault.strerror}") from fault

    def _get(self, queue: str, timeout: Any = None) -> Any:
        """The oldest message that can be read; Empty when there is none."""
        folder = Path(self.data_folder_in)
        for name in sorted(os.listdir(folder)):
            if name.partition(".")[2] != f"{queue}.msg":
                continue
            text = _taken(folder / name)
            if text is None:
                continue
            try:
                return loads(text)
            except ValueError:
                _put_aside(folder, name, text)
        raise Empty

    def get_table(self, exchange: str) -> Any:
        """Who listens to an exchange; a torn table is one that nobody has written yet."""
        try:
            return super().get_table(exchange)
        except ValueError:
            self._forget(exchange)
            return []

    def _queue_bind(self, exchange: str, routing_key: str, pattern: str, queue: str) -> None:
        try:
            super()._queue_bind(exchange, routing_key, pattern, queue)
        except ValueError:
            self._forget(exchange)
            super()._queue_bind(exchange, routing_key, pattern, queue)

    def _forget(self, exchange: str) -> None:
        self._exchange_file(exchange).unlink(missing_ok=True)
        log.warning("table of listeners could not be read and is written anew", exchange=exchange)


class Transport(filesystem.Transport):
    """Celery's way to the folder."""

    Channel = Channel


def _taken(path: Path) -> str | None:
    """What stands in the file, which is gone then; None if somebody else was quicker."""
    mine = path.with_name(f"{path.name}.{os.getpid()}.taken")
    try:
        path.rename(mine)
        text = mine.read_text(errors="replace")
        mine.unlink()
    except OSError:
        return None
    return text


def _put_aside(folder: Path, name: str, text: str) -> None:
    log.warning("a message could not be read and is put aside", message=name, bytes=len(text))
    aside = folder.parent / ASIDE
    with suppress(OSError):
        aside.mkdir(exist_ok=True)
        if len(os.listdir(aside)) < MOST_ASIDE:
            (aside / name).write_text(text)
