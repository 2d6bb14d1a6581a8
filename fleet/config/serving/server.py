"""The web server's own part of a request: what it refuses before the program sees it, and how long it waits."""

from __future__ import annotations

import contextlib
import json
import logging
import socket
import struct
import threading
from http import HTTPStatus
from typing import Any

from gunicorn import util
from gunicorn.http import errors
from gunicorn.workers.gthread import _DEFER, DEFAULT_WORKER_DATA_TIMEOUT, TConn, ThreadWorker

#: Seconds that one who has begun to send may be silent; then a thread is there for others again.
SILENT_SECONDS = 15


class Worker(ThreadWorker):
    """Gunicorn's threads; who falls silent is let go, and a refusal of the server's is told as ours are."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._of_thread = threading.local()
        self.log.error_log.addFilter(_shortened)

    def handle(self, conn: TConn) -> Any:
        """This will read and answer one request, and know how it began if it cannot be read."""
        # The kernel counts: gunicorn makes the socket a blocking one again and again.
        silent = struct.pack("ll", SILENT_SECONDS, 0)
        with contextlib.suppress(OSError):
            conn.sock.setsockopt(socket.SOL_SOCKET, socket.SO_RCVTIMEO, silent)
        if not conn.initialized and not conn.wait_for_data(DEFAULT_WORKER_DATA_TIMEOUT):
            return _DEFER
        self._of_thread.began = _beginning(conn.sock)
        return super().handle(conn)

    def handle_error(self, req: Any, client: socket.socket, addr: Any, exc: Exception) -> None:
        """This will answer what cannot be read: to programs as a problem, to people with a sentence."""
        body = _refusal_of(exc)
        if body is None:
            super().handle_error(req, client, addr, exc)
            return
        self.log.warning("Request refused: %s", type(exc).__name__)
        is_programs = b" /api/" in getattr(self._of_thread, "began", b"")
        with contextlib.suppress(OSError):
            util.write_nonblock(client, _answer(body, is_programs=is_programs))


def _shortened(record: logging.LogRecord) -> bool:
    """Who fell silent is one line of the log, and no fault of the program's with all its calls."""
    if record.exc_info and isinstance(record.exc_info[1], BlockingIOError):
        record.msg, record.args = f"Nothing came for {SILENT_SECONDS} s: let go.", ()
        record.exc_info, record.levelno, record.levelname = None, logging.WARNING, "WARNING"
    return True


def _beginning(sock: socket.socket) -> bytes:
    """The first bytes that have come, looked at and left where they are."""
    with contextlib.suppress(OSError):
        return sock.recv(64, socket.MSG_PEEK | socket.MSG_DONTWAIT)
    return b""


def _refusal_of(exc: Exception) -> dict[str, Any] | None:
    """The problem that it is to say; None for a fault that is not the sender's."""
    # Gunicorn names this module before the program is there to be imported.
    from .faults import LARGE_HEAD, LONG_ADDRESS, UNREADABLE

    match exc:
        case errors.InvalidResponseHeader() | errors.InvalidResponseHeaderName():
            return None
        case errors.LimitRequestLine():
            return LONG_ADDRESS
        case errors.LimitRequestHeaders():
            return LARGE_HEAD
        case errors.InvalidRequestLine() | errors.InvalidRequestMethod():
            return UNREADABLE
        case errors.InvalidHeader() | errors.InvalidHeaderName():
            return UNREADABLE
    return None


def _answer(body: dict[str, Any], *, is_programs: bool) -> bytes:
    from fleet.house.web import PROBLEM_TYPE

    from .faults import page_of

    media = PROBLEM_TYPE if is_programs else "text/html; charset=utf-8"
    content = (json.dumps(body) if is_programs else page_of(body["detail"])).encode()
    status = HTTPStatus(body["status"])
    head = (
        f"HTTP/1.1 {status.value} {status.phrase}",
        f"Content-Type: {media}",
        f"Content-Length: {len(content)}",
        "Cache-Control: no-store",
        "Connection: close",
    )
    return "\r\n".join((*head, "", "")).encode() + content
