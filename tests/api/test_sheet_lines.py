"""Lines of any kind of sheet sent by a program: all or none, by the sheets' own judgement."""

from __future__ import annotations

import pytest

from fleet.models import Kind, Station

pytestmark = pytest.mark.django_db
ADDRESS = "/api/v1/sheet-lines"


def station(code: str, zone: str = "Europe/Lisbon") -> dict:
    cells = {"Code": code, "Name": code, "Time zone": zone}
    return {"sheet": "Stations", "cells": cells}


def test_lines_of_several_kinds_are_entered_once(program):
    client = program("controller")
    kind = {"sheet": "Kinds", "cells": {"Code": "SLIDE", "Name": "Slide"}}
    sent = {"lines": [station("QEX1"), kind]}

    first, again = (client.post(ADDRESS, sent, format="json") for _ in range(2))

    assert (first.status_code, first.json()) == (201, {"outcomes": ["accepted", "accepted"]})
    assert (again.status_code, again.json()) == (200, {"outcomes": ["known", "known"]})
    assert Station.objects.count() == Kind.objects.count() == 1


def test_one_bad_line_keeps_all_out_and_is_named_by_its_place(program):
    sent = {"lines": [station("QEX1"), station("QEX2", "Europe/Lisbonn")]}

    answer = program("controller").post(ADDRESS, sent, format="json")

    assert answer.status_code == 422
    assert answer.json()["errors"][0]["field"] == "lines.1.cells.time_zone"
    assert not Station.objects.exists()


@pytest.mark.parametrize(
    ("line", "field"),
    [
        ({"sheet": "Statoins", "cells": {"Code": "X"}}, "lines.0.sheet"),
        ({"sheet": "Stations", "cells": {"Colour": "X"}}, "lines.0.cells"),
    ],
)
def test_what_names_nothing_is_refused_at_its_place(program, line, field):
    answer = program("controller").post(ADDRESS, {"lines": [line]}, format="json")

    assert answer.status_code == 422
    assert answer.json()["errors"][0]["field"] == field


def test_a_kind_asks_who_may(program):
    work = {"sheet": "Works", "cells": {"Code": "OH", "Name": "Overhaul"}}

    answer = program("administrator").post(ADDRESS, {"lines": [work]}, format="json")

    assert (answer.status_code, answer.json()["code"]) == (403, "not_permitted")
