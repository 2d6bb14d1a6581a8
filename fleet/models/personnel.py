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
        ("jobs_handed_on", "open jobs handed on"),
        ("jobs_taken_on", "open jobs taken over"),
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


class JobHandedOn(models.Model):
    """An open job that somebody had in hand was handed to another person: by whom, when, why. Insert-only.

    ``job`` names it as :class:`fleet.people.ports.OpenJob` does; the latest row of a job tells whose it is.
    """

    act_id = models.UUIDField(db_index=True)
    job = models.CharField(max_length=40, db_index=True)
    giver = models.ForeignKey(User, on_delete=models.PROTECT, related_name="jobs_given")
    taker = models.ForeignKey(User, on_delete=models.PROTECT, related_name="jobs_taken")
    words = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(User, on_delete=models.PROTECT, related_name="+")
    token = models.ForeignKey(ApiToken, null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(giver=models.F("taker")),
                name="a_job_is_handed_to_somebody_else",
            ),
            models.UniqueConstraint(fields=["act_id", "job"], name="an_act_hands_a_job_on_once"),
        ]

    def __str__(self) -> str:
        return f"{self.job} to {self.taker_id}"


class SignedIn(models.Model):
    """A browser in which a person is signed in; it goes with the session that it is of."""

    session = models.OneToOneField(Session, on_delete=models.CASCADE, related_name="signed_in")
    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="signed_in")
    began_at = models.DateTimeField()
    address = models.CharField(max_length=45, blank=True)
    browser = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return f"{self.user_id} since {self.began_at:%Y-%m-%d}"
