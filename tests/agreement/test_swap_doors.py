"""One rule of a swap, whichever door it comes through: page and API refuse with the same codes.

A page says them at its form's fields or beside the step. What is refused changes nothing, so both
doors are tried on the same swap as it stands.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from equipment.models import Swap
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.api.swaps_world import SWAPS, ByApi, an_open_swap, body_of_swap, credentials
from tests.equipment.line_world import PASSWORD, signed_in
from tests.equipment.swaps.test_swap_pages import JUNK

TOMORROW = timedelta(days=1)


@dataclass
class Both:
    """The same swap by a program and by a browser, both a technician's."""

    job: ByApi
    page: Client
    programs: Callable[[str], Any] = field(repr=False)

    def form(self, name: str, *more: int, **sent: Any) -> set[str]:
        """The codes that a page refuses with."""
        address = reverse(f"equipment:{name}", args=[self.job.id, *more])
        answer = self.page.post(address, {"act_id": uuid4(), **sent})
        assert answer.status_code == 422, answer.status_code
        return codes_of_page(answer)


def codes_of_page(answer: Any) -> set[str]:
    if "refused" in answer.context:
        return {each.code for each in answer.context["refused"].refusals}
    errors = answer.context["form"].errors.as_data()
    return {error.code for found in errors.values() for error in found}


def codes_of_api(answer: Any) -> set[str]:
    assert answer.status_code in {400, 403, 422}, answer.content
    return {error["code"] for error in answer.json()["errors"]}


@pytest.fixture(scope="module")
def opened(one_stage):
    return an_open_swap()


@pytest.fixture
def both(opened, program):  # noqa: F811
    job = opened.as_it_was(program("technician"))
    return Both(job, signed_in(job.people["technician"]), program)


# --- steps ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "typed", "tool", "code"),
    [
        (6, {"value": "abc"}, "VT-1", None),
        (6, {}, "VT-1", None),
        (4, {"value": "3000", "temperature": "warm"}, "", None),
        (2, {"count": "2.5"}, "", None),
        (7, {"value": "2", "unit": "Ω"}, "VT-2", "value_questioned"),
        (6, {"value": "242", "drag": "12"}, "NONE", "unknown_tool"),
        (6, {"value": "9" * 80}, "VT-1", None),
    ],
)
def test_what_cannot_be_kept_of_a_step_is_refused_alike(both, number, typed, tool, code):
    api = codes_of_api(both.job.enter(number, typed, tool=tool))
    page = both.form("swap_step", number, tool=tool, **typed)

    assert page == api
    assert code is None or api == {code}


@pytest.mark.parametrize("junk", JUNK)
def test_whatever_is_typed_is_judged_alike(both, junk):
    api = both.job.enter(10, {"value": junk})
    address = reverse("equipment:swap_step", args=[both.job.id, 10])
    page = both.page.post(address, {"act_id": uuid4(), "value": junk})

    assert (page.status_code == 302) == (api.status_code == 201), (page.status_code, api.content)
    if api.status_code == 201:
        first, second = Swap.objects.get(pk=both.job.id).entries.order_by("pk")
        assert (first.verdict, first.values) == (second.verdict, second.values)
    else:
        assert codes_of_page(page) == codes_of_api(api)


def test_a_call_for_nobody_is_refused_alike(both):
    api = codes_of_api(both.job.post("calls", step=1))

    assert both.form("swap_call", 1) == api == {"not_to_be_inspected"}


# --- signatures -------------------------------------------------------------------------------


def off_tolerance(job: ByApi) -> None:
    job.enter(6, {"value": "204", "unit": "in-lb", "drag": "12"})


def counted(job: ByApi) -> None:
    job.enter(2)
    job.enter(11)


def signed(job: ByApi) -> None:
    counted(job)
    job.sign(11)


def inspected(job: ByApi) -> None:
    signed(job)
    job.inspect(11)


def nothing(job: ByApi) -> None:
    """As it was opened."""


SIGNATURES: dict[str, tuple[Any, str, int, str, dict[str, str], str | None]] = {
    "not done": (nothing, "step", 1, "technician", {}, None),
    "wrong password": (counted, "step", 11, "technician", {"password": "x"}, "credentials_wrong"),
    "unknown name": (counted, "step", 11, "nobody", {}, "credentials_wrong"),
    "name with a NUL": (counted, "step", 11, "no\x00body", {}, None),
    "role": (counted, "step", 11, "controller", {}, "not_permitted"),
    "off tolerance": (off_tolerance, "step", 6, "technician", {}, "step_out_of_tolerance"),
    "no movement": (lambda job: job.enter(3), "step", 3, "technician", {}, "movement_not_recorded"),
    "signed": (signed, "step", 11, "technician", {}, "signed_already"),
    "own work": (signed, "inspection", 11, "technician", {}, "not_permitted"),
    "unsigned work": (counted, "inspection", 11, "inspector", {}, "work_not_signed"),
    "not inspected": (nothing, "inspection", 1, "inspector", {}, "not_to_be_inspected"),
    "inspected": (inspected, "inspection", 11, "certifying", {}, "inspected_already"),
    "no reason": (signed, "reinspection", 11, "technician", {"reason": ""}, None),
    "not own work": (signed, "reinspection", 11, "inspector", {"reason": "Fog"}, "not_own_work"),
}
DOORS = {"step": "signature"}


@pytest.mark.parametrize("case", list(SIGNATURES.values()), ids=list(SIGNATURES))
def test_a_signature_is_refused_alike(both, case):
    prepare, what, number, name, more, code = case
    prepare(both.job)
    sent = {**credentials(name), **more}

    api = both.job.post(f"steps/{number}/{DOORS.get(what, what)}", **sent)
    page = both.form("swap_sign", what=what, step=number, **sent)

    if name == "no\x00body":  # the shape of either door has a word of its own for it
        assert (api.status_code, len(page)) == (400, 1)
    else:
        assert page == codes_of_api(api)
        assert code is None or code in page


@pytest.mark.parametrize("done", ["nothing", "one step off", "all but one inspection"])
def test_the_release_names_the_same_obstacles(both, done):
    if done == "one step off":
        both.job.do_all(but=(6,))
        off_tolerance(both.job)
    if done == "all but one inspection":
        both.job.do_all(but=(11,))
        signed(both.job)

    api = codes_of_api(both.job.release())
    page = both.form("swap_release", **credentials("certifying"))

    assert page == api


def test_who_may_not_release_is_refused_alike(both):
    both.job.do_all()

    for name in ("technician", "inspector", "auditor"):
        api = codes_of_api(both.job.release(name))
        assert both.form("swap_release", **credentials(name)) == api == {"not_permitted"}


@pytest.mark.parametrize(
    ("taker", "password", "code"),
    [
        ("technician", PASSWORD, "same_person"),
        ("inspector", "x", "credentials_wrong"),
        ("stores", PASSWORD, "not_permitted"),
    ],
)
def test_a_handover_is_refused_alike(both, taker, password, code):
    words = "Nothing is done yet"
    api = both.job.post(
        "handover",
        words=words,
        giver=credentials("technician"),
        taker=credentials(taker, password),
    )
    page = both.form(
        "swap_hand_over",
        words=words,
        giver="technician",
        giver_password=PASSWORD,
        taker=taker,
        taker_password=password,
    )

    assert page == codes_of_api(api) == {code}


# --- beginnings, movements, ends --------------------------------------------------------------


def test_a_second_swap_at_a_position_is_refused_alike(both):
    line = both.job.line
    api = codes_of_api(both.job.client.post(SWAPS, body_of_swap(line), format="json"))
    sent = {"unit": line.old.pk, "reason": "Overhaul is due", "station": line.station.pk}

    page = both.page.post(reverse("equipment:swap_start"), {"act_id": uuid4(), **sent})

    assert codes_of_page(page) == api == {"swap_already_open"}


@pytest.mark.parametrize(
    ("api_tag", "page_tag", "later", "code"),
    [
        ({"sort": "unserviceable"}, {"tag": "unserviceable", "why": ""}, -TOMORROW, "missing"),
        ({"sort": "serviceable"}, {"tag": "serviceable", "why": ""}, TOMORROW, "in_the_future"),
    ],
)
def test_a_removal_is_refused_alike(both, api_tag, page_tag, later, code):
    moment = timezone.now() + later

    api = codes_of_api(both.job.take_off(tag=api_tag, happened_at=moment.isoformat()))
    page = both.form(
        "swap_off",
        unit=both.job.line.old.pk,
        to="quarantine",
        happened_at=f"{moment:%Y-%m-%dT%H:%M}",
        **page_tag,
    )

    assert page == api == {code}


def test_a_swap_with_movements_is_not_abandoned_by_either_door(both):
    both.job.take_off()
    api = codes_of_api(both.job.post("abandonment", reason="Not due"))

    assert both.form("swap_abandon", reason="Not due") == api == {"swap_has_movements"}


def test_an_open_swap_is_not_corrected_by_either_door(both):
    sent = {"act_id": str(uuid4()), "reason": "Wrong wrench"}
    address = f"{SWAPS}/{both.job.id}/correction"
    api = codes_of_api(both.programs("certifying").post(address, sent, format="json"))
    both.page = signed_in(both.job.people["certifying"])

    assert both.form("swap_correct", reason="Wrong wrench") == api == {"swap_not_released"}


def test_an_ended_swap_takes_no_more_by_either_door(both):
    both.job.post("abandonment", reason="Not due after all")
    sent = credentials("technician")

    for api, page in (
        (both.job.enter(1), both.form("swap_step", 1, done="yes")),
        (both.job.sign(1), both.form("swap_sign", what="step", step=1, **sent)),
        (both.job.post("abandonment", reason="Again"), both.form("swap_abandon", reason="Again")),
    ):
        assert codes_of_api(api) == page == {"swap_ended"}


def test_a_call_that_is_over_is_refused_in_the_same_sentence(both):
    counted(both.job)
    call = both.job.post("calls", step=11).json()["id"]
    both.job.sign(11)
    both.job.inspect(11)

    api = both.programs("inspector").post(f"/api/v1/calls/{call}/answer", {}, format="json")
    page = signed_in(both.job.people["inspector"]).post(
        reverse("equipment:swap_coming", args=[call])
    )

    assert (api.json()["code"], page.status_code) == ("unknown_call", 422)
    assert api.json()["detail"] in page.content.decode()
