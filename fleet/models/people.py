from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.contrib.postgres.fields import ArrayField
from django.db import models

from fleet.house.desks import AUDITOR, ROLES


class User(AbstractUser):
    """A person who signs in. ``roles`` open doors (see ``fleet.house.desks``)."""

    roles = ArrayField(models.CharField(max_length=20, choices=ROLES), default=list, blank=True)
    home_station = models.ForeignKey(
        "fleet.Station", null=True, blank=True, on_delete=models.PROTECT
    )

    #: The one link by which the person chooses a password: when it was made; None: none is open.
    link_made_at = models.DateTimeField(null=True, blank=True)

    #: Never stored: set on the one object of a request that came in by this token.
    acting_token: ApiToken | None = None
    #: Never stored: the one role that a token gives, where it is not that of ``acting_token``.
    acting_role: str | None = None

    def act_by(self, token: ApiToken) -> None:
        """This will let the object stand for the token from now on: its role, its acts, nothing more."""
        self.acting_token, self.acting_role = token, token.role

    @property
    def acting_acts(self) -> frozenset[str] | None:
        """The only acts that count now, by their rows of ``fleet.house.desks``; None: all of the roles."""
        token = self.acting_token
        return frozenset(token.acts) if token is not None and token.acts else None

    @property
    def is_waited_for(self) -> bool:
        """Whether the person has been invited, and has not chosen a password yet."""
        return self.is_active and not self.has_usable_password()

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
    """A program's key to the API: one role, one person answerable. Only its digest is kept.

    ``acts`` are the only rows of ``fleet.house.desks`` that it may; none: all of its role. A token of
    the auditor's role reads and does nothing. ``made_by`` is None of those made before it was kept.
    """

    user = models.ForeignKey(User, on_delete=models.PROTECT, related_name="api_tokens")
    label = models.CharField(max_length=80)
    role = models.CharField(max_length=20, choices=ROLES)
    digest = models.CharField(max_length=64, unique=True)
    acts = ArrayField(models.CharField(max_length=40), default=list, blank=True)
    created_at = models.DateTimeField()
    made_by = models.ForeignKey(User, null=True, on_delete=models.PROTECT, related_name="+")
    expires_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.label} ({self.role})"

    @property
    def acts_words(self) -> str:
        """What it may, in words."""
        if self.role == AUDITOR:
            return "reads only"
        return ", ".join(act.replace("_", " ") for act in self.acts) or "all that the role may"


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
