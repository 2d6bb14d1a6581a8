from __future__ import annotations

from django.db import models


class Act(models.Model):
    """An act that was done under an id that its sender made, once however often it is sent. Insert-only.

    ``act`` is its name, which keeps acts apart that share an id since one calls the other. ``digest``
    is of all that its sender said (``fleet.acts.repeats``): the same id with another is refused.
    ``token`` is the key by which a program did it for ``done_by``; None: the person did it.
    """

    act_id = models.UUIDField()
    act = models.CharField(max_length=40)
    digest = models.CharField(max_length=64)
    done_at = models.DateTimeField()
    done_by = models.ForeignKey(
        "fleet.User", on_delete=models.PROTECT, related_name="+", db_index=False
    )
    sender_at = models.DateTimeField(null=True)
    token = models.ForeignKey(
        "fleet.ApiToken", null=True, on_delete=models.PROTECT, related_name="acts_done"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["act_id", "act"], name="an_act_is_done_once_under_its_id"
            )
        ]
        # What a person did lately: a page asks whether the same said again is another one.
        indexes = [models.Index(fields=["done_by", "done_at"], name="acts_of_a_person_lately")]

    def __str__(self) -> str:
        return f"{self.act} {self.act_id}"

    @property
    def act_words(self) -> str:
        return self.act.replace("_", " ").capitalize()
