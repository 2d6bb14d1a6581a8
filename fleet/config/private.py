"""What this installation keeps for itself: the data folder and the secrets made once in it."""

from __future__ import annotations

import json
import os
import secrets
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
NAMES = ("secret_key", "admin_password", "owner_password", "app_password", "test_password")


class Unusable(Exception):
    """The installation cannot start; the message is one line for the person at the terminal."""


def data_folder() -> Path:
    """The folder for everything that a run writes: ``GREENBAND_DATA``, else ``.data`` here."""
    return Path(os.environ.get("GREENBAND_DATA") or ROOT / ".data").expanduser().absolute()


def made_folder() -> Path:
    """The data folder, made if missing. Raises :class:`Unusable` when it cannot be written."""
    folder = data_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        probe = folder / f".probe-{os.getpid()}"
        probe.touch()
        probe.unlink()
    except OSError as error:
        raise Unusable(
            f"The data folder {folder} cannot be written ({error.strerror}). "
            "Make it writable, or name another one in GREENBAND_DATA."
        ) from error
    return folder


def kept_secrets() -> dict[str, str]:
    """The secrets of this installation, generated on first use into a file only its owner reads."""
    path = made_folder() / "secrets.json"
    if not path.exists():
        _write_once(path, {name: secrets.token_urlsafe(48) for name in NAMES})
    kept: dict[str, str] = json.loads(path.read_text())
    return kept


def _write_once(path: Path, content: dict[str, str]) -> None:
    # Two processes may start at once on a new folder: link() lets exactly one of them win.
    draft = path.with_name(f"{path.name}.{os.getpid()}")
    descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(descriptor, "w") as file:
        json.dump(content, file)
    try:
        os.link(draft, path)
    except FileExistsError:
        pass
    finally:
        draft.unlink()
