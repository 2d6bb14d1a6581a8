"""What is known of the house's people besides themselves: what was done about them, where they are signed in."""

from __future__ import annotations

from django.contrib.sessions.models import Session
from django.db import models

from .people import ApiToken, User


class Operator(models.Model):
    """The one operator whose house this is, by the name that every screen shows."""

    name = models.CharField(max_length=80)
    is_only = models.BooleanField(default=True, unique=True, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(is_only=True), name="there_is_one_operator")
        ]

    def __str__(self) -> str:
        return self.name


class PersonAct(models.Model):
    """One act about a person: what, in words, when, and who did it. Insert-only.

    ``by`` is None of what was done at the server itself, by a command or the first one-time link;
    ``token`` is the key of the program that did it for ``by``.
    """

    ACTS = (
        ("founded", "made, the first of the house"),
        ("made", "made"),
        ("invited", "invited"),
        ("linked", "one-time link made"),
        ("password_chosen", "password chosen by the link"),
        ("password_changed", "own password changed"),
        ("changed", "changed"),
        ("deactivated", "deactivated"),
        ("reactivated", "active again"),
        ("sessions_ended", "sessions ended"),
        ("token_made", "token made"),
        ("token_withdrawn", "token withdrawn"),
    )
    person = models.ForeignKey(User, on_delete=models.PROTECT, related_name="acts_about")
    act = models.CharField(max_length=24, choices=ACTS)
    words = models.CharField(max_length=400, blank=True)
    act_id = models.UUIDField(null=True, blank=True, db_index=True)
    at = models.DateTimeField()
    by = models.ForeignKey(User, null=True, on_delete=models.PROTECT, related_name="+")
    token = models.ForeignKey(ApiToken, null=True, on_delete=models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"{self.act} {self.person_id}"


class SignedIn(models.Model):
    """A browser in which a person is signed in; it goes with the session that it is of."""

    session = models.OneToOneField(Session, on_delete=models.CASCADE, related_name="signed_in")
    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="signed_in")
    began_at = models.DateTimeField()
    address = models.CharField(max_length=45, blank=True)
    browser = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return f"{self.user_id} since {self.began_at:%Y-%m-%d}"
