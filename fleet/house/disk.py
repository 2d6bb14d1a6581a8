"""The room left where everything is kept."""

from __future__ import annotations

import shutil
from pathlib import Path

from django.conf import settings


def room() -> int:
    """Bytes left on the disk of the data folder, or of where it will be made."""
    folder = Path(settings.DATA_DIR)
    while not folder.exists():
        folder = folder.parent
    return shutil.disk_usage(folder).free


def is_short_of_room() -> bool:
    """Whether the disk will soon be full: less is left than ``LEAST_ROOM``."""
    return room() < settings.LEAST_ROOM
