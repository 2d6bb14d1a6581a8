from __future__ import annotations

from datetime import date

from django.http import QueryDict

from fleet.screens.filter_forms import Options
from scheduling.due.lists.filters import DueFilters
from scheduling.due.pages.forms import DueFilterForm

OPTIONS = Options(station=[("NRV", "NRV")], aircraft=[("QK-ANB", "QK-ANB")], kind=[], work=[])
TODAY = date(2026, 11, 25)


def form(query: str) -> DueFilterForm:
    return DueFilterForm(QueryDict(query), OPTIONS)


def test_a_link_reproduces_the_view():
    first = form("station=NRV&band=overdue&until_on=2027-03-03&sort=due&down=on&part_number=sk-44")
    assert first.is_valid()

    again = form(first.address()[1:])

    assert again.is_valid()
    assert again.filters() == first.filters()


def test_filters_are_what_was_asked():
    asked = form("aircraft=QK-ANB&part_number= sk-44 ")
    assert asked.is_valid()

    assert asked.filters() == DueFilters(aircraft="QK-ANB", part_number="SK-44")


def test_without_a_day_it_is_today():
    asked = form("")
    assert asked.is_valid()

    assert asked.day(TODAY) == TODAY


def test_a_wrong_date_says_what_would_do():
    asked = form("until_on=03/03/27")

    assert asked.errors["until_on"] == [
        "'03/03/27' can be read as 3 Mar 2027 or as 27 Mar 2003. Write it as 3 Mar 2027."
    ]


def test_an_unknown_registration_is_refused_at_its_field():
    asked = form("aircraft=QK-XXX")

    assert asked.errors["aircraft"] == ["There is no aircraft QK-XXX. Choose one from the list."]
