"""A full disk: what was acknowledged is kept, nothing half written is left, and with room it comes back by itself."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import psutil
import pytest

from tests.fleet.config.installation import Installation, brought_up

pytestmark = pytest.mark.slow
MEGABYTES = 220


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of its own with little room; needs the right to mount one."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={MEGABYTES}m,mode=755", "none", str(disk)]
    if os.geteuid() != 0 or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("this account may not mount a disk of its own")
    yield disk
    subprocess.run(["umount", "-l", str(disk)], check=True)


@pytest.fixture
def installation(small_disk: Path, shared_folder: Path) -> Iterator[Installation]:
    made = brought_up(small_disk / "data", shared_folder)
    yield made
    for process in psutil.process_iter():
        if made.owns(process):
            with suppress(psutil.Error):
                process.kill()


def fill(path: Path) -> None:
    """Until not one more block fits."""
    with suppress(OSError), path.open("wb") as file:
        while True:
            file.write(b"x" * 2**16)
            file.flush()


def test_it_says_so_before_and_comes_back_once_there_is_room(
    installation: Installation, small_disk: Path
) -> None:
    installation.start(LEAST_ROOM_MB="20")
    assert "Open http" in installation.printed_until("Open http")
    filling = small_disk / "filling"

    fill(filling)
    installation.wait_for(lambda: "disk" in not_well(installation), seconds=30)
    messages = installation.data / "broker" / "messages"
    made = installation.manage(
        "recompute"
    )  # an act that must write: it is refused or done, never half
    assert made.returncode in {0, 1}
    installation.wait_for(lambda: not list(messages.glob("*.draft")))

    filling.unlink()
    installation.wait_for(lambda: installation.health()[0] == 200, seconds=150)
    assert [path for path in messages.iterdir() if path.stat().st_size == 0] == []
    assert installation.manage("check_whereabouts").returncode == 0

    assert installation.end() == 0
    installation.start(LEAST_ROOM_MB="20")
    assert "Open http" in installation.printed_until("Open http")


def not_well(installation: Installation) -> set[str]:
    _, body = installation.health()
    return {name for name, part in body.get("parts", {}).items() if not part["ok"]}
