"""The web part as ``make run`` starts it, in a process of its own. Sets nothing of Django's up before it
knows which database is meant."""

from __future__ import annotations

import http.client
import multiprocessing
import os
import socket
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module

import django
from django.core.management import call_command

# The same as fleet.config.run's.
SIZE = ("--workers", "2", "--threads", "4", "--timeout", "120", "--graceful-timeout", "10")
READY_SECONDS = 90


@contextmanager
def web_server(address: str) -> Iterator[int]:
    """gunicorn on the database at ``address``; gives its port once it answers."""
    port = _free_port()
    process = multiprocessing.get_context("spawn").Process(target=_serve, args=(port, address))
    process.start()
    try:
        _wait_for(port)
        yield port
    finally:
        process.terminate()
        process.join(30)


def _free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
        return port


def _serve(port: int, address: str) -> None:
    # One account for both is no fault here: the database is gone after the figure.
    os.environ.update(DATABASE_URL=address, OWNER_DATABASE_URL=address, GREENBAND_AS="application")
    os.environ["DJANGO_SETTINGS_MODULE"] = "fleet.config.settings"
    django.setup()
    call_command("collectstatic", interactive=False, verbosity=0)
    bind = ("--bind", f"127.0.0.1:{port}", "--no-control-socket", "--log-level", "error")
    sys.argv = ["gunicorn", "fleet.config.wsgi", *bind, *SIZE]
    import_module("gunicorn.app.wsgiapp").run()


def _wait_for(port: int) -> None:
    until = time.monotonic() + READY_SECONDS
    while time.monotonic() < until:
        try:
            call = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
            call.request("GET", "/healthz")
            call.getresponse()
        except OSError:
            time.sleep(0.2)
        else:
            return
    raise RuntimeError(f"The web server did not answer within {READY_SECONDS} seconds.")
