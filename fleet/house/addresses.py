"""From where a request comes: the address that a trusted proxy names, else the one that is connected."""

from __future__ import annotations

from collections.abc import Iterable
from ipaddress import IPv4Network, IPv6Network, ip_address, ip_network
from typing import Any

from django.conf import settings

Network = IPv4Network | IPv6Network


def client_address(request: Any) -> str | None:
    """The address that failures of signing in are counted by; None where none is known.

    X-Forwarded-For is believed from the right, as far as the addresses in it are trusted proxies
    (``TRUSTED_PROXIES``): what stands left of the first that is not, anybody may have written.
    """
    connected = _plain(request.META.get("REMOTE_ADDR", ""))
    if connected is None:
        return None
    trusted = [ip_network(each, strict=False) for each in settings.TRUSTED_PROXIES]
    nearest = connected
    for told in reversed(request.META.get("HTTP_X_FORWARDED_FOR", "").split(",")):
        if not _is_in(nearest, trusted):
            break
        address = _plain(told)
        if address is None:
            break
        nearest = address
    return nearest


def _is_in(address: str, networks: Iterable[Network]) -> bool:
    return any(ip_address(address) in network for network in networks)


def _plain(text: str) -> str | None:
    """An address as the counting keeps it: an IPv4 address in IPv6's clothes is the IPv4 address."""
    try:
        address = ip_address(text.strip())
    except ValueError:
        return None
    mapped = getattr(address, "ipv4_mapped", None)
    return str(mapped or address)
