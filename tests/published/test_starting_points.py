"""Starting points are what the published rules say: periods copied here from the rules, one by one.

49 CFR 180.209(a) Table 1 and (j), 180.205(i)(1)(v)(C); 14 CFR 91.207(c) and (d); 29 CFR 1910.157(e) and
Table L-1, whose periods NFPA 10 Table 8.3.1 shares.
"""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.urls import reverse

from fleet.house.pages import today
from scheduling.facts.batch import batch_of_units, units_listed
from scheduling.models import Limit
from scheduling.programme.published import BY_SLUG, STARTING_POINTS
from tests import builders as build
from tests.scheduling.rules import done, the_programme, the_work

#: The shortest period of each row, in years.
TABLE_1 = {
    "cylinder-3": 5,
    "cylinder-3a": 5,
    "cylinder-3al": 5,
    "cylinder-3ax": 5,
    "cylinder-3b": 5,
    "cylinder-3e": None,
    "cylinder-3ht": 3,
    "cylinder-3t": 5,
    "cylinder-4aa480": 5,
    "cylinder-4b": 5,
    "cylinder-4d": 5,
    "cylinder-4e": 5,
    "cylinder-4l": None,
    "cylinder-8": 10,
    "cylinder-permit": None,
    "cylinder-foreign": 5,
}
TABLE_L_1 = {
    "extinguisher-water": 5,
    "extinguisher-foam": 5,
    "extinguisher-wetting": 5,
    "extinguisher-dry-stainless": 5,
    "extinguisher-co2": 5,
    "extinguisher-dry-stored": 12,
    "extinguisher-dry-cartridge": 12,
    "extinguisher-halon-1211": 12,
    "extinguisher-halon-1301": 12,
    "extinguisher-dry-powder": 12,
}


@pytest.mark.parametrize(("slug", "years"), [*TABLE_1.items(), *TABLE_L_1.items()])
def test_a_period_is_that_of_the_table(slug, years):
    assert BY_SLUG[slug].months == (years and years * 12)


def test_each_row_of_the_tables_is_there_once_and_each_has_its_source():
    listed = {one.slug for one in STARTING_POINTS if "Table" in one.source}

    assert listed == {*TABLE_1, *TABLE_L_1}
    assert len(BY_SLUG) == len(STARTING_POINTS)
    assert all("CFR" in one.source for one in STARTING_POINTS)


# --- begun from one on the page, to its date -----------------------------------------------------


@pytest.fixture
def desk(client, db):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    return client


def field_values(page: str) -> dict[str, str]:
    """What the form would send as it stands."""
    form = page[page.find('<form method="post" class="stack"') :]
    found = dict(re.findall(r'<input type="(?:text|number)" name="([^"]+)" value="([^"]*)"', form))
    for name, body in re.findall(r'<select name="([^"]+)".*?>(.*?)</select>', form, re.S):
        chosen = re.search(r'<option value="([^"]*)" selected', body)
        found[name] = chosen[1] if chosen else ""
    return found


def entered(desk, slug: str, **more: str) -> Limit:
    address = reverse("scheduling:limit_new")
    begun = desk.get(address, {"start": slug}).content.decode()
    assert "Confirm with your approved data" in begun
    said = field_values(begun) | {
        "programme": the_programme().code,
        "limit": "NEW",
        "revision": "1",
        "kind": "BOTTLE",
        "work": the_work("HYDRO").code,
        "document_revision": "2024",
        **more,
    }
    shown = desk.post(address, said).content.decode()
    mark = re.search(r'name="shown" value="([0-9a-f]+)"', shown)
    assert mark, re.findall(r"field-error[^>]*>([^<]+)", shown)
    desk.post(address, said | {"shown": mark[1], "save": "1"})
    return Limit.objects.get(code="NEW")


def due_of(unit) -> date:
    reckoned = batch_of_units(units_listed([unit.pk]), today()).reckoned()
    return reckoned.due_on[0].astype("datetime64[D]").item()


@pytest.fixture
def bottle(desk):
    kind = build.a_kind("BOTTLE")
    the_programme()
    unit = build.a_unit(build.a_part(kind=kind), manufactured_on=build.day("2016-03-01"))
    build.moved(unit, "received", build.in_store(build.a_station()), "2020-01-05")
    return unit


def was_tested(unit, month: str, method: str = "") -> None:
    done("HYDRO", f"{month}-01", unit_id=unit.pk, precision="month", method=method)


def test_halon_1211_tested_in_march_2016_is_due_at_the_end_of_march_2028(desk, bottle):
    entered(desk, "extinguisher-halon-1211")
    was_tested(bottle, "2016-03")

    assert due_of(bottle) == date(2028, 3, 31)


def test_carbon_dioxide_tested_in_march_2021_is_due_at_the_end_of_march_2026(desk, bottle):
    entered(desk, "extinguisher-co2")
    was_tested(bottle, "2021-03")

    assert due_of(bottle) == date(2026, 3, 31)


@pytest.mark.parametrize(
    ("method", "due"), [("proof", date(2030, 6, 30)), ("jacket", date(2035, 6, 30))]
)
def test_a_4b_of_over_12_lb_repeats_after_7_years_by_proof_pressure_and_12_by_water_jacket(
    desk, bottle, method, due
):
    entered(desk, "on-board-4b-proof")
    was_tested(bottle, "2023-06", method)

    assert due_of(bottle) == due


def test_half_of_a_battery_s_stated_life(desk, bottle):
    bottle.stated_life_months = 120
    bottle.save()

    entered(desk, "locator-battery")

    assert due_of(bottle) == date(2021, 3, 31)


def test_the_page_lists_each_with_its_source(desk):
    page = desk.get(reverse("scheduling:starting_points")).content.decode()

    assert "Confirm each with your approved data." in page
    assert page.count("Begin a limit from it") == sum(
        bool(one.months or one.clock) for one in STARTING_POINTS
    )
