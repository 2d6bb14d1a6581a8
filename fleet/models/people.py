from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.contrib.postgres.fields import ArrayField
from django.db import models

from fleet.desks import ROLES


class User(AbstractUser):
    """A person who signs in. ``roles`` open doors (see ``fleet.desks``)."""

    roles = ArrayField(models.CharField(max_length=20, choices=ROLES), default=list, blank=True)
    home_station = models.ForeignKey(
        "fleet.Station", null=True, blank=True, on_delete=models.PROTECT
    )

    #: Never stored: set on the one object of a request that came in by a token of this role.
    acting_role: str | None = None

    @property
    def acting_roles(self) -> frozenset[str]:
        """The roles that count now: all that the person holds, or the token's one."""
        if not self.is_active:
            return frozenset()
        if self.acting_role is not None:
            return frozenset({self.acting_role})
        return frozenset(self.roles)

    @property
    def shown_name(self) -> str:
        return self.get_full_name() or self.username


class ApiToken(models.Model):
    """A program's key to the API: one role, one person answerable. Only its digest is kept."""

    user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="api_tokens")
    label = models.CharField(max_length=80)
    role = models.CharField(max_length=20, choices=ROLES)
    digest = models.CharField(max_length=64, unique=True)
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.label} ({self.role})"
