from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import Q


class MailChoice(models.Model):
    """What a person wants by mail, and where to. Without one nothing is mailed."""

    user = models.OneToOneField("fleet.User", on_delete=models.PROTECT, related_name="mail_choice")
    address = models.CharField(max_length=120)
    digest = models.BooleanField(default=False, help_text="One mail each morning.")
    at_once = models.BooleanField(default=False, help_text="Each notice as it comes.")
    not_mailed = ArrayField(
        models.CharField(max_length=12), default=list, db_default=[], help_text="Sorts of notices."
    )
    not_shown = ArrayField(
        models.CharField(max_length=12), default=list, db_default=[], help_text="Sorts of notices."
    )
    chosen_at = models.DateTimeField()


class Mail(models.Model):
    """A mail that is to be sent, or was: rows first, so that a server that is away loses nothing.

    ``key`` says what it is about: the same is never written twice.
    """

    key = models.CharField(max_length=80, unique=True)
    user = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="mails")
    address = models.CharField(max_length=120)
    subject = models.CharField(max_length=150)
    body = models.TextField()
    made_at = models.DateTimeField()
    next_at = models.DateTimeField()
    tries = models.PositiveSmallIntegerField(default=0)
    fault = models.CharField(max_length=200, blank=True)
    begun_at = models.DateTimeField(
        null=True, help_text="Sending began: whether it arrived is not known before sent_at."
    )
    sent_at = models.DateTimeField(null=True)

    class Meta:
        indexes = [
            models.Index(
                fields=["next_at", "id"], condition=Q(sent_at=None), name="mail_waiting_by_time"
            )
        ]


class DayTold(models.Model):
    """What a day's list brought was told to whoever must know, once. Insert-only."""

    day = models.DateField(unique=True)
    told_at = models.DateTimeField()


class Told(models.Model):
    """Something that was told, by what it is: so that it is told once. What is of a day alone goes with the day."""

    key = models.CharField(max_length=160, unique=True)
    told_at = models.DateTimeField()
