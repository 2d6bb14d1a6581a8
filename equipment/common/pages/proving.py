"""Who signs, proven by name and password, from a page or by a program."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.utils import timezone
from rest_framework.request import Request

from fleet.house.refusals import Refused
from fleet.people.proofs import Proof, prove
from fleet.screens.act_forms import ProofForm


def proof_by(request: Request, sent: dict[str, Any], at: str = "") -> Proof:
    """Who signs, proven before anything is held, so that a failure stays counted.

    What is refused is said at the password's own place in the body.
    """
    try:
        return prove(
            request, username=sent["username"], password=sent["password"], at=timezone.now()
        )
    except Refused as refused:
        # Or the page for a locked-out browser would replace the problem that a program reads.
        received: Any = request._request
        received.axes_locked_out = False
        raise Refused(refused.code, refused.message, f"{at}{refused.field}") from None


def proof_of(request: HttpRequest, form: ProofForm) -> Proof:
    given = form.cleaned_data
    return prove(request, username=given["username"], password=given["password"], at=timezone.now())
