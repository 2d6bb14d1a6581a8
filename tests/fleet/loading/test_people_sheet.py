"""People by sheet: invited all at once, known when brought again, never changed by a load."""

from __future__ import annotations

import pytest

from fleet.models import PersonAct, User

from .test_line_sheets import refusals

pytestmark = pytest.mark.django_db
HEAD = ["Username", "First name", "Last name", "Roles", "Home station"]
STATIONS = [["Code", "Name", "Time zone"], ["QVMR", "Varrowmoor", "Europe/London"]]
CLERK = ["c.abbleby", "Corwin", "Abbleby", "Stores clerk, auditor", "QVMR"]
LINE = ["d.follows", "Dagny", "Follows", "technician", ""]


def test_people_are_invited_with_roles_and_home_and_each_is_told_of(bring):
    result = bring({"Stations": STATIONS, "People": [HEAD, CLERK, LINE]})

    assert refusals(result) == {}
    clerk = User.objects.get(username="c.abbleby")
    assert (clerk.roles, clerk.home_station.code) == (["stores", "auditor"], "QVMR")
    assert clerk.is_waited_for and clerk.link_made_at
    assert PersonAct.objects.filter(act="invited").count() == 2


def test_brought_again_they_are_known(bring):
    bring({"Stations": STATIONS, "People": [HEAD, CLERK, LINE]})

    again = bring({"People": [HEAD, CLERK, LINE]})

    assert (again.accepted, again.known) == (0, 2)
    assert PersonAct.objects.filter(act="invited").count() == 2


@pytest.mark.parametrize(
    ("changed", "cell", "code"),
    [
        ({3: "pilot"}, "D2", "unknown_role"),
        ({0: "two words"}, "A2", "username_unreadable"),
        ({0: "CONTROLLER"}, "B2", "differs_from_record"),
        ({4: "NOWH"}, "E2", "unknown_station"),
        ({3: ""}, "D2", "missing"),
    ],
)
def test_whom_one_cannot_invite_is_refused_at_the_cell(bring, changed, cell, code):
    line = [changed.get(place, value) for place, value in enumerate(LINE)]

    result = bring({"People": [HEAD, line]})

    assert refusals(result) == {cell: code}
    assert User.objects.count() == 1
