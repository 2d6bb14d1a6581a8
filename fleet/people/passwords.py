"""What a password must be: one rule, Django's validators, at every door that takes a new one."""

from __future__ import annotations

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from fleet.house.refusals import Refusal
from fleet.models import User

MOST = 200


def why_not_password(password: str, of: User, field: str = "password") -> list[Refusal]:
    """Why this cannot be the password of a person, at its field; nothing if it can."""
    if not password:
        return [Refusal("password_missing", "Choose a password.", field)]
    if len(password) > MOST or "\x00" in password:
        return [Refusal("password_too_long", f"No longer than {MOST} characters, please.", field)]
    try:
        validate_password(password, of)
    except ValidationError as error:
        return [
            Refusal(each.code or "password_weak", " ".join(each.messages), field)
            for each in error.error_list
        ]
    return []
