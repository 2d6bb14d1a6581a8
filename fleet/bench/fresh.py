"""Work measured in a process that begins anew, as the worker does. Sets nothing of Django's up before it
knows which database is meant.

A forked one would inherit whatever the bench did before: how often Python's collector runs depends
on how much is alive already, and halves or doubles the time of whatever makes many objects.
"""

from __future__ import annotations

import multiprocessing
import os
import resource
import urllib.parse
from collections.abc import Mapping
from importlib import import_module
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import django


def address_of(given: Mapping[str, Any]) -> str:
    """A connection's database, as DATABASE_URL names one."""
    user, password, host = (
        urllib.parse.quote(str(given[name]), safe="") for name in ("USER", "PASSWORD", "HOST")
    )
    return f"postgresql://{user}:{password}@:{given['PORT']}/{given['NAME']}?host={host}"


def in_fresh_process(address: str, work: str, path: Path) -> tuple[float, int]:
    """(what ``work``, named ``module:function``, gives for ``path``; its peak memory in MiB).

    Raises ``EOFError`` if the process ends without an answer; its traceback stands on stderr.
    """
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_do, args=(address, work, path, theirs))
    process.start()
    theirs.close()
    try:
        found: tuple[float, int] = ours.recv()
    finally:
        process.join()
    return found


def _do(address: str, work: str, path: Path, answer: Connection) -> None:
    os.environ["DATABASE_URL"] = address
    os.environ["DJANGO_SETTINGS_MODULE"] = "fleet.config.settings"
    django.setup()
    module, name = work.split(":")
    found = getattr(import_module(module), name)(path)
    answer.send((found, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024))
