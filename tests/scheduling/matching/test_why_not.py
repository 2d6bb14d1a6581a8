from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.costs import cost_columns
from scheduling.matching.facts.facts import NO_LIMIT, Facts, Fit, Way
from scheduling.matching.facts.reasons import Reason, reasons_in
from scheduling.matching.solving.screen import reason_bits
from scheduling.matching.telling.why_not import why_not
from tests.scheduling.matching.generated import a_need, a_supply, later, possible, some_facts

SOUTH = Way("South", "North", 3, 40)


def codes(need, supply, *ways, **facts):
    world = Facts((need,), (supply,), ways, **facts)
    return [one.code for one in why_not(need, supply, world)]


@pytest.mark.parametrize(
    ("code", "need", "supply"),
    [
        ("wrong_part", {}, {"part": "SL-9"}),
        ("wrong_standard", {"fits": (Fit("SL-1", ("A",)),)}, {"standard": "B"}),
        ("wrong_hand", {"fits": (Fit("SL-1", hand="left"),)}, {"hand": "right"}),
        ("wrong_msn", {"fits": (Fit("SL-1", msn_from="1002"),)}, {}),
        ("wrong_msn", {"fits": (Fit("SL-1", msn_to="999"),)}, {}),
        ("life_not_known", {}, {"lasts_until": None}),
        ("life_ends_early", {}, {"lasts_until": later(399)}),
        ("life_ends_early", {"opportunities": ()}, {"lasts_until": later(29)}),
        ("too_little_life", {"least_days": 471}, {}),
        ("shelf_life_over", {}, {"shelf_until": later(29)}),
        ("in_quarantine", {}, {"is_quarantined": True}),
        ("unserviceable", {}, {"is_serviceable": False}),
        ("no_certificate", {}, {"has_certificate": False}),
        ("needs_decision", {}, {"needs_decision": True}),
        ("no_dual_release", {"dual_release": "QSIG-2"}, {"has_dual_release": False}),
        ("arrival_not_known", {}, {"free_from": None}),
        ("no_way_there", {}, {"station": "East"}),
        ("arrives_late", {}, {"free_from": later(31)}),
        ("arrives_late", {}, {"station": "South", "free_from": later(28)}),
        ("dangerous_goods_late", {}, {"station": "South", "is_dangerous": True}),
        ("owner_restriction", {"owners": frozenset({"us"})}, {"owner": "lessor"}),
        ("owner_restriction", {}, {"only_msns": frozenset({"1002"})}),
        ("return_due", {}, {"return_by": later(399)}),
        ("reserved_for_another", {}, {"reserved_for": "another"}),
    ],
)
def test_each_rule_says_its_own_reason_and_no_other(code, need, supply):
    assert codes(a_need(**need), a_supply(**supply), SOUTH) == [code]


@pytest.mark.parametrize(
    ("need", "supply"),
    [
        ({}, {}),
        (
            {"fits": (Fit("SL-9"), Fit("SL-1", ("A", "B"), "left", "1001", "1001"))},
            {"standard": "B", "hand": "left"},
        ),
        ({"fits": (Fit("SL-1", hand="left"),)}, {"hand": ""}),
        ({}, {"lasts_until": later(400)}),
        ({}, {"lasts_until": NO_LIMIT}),
        ({"opportunities": (later(10), later(30))}, {"lasts_until": later(30)}),
        ({"least_days": 470}, {}),
        ({}, {"shelf_until": later(30)}),
        ({}, {"free_from": later(30)}),
        ({}, {"station": "South", "free_from": later(27)}),
        ({}, {"is_dangerous": True}),
        ({"owners": frozenset({"us"})}, {"owner": "us"}),
        ({}, {"only_msns": frozenset({"1001"}), "return_by": later(400)}),
        ({}, {"reserved_for": "need"}),
        ({"dual_release": "QSIG-2"}, {}),
        ({}, {"has_dual_release": False}),
    ],
)
def test_at_its_very_edge_each_rule_lets_a_unit_through(need, supply):
    assert codes(a_need(**need), a_supply(**supply), SOUTH) == []


def test_no_reason_is_missing_when_many_hold():
    bad = a_supply(
        part="SL-9",
        station="East",
        lasts_until=later(20),
        has_certificate=False,
        is_quarantined=True,
        is_serviceable=False,
        reserved_for="another",
        return_by=later(1),
    )

    assert codes(a_need(least_days=30), bad, forbidden=(("need", "supply"),)) == [
        "wrong_part",
        "life_ends_early",
        "too_little_life",
        "in_quarantine",
        "unserviceable",
        "no_certificate",
        "no_way_there",
        "return_due",
        "reserved_for_another",
        "forbidden",
    ]


def test_dangerous_goods_go_only_by_a_way_that_takes_them():
    bottle = a_supply(station="South", is_dangerous=True)

    assert codes(a_need(), bottle, SOUTH) == ["dangerous_goods_late"]
    assert codes(a_need(), bottle, Way("South", "North", 31, is_dangerous=True)) == [
        "dangerous_goods_late"
    ]
    assert codes(a_need(), bottle, Way("South", "North", 30, is_dangerous=True)) == []


def test_a_lock_keeps_both_from_all_others():
    need, supply = a_need(), a_supply()

    assert codes(need, supply, locked=(("need", "supply"),)) == []
    assert codes(need, supply, locked=(("need", "other"),)) == ["locked_to_another"]
    assert codes(need, supply, locked=(("other", "supply"),)) == ["locked_to_another"]


def test_of_two_fits_of_a_part_the_nearest_says_what_is_wrong():
    fits = (Fit("SL-1", ("A",), "left", "2000"), Fit("SL-1", ("A",)))

    assert codes(a_need(fits=fits), a_supply(standard="B", hand="right")) == ["wrong_standard"]


def test_serial_numbers_of_aircraft_compare_as_numbers():
    fits = (Fit("SL-1", msn_from="200", msn_to="1000"),)

    assert codes(a_need(fits=fits, msn="999"), a_supply()) == []
    assert codes(a_need(fits=fits, msn="1001"), a_supply()) == ["wrong_msn"]


def test_every_reason_has_words_with_the_unit_or_part_in_them():
    for seed in range(200):
        facts = some_facts(seed, odd=0.5)
        for need in facts.needs:
            for supply in facts.supplies:
                for one in why_not(need, supply, facts):
                    named = (supply.unit, supply.part, supply.station, need.key)
                    assert any(name in one.message for name in named), one
                    assert one.message.endswith(".")


def test_columns_give_the_same_reasons_as_one_pair_at_a_time():
    seen: Counter[str] = Counter()
    for seed in range(1500):
        facts = some_facts(seed, odd=0.35)
        columns = columns_of(facts)
        bits = reason_bits(columns, np.arange(4)[:, None], np.arange(4)[None, :])
        for row, need in enumerate(facts.needs):
            for other, supply in enumerate(facts.supplies):
                by_columns = [one.code for one in reasons_in(int(bits[row, other]))]
                assert by_columns == [one.code for one in why_not(need, supply, facts)], seed
                seen.update(by_columns or ["none"])

    assert min(seen[one.code] for one in Reason) > 50
    assert seen["none"] > 200, seen


def test_columns_give_the_same_costs_as_one_pair_at_a_time():
    for seed in range(400):
        facts = some_facts(seed, odd=0.1)
        columns = columns_of(facts)
        rows = {one.key: row for row, one in enumerate(facts.needs)}
        others = {one.key: row for row, one in enumerate(facts.supplies)}
        costs = possible(facts)
        need = np.array([rows[one] for one, _ in costs], dtype=np.int64)
        supply = np.array([others[one] for _, one in costs], dtype=np.int64)

        assert cost_columns(columns, need, supply).tolist() == list(costs.values()), seed


def test_the_cheaper_of_two_equally_quick_ways_counts():
    need, supply = a_need(), a_supply(station="South")
    ways = (replace(SOUTH, cost=70), SOUTH, replace(SOUTH, days=4, cost=1))
    facts = Facts((need,), (supply,), ways)

    cost = cost_columns(columns_of(facts), np.array([0]), np.array([0]))

    assert cost.tolist() == [possible(facts)["need", "supply"]] == [100 + 40]
