"""How a token is known: by its digest, within the rights of whoever made it."""

from __future__ import annotations

import hashlib

from fleet.house.desks import AUDITOR
from fleet.models import User


def digest_of(secret: str) -> str:
    """SHA-256 of a secret, hexadecimal. The secret has 256 random bits: no salt is needed."""
    return hashlib.sha256(secret.encode()).hexdigest()


def is_within_rights(role: str, user: User) -> bool:
    """Whether a token of this role lets its person do no more than the person may do now."""
    held = frozenset(user.roles) if user.is_active else frozenset()
    return role in held or (role == AUDITOR and bool(held))
