"""Gathers the static files, when any of them changed since the last time."""

from __future__ import annotations

import hashlib
from typing import Any

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import BaseCommand, call_command


class Command(BaseCommand):
    help = "Gathers and compresses the static files, unless nothing changed."

    def handle(self, *args: Any, **options: Any) -> None:
        stamp = settings.STATIC_ROOT / ".stamp"
        state = state_of_static_files()
        if stamp.exists() and stamp.read_text() == state:
            return
        self.stdout.write("Static files: gathering")
        call_command("collectstatic", interactive=False, clear=True, verbosity=0)
        stamp.write_text(state)


def state_of_static_files() -> str:
    """A digest of name, size and time of every static file."""
    digest = hashlib.sha256()
    for finder in get_finders():
        for name, storage in finder.list([]):
            stat = (storage.size(name), storage.get_modified_time(name))
            digest.update(f"{name} {stat}\n".encode())
    return digest.hexdigest()
