"""The demonstration's hard cases against dates worked by hand (see demo_fixtures/README.md)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, time
from io import StringIO

import pytest
from django.core.management import call_command
from django.db.models import Model
from django.test import Client, TransactionTestCase
from pytest_django.plugin import DjangoDbBlocker

from demo_fixtures.copies import reference_day
from demo_fixtures.people import PASSWORD
from equipment.findings.reads.open_items import open_rows
from equipment.models import Movement, Sighting, Unit
from equipment.stores.reads.clerk_day import clerk_day
from fleet.house.desks import ROLES
from fleet.models import (
    Aircraft,
    AircraftPosition,
    Load,
    Measure,
    User,
    UtilisationReading,
)
from scheduling.due.due_list import due_rows
from scheduling.due.lists.filters import DueFilters
from scheduling.due.lists.rows import DueRow
from scheduling.models import Amount, Clock, Disposition, Limit

Rows = dict[tuple[str, str], DueRow]


pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def demo(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[str]:
    """The demonstration loaded once for its reference day; the tables are emptied after the last test."""
    with django_db_blocker.unblock():
        said = StringIO()
        call_command("load_demo", today=reference_day(), stdout=said)
        yield said.getvalue()
        TransactionTestCase(methodName="__init__")._fixture_teardown()


@pytest.fixture(scope="module")
def rows(demo: str, django_db_blocker: DjangoDbBlocker) -> list[DueRow]:
    return list(due_rows(filters=DueFilters(), as_of=reference_day()))


@pytest.fixture(scope="module")
def by_case(rows: list[DueRow]) -> Rows:
    return {(row.serial_number or row.registration, row.limit): row for row in rows}


# serial number, limit, last good day worked by hand, band
WORKED = [
    # overhauled 20 Mar 2026, in store 1 to 30 Apr (29 days) -> 18 Apr 2026 + 12 months (over 15)
    ("B0815", "SLIDE-OVH", date(2027, 4, 18), "later-check"),
    # overhauled 18 Dec 2025, in store 30 Dec to 28 Jan (29 days) -> 16 Jan 2026 + 36 months (14)
    ("B0816", "SLIDE-OVH", date(2029, 1, 16), "beyond-plan"),
    # 15 years after 20 Mar 2012; 36 months from 10 Feb 2025 would be later
    ("R0817", "RAFT-OVH", date(2027, 3, 20), "next-check"),
    # December 2021 + 60 months, to its last day
    ("X0221", "OXY-HYD5", date(2026, 12, 31), "next-check"),
    # 3 Mar 2025 + 24 months, to the last day of that month
    ("D2403", "DCY-WGT", date(2027, 3, 31), "later-check"),
    # July 2003 + 24 years; the test of June 2026 + 3 years may not outlive it
    ("T0724", "BTL-LIFE3", date(2027, 7, 31), "later-check"),
    ("T0724", "BTL-HYD3", date(2027, 7, 31), "later-check"),
    # made 10 Feb 2024, in store 22 Feb to 9 Oct 2024 (230 days) -> 27 Sep 2024 + 36 months
    ("B2601", "SLIDE-OVH", date(2027, 9, 27), "later-check"),
    # made 1 Mar 2023, in store from 13 Mar 2023, 12 months of it (366 days) -> 1 Mar 2024 + 36
    ("B2602", "SLIDE-OVH", date(2027, 3, 1), "later-check"),
    # made 10 Jan 2018, 2,501 days in store at half: 1,250 -> 13 Jun 2021 + 120 months
    ("H0050", "HOOD-LIFE", date(2031, 6, 13), "in-store"),
    # May 2018 + 120 months, before 18 Apr 2024 + 60
    ("LOT-1805/01", "CART-LIFE", date(2028, 5, 31), "beyond-plan"),
    # 18 Apr 2024 + 60 months, before October 2023 + 120
    ("LOT-2310/01", "CART-LIFE", date(2029, 4, 18), "beyond-plan"),
    ("LOT-2602", "CART-LIFE", date(2036, 2, 29), "in-store"),
    # September 2020 + 84 months by proof pressure, + 144 by water jacket
    ("E0707", "EXT-HYD", date(2027, 9, 30), "beyond-plan"),
    ("E1212", "EXT-HYD", date(2032, 9, 30), "beyond-plan"),
    # recharged 7 Oct 2024 + 72 months, to the month's end
    ("E0606", "EXT-6Y", date(2030, 10, 31), "beyond-plan"),
    # due 10 Feb 2026, done ten days later inside 15 days: from the original due date
    ("E0315", "EXT-WGT", date(2027, 2, 10), "later-check"),
    # April 2025 + half of 72 months
    ("C0060", "ELT-BAT", date(2028, 4, 30), "beyond-plan"),
    # March 2017 (good to the 31st) + 120 months
    ("V0010", "VEST-INSP", date(2027, 3, 31), "later-check"),
    # overhauled 3 Nov 2023 + 36 months + 60 days of extension
    ("R4402", "RAFT-OVH", date(2027, 1, 2), "next-check"),
    # August 2021 + 60 months
    ("X0411", "OXY-HYD5", date(2026, 8, 31), "overdue"),
    ("B0902", "SLIDE-OVH", date(2026, 12, 8), "out-of-phase"),
    # 2 Nov 2025 + 365 days
    ("M0911", "MEGA-FCT", date(2026, 11, 2), "overdue"),
    # July 2020 + 72 months
    ("E0999", "EXT-6Y", date(2026, 7, 31), "overdue"),
]


@pytest.mark.parametrize(("serial", "limit", "due_on", "band"), WORKED)
def test_falls_due_on_the_day_worked_by_hand(
    by_case: Rows, serial: str, limit: str, due_on: date, band: str
) -> None:
    row = by_case[serial, limit]

    assert (row.due_on, row.band) == (due_on, band)


@pytest.mark.parametrize(
    ("model", "field"),
    [
        (Clock, "counts_from"),
        (Clock, "anchor"),
        (Clock, "runs"),
        (Clock, "store_cap_each"),
        (Clock, "store_before_first_fitting"),
        (Clock, "rounds"),
        (Clock, "month_only_stamp"),
        (Clock, "compares"),
        (Clock, "runs_out"),
        (Amount, "when"),
        (Amount, "age_basis"),
        (Limit, "subject"),
        (Limit, "when"),
        (Limit, "is_directive"),
        (Limit, "next_from_original_due"),
        (Limit, "is_extendable"),
        (Disposition, "sort"),
    ],
)
def test_every_clock_of_the_design_is_in_use(demo: str, model: type[Model], field: str) -> None:
    choices = dict(model._meta.get_field(field).choices or ((False, ""), (True, "")))

    used = set(model._default_manager.values_list(field, flat=True))

    assert used >= set(choices)


def test_every_measure_is_counted(demo: str) -> None:
    measures = {"months", "days", *Measure.objects.values_list("code", flat=True)}

    assert set(Clock.objects.values_list("measure", flat=True)) == measures


def test_a_sample_is_due_by_the_earliest_of_its_quota(by_case: Rows) -> None:
    # three trials wanted in 36 months; the third latest was on 5 Sep 2024
    assert by_case["", "DEPLOY-21"].due_on == date(2027, 9, 5)


def test_the_list_is_telling_and_no_wall_of_red(rows: list[DueRow]) -> None:
    bands = Counter(row.band for row in rows)

    assert 2 <= bands["overdue"] <= 5
    assert 6 <= bands["out-of-phase"] <= 15
    assert 3 <= bands["no-basis"] <= 8
    assert 40 <= bands["next-check"] <= 150
    assert bands["later-check"] > 3 * bands["next-check"]
    assert not any(row.is_stale for row in rows)


def test_what_no_basis_lacks_is_named(by_case: Rows) -> None:
    lacking = {
        case: (row.missing, row.worst_on) for case, row in by_case.items() if row.band == "no-basis"
    }

    unmade = (("the date of manufacture",), None)
    assert lacking == {
        ("X0999", "OXY-HYD5"): unmade,
        ("L0404", "SLIGHT-REP"): unmade,
        ("A0001", "AID-REP"): unmade,
        ("R7701", "RAFT-OVH"): unmade,
        ("R7702", "RAFT-OVH"): unmade,
        # 84 months from October 2020, were it by proof pressure
        ("E0808", "EXT-HYD"): (("the method of the last work",), date(2027, 10, 31)),
    }


def test_a_battery_is_past_after_more_than_one_hour_of_use(by_case: Rows) -> None:
    assert by_case["C0061", "ELT-BAT"].band == "overdue"
    assert by_case["C0060", "ELT-BAT"].band == "beyond-plan"


def test_the_life_in_fillings_is_counted(by_case: Rows) -> None:
    row = by_case["X3120", "OXY-LIFE"]

    # April 2010 + 24 years is the other clock; 4,380 fillings the total at which it ends
    assert row.due_on == date(2034, 4, 30)
    assert row.due_at_other == 4380


def test_a_leased_unit_with_a_life_statement_is_reckoned(by_case: Rows) -> None:
    row = by_case["P7703", "LPK-REP"]

    assert (row.due_at_minutes, row.is_projected) == (20_000 * 60, True)
    assert row.band == "later-check"


def test_nothing_of_the_parked_aircraft_is_out_of_phase(rows: list[DueRow]) -> None:
    parked = [row for row in rows if row.registration == "Q7-VAH"]

    assert {row.band for row in parked} == {"before-return"}
    assert not any(row.is_projected for row in parked)


def test_a_directive_is_open_repeated_or_ended(by_case: Rows) -> None:
    # 500 hours from 6 Oct 2026 come before its 90 days; then each 1,000 cycles
    opened, repeated = by_case["T4102", "DIR-26-04"], by_case["T4105", "DIR-26-04"]

    assert (opened.band, opened.is_projected) == ("out-of-phase", True)
    assert opened.due_on is not None
    assert opened.due_on < date(2027, 1, 4)
    assert repeated.due_at_cycles is not None
    assert ("T4111", "DIR-26-04") not in by_case
    assert ("T4114", "DIR-26-04") not in by_case


def test_slide_rolls_up_what_only_the_shop_takes_out(by_case: Rows) -> None:
    row = by_case["T0724", "BTL-LIFE3"]

    assert (row.position, row.inside, row.line_serial_number) == ("D2R-SLIDE", "BTL", "B0724")


def test_a_reidentified_slide_keeps_its_original_number(demo: str) -> None:
    slide = Unit.objects.get(serial_number="B2110")

    assert (slide.original_part.number, slide.part_number.number) == ("BQ21.110L", "BQ21.115L")


def test_a_corrected_movement_puts_both_extinguishers_right(demo: str) -> None:
    places = {
        unit.serial_number: unit.place.aircraft_position.type_position.code
        for unit in Unit.objects.filter(serial_number__in=["E0503", "E0504"])
    }

    assert places == {"E0503": "EXT-2", "E0504": "EXT-1"}
    assert Movement.objects.filter(unit__serial_number="E0503", corrects__isnull=False).count() == 1


def test_the_merged_vest_is_one_unit(demo: str) -> None:
    assert Unit.objects.get(serial_number="VO117").merged_into.serial_number == "V0117"


def test_what_was_seen_in_the_cabins_is_kept_and_moves_nothing(demo: str) -> None:
    seen = Sighting.objects.order_by("pk")

    assert [(s.serial_number_read, s.unit and s.unit.serial_number) for s in seen] == [
        ("B2110", "B2110"),
        ("E0503", "E0503"),
        ("VO117", "V0117"),
        ("M0499", None),
    ]


def test_the_lot_was_split(demo: str) -> None:
    lots = Unit.objects.filter(serial_number__in=["LOT-2602", "LOT-2602/N1"])

    assert {lot.serial_number: (lot.quantity, lot.place.station.code) for lot in lots} == {
        "LOT-2602": (22, "QVMR"),
        "LOT-2602/N1": (2, "QNRB"),
    }


def test_what_the_fleet_flies_with_is_open_by_its_documents(demo: str) -> None:
    shown, _ = open_rows(reference_day())

    assert [(row.where, row.left_words) for row in shown] == [
        ("Q7-VAE D2R-SLIDE", "1 day remaining"),
        ("Q7-VBB LPK-2", "6 days remaining"),
        ("Q7-VAC", "116 days remaining"),
    ]


def test_a_door_is_deactivated(demo: str) -> None:
    position = AircraftPosition.objects.get(
        aircraft__registration="Q7-VAE", type_position__code="D2R-SLIDE"
    )

    assert not position.is_active


def test_the_reading_that_runs_backwards_is_kept_and_counted_by_nobody(demo: str) -> None:
    (kept,) = UtilisationReading.objects.filter(is_conforming=False, measure__code="FH")

    assert kept.aircraft.registration == "Q7-VAJ"
    assert kept.reasons


def test_units_are_in_the_shop_in_quarantine_lent_and_gone(demo: str) -> None:
    sorts = Counter(Unit.objects.filter(merged_into=None).values_list("place__sort", flat=True))

    assert sorts.keys() == {"aircraft", "inside", "store", "quarantine", "shop", "party", "gone"}
    assert sum(sorts.values()) >= 1_200
    assert Aircraft.objects.count() == 16


def test_one_shop_order_is_late_and_three_come_back_in_time(demo: str) -> None:
    now = datetime.combine(reference_day(), time(12), UTC)
    day = clerk_day(today=reference_day(), at=now)

    assert [(order.number, order.days_late) for order in day.late] == [("VAR-RO-0089", 48)]
    assert [order.expected_on for order in day.to_receive if not order.is_late] == [
        date(2026, 12, 4),
        date(2026, 12, 11),
        date(2026, 12, 18),
    ]


def test_a_second_load_changes_nothing(demo: str) -> None:
    before = (Movement.objects.count(), UtilisationReading.objects.count(), Load.objects.count())
    said = StringIO()

    call_command("load_demo", today=date(2027, 1, 31), stdout=said)

    assert "nothing was changed" in said.getvalue()
    assert before == (
        Movement.objects.count(),
        UtilisationReading.objects.count(),
        Load.objects.count(),
    )


def test_every_desk_has_somebody_who_can_sign_in(demo: str, client: Client) -> None:
    roles = {role for user in User.objects.all() for role in user.roles}

    assert roles == set(dict(ROLES))
    assert all(client.login(username=name, password=PASSWORD) for name in ("controller", "auditor"))
