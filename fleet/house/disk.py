"""The room left where everything is kept."""

from __future__ import annotations

import shutil

from django.conf import settings


def room() -> int:
    """Bytes left on the disk of the data folder."""
    return shutil.disk_usage(settings.DATA_DIR).free


def is_short_of_room() -> bool:
    """Whether the disk will soon be full: less is left than ``LEAST_ROOM``."""
    return room() < settings.LEAST_ROOM
