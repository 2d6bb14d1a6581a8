"""A cabin drawn from the names of its doors, and positions placed by what they are called."""

from __future__ import annotations

import pytest

from fleet.drawing.outline import door_of, place_at, plan_of, side_of


@pytest.mark.parametrize(
    ("words", "side"),
    [
        ("Door 1 left", "left"),
        ("D1L-SLIDE", "left"),
        ("D2R", "right"),
        ("OWE LH", "left"),
        ("Overwing exit, right", "right"),
        ("DOOR2R SLIDE", "right"),
        ("Cockpit extinguisher", "centre"),
        ("LAV-1", "centre"),
    ],
)
def test_a_side_is_understood_from_a_name_or_a_code(words, side):
    assert side_of(words) == side


def plan():
    doors = [
        door_of(line) for line in ("Door 1 left", "Door 1 right", "Door 2 left", "Door 2 right")
    ]
    return plan_of(doors, {})


def test_doors_that_face_each_other_are_drawn_across_and_in_their_order():
    one_left, one_right, two_left, _ = plan()["doors"]

    assert one_left["x"] == one_right["x"] < two_left["x"]
    assert (one_left["side"], one_right["side"]) == ("left", "right")


def test_a_door_that_is_drawn_stays_where_it_was():
    before = plan()
    before["doors"][0]["x"] = 777

    again = plan_of([door_of("Door 1 left"), door_of("Door 3 left")], before)

    assert again["doors"][0]["x"] == 777
    assert again["length"] == before["length"]


def test_a_position_stands_at_the_door_it_is_named_after_on_its_side():
    drawn = plan()
    x, y = place_at("D2L-SLIDE", "Door 2 left slide", "left", drawn, [])

    assert x == drawn["doors"][2]["x"] and y < 0
    assert place_at("D2L-BTL", "Bottle", "left", drawn, [(x, y)]) == (x + 45, y)
    assert place_at("EXT-9", "Cockpit", "centre", drawn, [])[1] == 0
