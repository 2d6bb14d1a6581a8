"""A whole installation of its own in a temporary folder, started as a user starts it."""

from __future__ import annotations

import fcntl
import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psutil

ROOT = Path(__file__).resolve().parents[3]
FORGOTTEN = {
    "DATABASE_URL",
    "OWNER_DATABASE_URL",
    "BROKER_URL",
    "SECRET_KEY",
    "DJANGO_SETTINGS_MODULE",
}


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@dataclass
class Installation:
    """One data folder and one port, and the run that is on in them."""

    data: Path
    port: int = field(default_factory=free_port)
    process: subprocess.Popen[str] | None = None

    def environment(self, **more: str) -> dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if name not in FORGOTTEN}
        own = {"GREENBAND_DATA": str(self.data), "PORT": str(self.port), "PYTHONUNBUFFERED": "1"}
        # The demonstration has tests of its own; here it would only take time.
        own["DEMO"] = "0"
        return {**kept, **own, **more}

    def start(self, **more: str) -> subprocess.Popen[str]:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "fleet.config.run"],
            cwd=ROOT,
            env=self.environment(**more),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        return self.process

    def printed_until(self, words: str) -> str:
        """What the run printed up to the line with these words, or to its end."""
        printed = ""
        assert self.process is not None and self.process.stdout is not None
        for line in self.process.stdout:
            printed += line
            if words in line:
                break
        return printed

    def end(self, number: signal.Signals = signal.SIGTERM) -> int:
        assert self.process is not None
        self.process.send_signal(number)
        self.process.communicate(timeout=60)
        return self.process.returncode

    def health(self) -> tuple[int, dict[str, Any]]:
        """The status and the body of /healthz; status 0 when nothing answers."""
        try:
            answer = urllib.request.urlopen(f"http://127.0.0.1:{self.port}/healthz", timeout=20)
        except urllib.error.HTTPError as refused:
            answer = refused
        except OSError:  # nobody is there to answer
            return 0, {}
        with answer:
            return answer.status, json.loads(answer.read())

    def processes(self) -> list[str]:
        """The commands of every process that belongs to this installation."""
        return [
            " ".join(p.info["cmdline"] or [])
            for p in psutil.process_iter(["cmdline"])
            if self.owns(p)
        ]

    def left_after(self, seconds: float) -> list[str]:
        """What still runs after so long: a process may take a moment from its end to its going."""
        deadline = time.monotonic() + seconds
        while (left := self.processes()) and time.monotonic() < deadline:
            time.sleep(0.2)
        return left

    def owns(self, process: psutil.Process) -> bool:
        try:
            if process.environ().get("GREENBAND_DATA") == str(self.data):
                return process.status() != psutil.STATUS_ZOMBIE
            return str(self.data) in " ".join(process.cmdline())
        except psutil.Error:
            return False

    def manage(self, *arguments: str, **more: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, str(ROOT / "manage.py"), *arguments],
            env=self.environment(**more),
            capture_output=True,
            text=True,
            check=False,
            timeout=120,
        )

    def wait_for(self, condition: Any, seconds: float = 30) -> None:
        deadline = time.monotonic() + seconds
        while not condition():
            assert time.monotonic() < deadline, f"still not so after {seconds} s"
            time.sleep(0.2)


def brought_up(data: Path, shared: Path) -> Installation:
    """An installation with its tables and files made: once in a run of the tests, then copied.

    How a first start makes them is ``test_run``'s matter. ``shared`` is the run's own folder.
    """
    kept = shared / "brought-up"
    with (shared / "brought-up.lock").open("a") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not kept.exists():
            (shared / "first-house").mkdir()
            first = Installation(shared / "first-house" / "data")
            done = first.manage("bring_up")
            assert done.returncode == 0, done.stderr
            first.data.rename(kept)
    subprocess.run(["cp", "-a", str(kept), str(data)], check=True)
    return Installation(data)
