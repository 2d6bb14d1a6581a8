"""Limits of slides, slide-rafts and what belongs to them."""

from __future__ import annotations

from .shape import Amount, Clock, Limit, from_reference, life, months, pyramid

SLIDES = [
    Limit(
        "SLIDE-OVH",
        "Door slide overhaul",
        "OVERHAUL",
        [
            Clock(
                "months",
                pyramid(36, 12, "at_work"),
                first_from="manufacture",
                anchor="shop_release",
                runs="store_up_to_cap",
                cap=12,
                before_first=True,
            )
        ],
        "QBR-CMM-2111",
        "12",
        kind="SLIDE",
        extendable=True,
        extension_days=30,
        from_on=from_reference(-420),
        revision="4",
    ),
    Limit(
        "SLIDE-OVH",
        "Door slide overhaul",
        "OVERHAUL",
        [Clock("months", [Amount(36)], first_from="manufacture", anchor="shop_release")],
        "QBR-CMM-2111",
        "11",
        kind="SLIDE",
        until_on=from_reference(-421),
        revision="3",
    ),
    Limit(
        "SLIDE-LIFE",
        "Door slide life",
        "RETIRE",
        life(240, "INFL", 12, "at"),
        "QBR-CMM-2111",
        "12",
        kind="SLIDE",
    ),
    Limit(
        "RAFT-OVH",
        "Slide-raft overhaul",
        "OVERHAUL",
        [
            Clock(
                "months",
                pyramid(36, 12, "at_due"),
                first_from="manufacture",
                anchor="shop_release",
            )
        ],
        "QBR-CMM-4421",
        "9",
        kind="RAFT",
        variation_percent="5",
        variation_most=30,
        extendable=True,
        extension_days=60,
    ),
    Limit(
        "OWS-OVH",
        "Overwing slide overhaul",
        "OVERHAUL",
        [
            months(
                48, first_from="first_installation", anchor="shop_release", never_later_months=300
            )
        ],
        "QBR-CMM-2131",
        "5",
        kind="OWSLIDE",
        extendable=True,
        extension_days=30,
    ),
    Limit(
        "SLIGHT-REP",
        "Slide light unit replacement",
        "EXCHANGE",
        [
            Clock(
                "months",
                [Amount(120, standard="L2"), Amount(96)],
                counts_from="manufacture",
                rounds="month_end",
            )
        ],
        "OLD-CMM-030",
        "2",
        kind="SLIGHT",
    ),
    Limit(
        "SKIT-REP",
        "Survival kit replacement",
        "EXCHANGE",
        [months(60, counts_from="manufacture", rounds="month_end")],
        "SMB-CMM-08",
        "4",
        kind="SKIT",
    ),
    Limit(
        "DEPLOY-21",
        "Deployment trial of door slides, narrow fleet",
        "DEPLOY",
        [months(36, first_from="given_date", given_on=from_reference(-800))],
        "VAR-EO-0207",
        "1",
        subject="population",
        kind="SLIDE",
        quota=3,
    ),
]
