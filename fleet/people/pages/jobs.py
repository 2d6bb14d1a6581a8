"""A person's open jobs, and how they are handed to another."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from fleet.house.desks import may
from fleet.house.pages import reader
from fleet.models import User
from fleet.people.acts.handing_on import HAND_ON_JOBS, HandingOn
from fleet.people.jobs import jobs_of
from fleet.screens.act_forms import SaidForm, form_of
from fleet.screens.act_pages import performed

from .people import found_person, signed_in_person


class _Jobs(forms.MultipleChoiceField):
    """Ticked in the list; one that ended meanwhile is the act's to refuse, in its own words."""

    def valid_value(self, value: Any) -> bool:
        return True


class HandingControls(SaidForm):
    """The jobs as rows to tick, and whoever can sign in."""

    jobs = _Jobs(label="Handed on", required=False)
    taker = forms.ModelChoiceField(
        User.objects.all(), label="To whom", error_messages={"required": "Choose the person."}
    )

    def __init__(self, *args: Any, giver: User, **more: Any) -> None:
        super().__init__(*args, **more)
        others = User.objects.filter(is_active=True).exclude(pk=giver.pk)
        offered = others.order_by("last_name", "first_name", "username", "pk")
        self.fields["taker"].widget.choices = [
            ("", "Choose the person"),
            *((each.pk, f"{each.shown_name} ({each.username})") for each in offered),
        ]

    @property
    def ticked(self) -> list[str]:
        return [str(each) for each in self["jobs"].value() or ()]


HandingForm = form_of(HandingOn, without=("person",), base=HandingControls)


@reader
def jobs(request: HttpRequest, person_id: int) -> HttpResponse:
    """What a person has in hand, since when; whoever may hands it to another."""
    giver = found_person(person_id)
    may_hand_on = may(signed_in_person(request), HAND_ON_JOBS.row)
    if request.method == "POST" and not may_hand_on:
        raise PermissionDenied(
            "Your roles do not allow to hand jobs on: a controller or administrator does."
        )
    form = HandingForm(request.POST or None, giver=giver)
    if performed(request, HAND_ON_JOBS, form, person_id=giver.pk) is not None:
        messages.success(request, "Handed on: whoever takes over is told.")
        return redirect("fleet:people_jobs", giver.pk)
    found = jobs_of(giver)
    page = {
        "form": form,
        "person": giver,
        "waiting": [each for each in found if each.waits],
        "given": [each for each in found if not each.waits],
        "may_hand_on": may_hand_on,
    }
    return render(request, "fleet/people/jobs.html", page, status=422 if form.errors else 200)
