from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.contrib.postgres.fields import ArrayField
from django.db import models

from fleet.house.desks import ROLES


class User(AbstractUser):
    """A person who signs in. ``roles`` open doors (see ``fleet.house.desks``)."""

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


class Authorisation(models.Model):
    """A person's licence or company approval: for which acts, types and kinds, from when to when.

    A role opens doors; this allows a signature, which copies it. Insert-only: an early end is an
    :class:`AuthorisationEnd`. Empty ``aircraft_types`` or ``kinds``: any.
    """

    SORTS = (("licence", "licence"), ("approval", "company approval"))
    SIGN_STEP, INSPECT, RELEASE = "sign_step", "inspect", "release"
    ACTS = (
        (SIGN_STEP, "sign off steps"),
        (INSPECT, "inspect independently"),
        (RELEASE, "release"),
    )
    user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="authorisations")
    number = models.CharField(max_length=40)
    sort = models.CharField(max_length=10, choices=SORTS)
    title = models.CharField(max_length=80, blank=True, help_text="The occupational title.")
    acts = ArrayField(models.CharField(max_length=12, choices=ACTS))
    aircraft_types = ArrayField(models.CharField(max_length=24), default=list, blank=True)
    kinds = ArrayField(models.CharField(max_length=24), default=list, blank=True)
    stamp = models.CharField(max_length=24, blank=True, help_text="The number on the stamp.")
    from_on = models.DateField()
    until_on = models.DateField(help_text="The last day on which it is good.")
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(User, null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["number", "from_on"], name="one_authorisation_of_this_number_from_a_day"
            ),
            models.CheckConstraint(
                condition=models.Q(until_on__gte=models.F("from_on")),
                name="an_authorisation_lasts_at_least_a_day",
            ),
        ]

    def __str__(self) -> str:
        return self.number


class AuthorisationEnd(models.Model):
    """An authorisation ended before its last day. Insert-only."""

    authorisation = models.OneToOneField(
        Authorisation, on_delete=models.PROTECT, related_name="ended"
    )
    ended_on = models.DateField(help_text="The first day on which it is no longer good.")
    reason = models.CharField(max_length=120)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(User, null=True, on_delete=models.PROTECT, related_name="+")
