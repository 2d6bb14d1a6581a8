"""Where the house is served: BIND and PORT, and where a person opens it."""

from __future__ import annotations

import errno
import os
import socket

from fleet.config.private import Unusable

from . import production


def bound_at() -> str:
    """The address of this machine at which it is served: only this machine's own unless BIND says more."""
    return os.environ.get("BIND") or "127.0.0.1"


def port() -> int:
    """The port at which it is served. Raises :class:`Unusable` for what is no port."""
    text = os.environ.get("PORT") or "8000"
    if not text.isdecimal() or not 0 < int(text) < 2**16:
        raise Unusable(f"PORT is {text!r}; it must be a number from 1 to 65535.")
    return int(text)


def reached_at() -> str:
    """Where this machine itself reaches it, with the port."""
    bind = bound_at()
    here = {"0.0.0.0": "127.0.0.1", "::": "[::1]", "[::]": "[::1]"}.get(bind, bind)  # noqa: S104
    return f"{here}:{port()}"


def opened_at() -> str:
    """Where a person opens it: by the name that is allowed, through the proxy if https is meant."""
    if not production.is_meant():
        return f"http://{reached_at()}/"
    names = [name for name in os.environ.get("ALLOWED_HOSTS", "").split(",") if name.strip()]
    name = names[0].strip() if names else "the name of your proxy"
    return f"https://{name}/ (the proxy's; it asks http://{reached_at()}/)"


def refuse_taken() -> None:
    """Raises :class:`Unusable` where the address is not this machine's, or the port another's."""
    bind, number = bound_at().strip("[]"), port()
    family = socket.AF_INET6 if ":" in bind else socket.AF_INET
    with socket.socket(family) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((bind, number))
        except PermissionError:
            words = f"Port {number} is not open to this user. Try: make run PORT=8000"
            raise Unusable(words) from None
        except socket.gaierror:
            raise Unusable(f"BIND is {bind!r}; it must be an address of this machine.") from None
        except OSError as fault:
            words = f"Port {number} is in use. Name another: make run PORT={number + 1}"
            if fault.errno == errno.EADDRNOTAVAIL:
                words = f"BIND is {bind!r}, which is no address of this machine."
            raise Unusable(words) from None
