"""Examples of the allocation for the schema. Everything in them is invented."""

from __future__ import annotations

from typing import Any

Example = dict[str, Any]
PROPOSAL: Example = {
    "as_of": "2027-03-03",
    "until_on": "2028-03-02",
    "made_at": "2027-03-03T08:00:00Z",
    "is_stale": False,
    "needs": 2,
    "short": 1,
}
NEED: Example = {
    "need": "Q-AVEN D1L-SLIDE",
    "state": "proposed",
    "on": "2027-06-07",
    "station": "LYD",
    "registration": "Q-AVEN",
    "position": "D1L-SLIDE",
    "check_name": "C4",
    "family": "Slide HS-4410-3",
    "works": ["Overhaul"],
    "unit_off": 512,
    "unit_off_words": "HS-4410-3 S/N A00731",
    "unit": 731,
    "unit_words": "HS-4410-3 S/N A00902",
    "pieces": 1,
    "cost": 120,
}
NEEDS: Example = {
    "next_page": None,
    "proposal": PROPOSAL,
    "counts": {"short": 1, "proposed": 1, "set_aside": 0},
    "results": [NEED],
}
WHY: Example = {
    "need": "Q-AVEN D1L-SLIDE",
    "units": [
        {
            "unit": 740,
            "unit_words": "HS-4410-3 S/N A00911",
            "may": False,
            "sentences": ["HS-4410-3 S/N A00911 has no release certificate."],
            "against": [
                {
                    "code": "no_certificate",
                    "message": "HS-4410-3 S/N A00911 has no release certificate.",
                }
            ],
            "cost": None,
            "taken_by": "",
        }
    ],
}
RULING: Example = {
    "id": 9,
    "act_id": "4c1c7a7e-52f0-4a0b-9d5e-3b1f2f2f7a10",
    "sort": "accept",
    "need": "Q-AVEN D1L-SLIDE",
    "unit": 731,
    "reservation": 44,
    "words": "",
    "ruled_at": "2027-03-03T08:05:00Z",
    "ruled_by": "Ines Harrow",
}
SHORTAGE: Example = {
    "proposal": PROPOSAL,
    "results": [
        {
            "family": "Slide HS-4410-3",
            "months": [
                {"month": "2027-06-01", "needs": 2, "on_hand": 1, "coming_back": 0, "short": 1}
            ],
            "lacking": 1,
            "unlisted": "",
            "short": [
                {
                    "need": "Q-AVER D1L-SLIDE",
                    "on": "2027-06-14",
                    "station": "LYD",
                    "cures": [
                        {
                            "sort": "hurry",
                            "unit": 733,
                            "days": 4,
                            "price": 80,
                            "sentence": "Hurry HS-4410-3 S/N A00904 out of the shop by 4 days.",
                        }
                    ],
                }
            ],
        }
    ],
}
FLOAT: Example = {
    "proposal": PROPOSAL,
    "planned": [
        {
            "family": "Slide HS-4410-3",
            "needs": 2,
            "spares": 1,
            "have": 1,
            "short": 0,
            "proof": [{"need": "Q-AVEN D1L-SLIDE", "out": "2027-06-07", "back": "2027-07-22"}],
            "chains": [["Q-AVEN D1L-SLIDE", "Q-AVER D1L-SLIDE"]],
            "unlisted": "",
        }
    ],
    "unforeseen": [
        {
            "kind": "Slide",
            "removals_a_year": 5.0,
            "turn_days": 73,
            "fill_rate": 0.9,
            "spares": 3,
            "fill_rate_got": 0.9197,
            "ready_rate": 0.981,
        }
    ],
    "to_own": [
        {
            "kind": "Slide",
            "planned": 1,
            "unforeseen": 3,
            "to_own": 4,
            "have": 1,
            "missing": 3,
        }
    ],
}
TO_BUY: Example = {
    "proposal": PROPOSAL,
    "results": [
        {
            "family": "Slide HS-4410-3",
            "parts": ["HS-4410-3"],
            "kind": "SLIDE",
            "planned": 2,
            "unforeseen_a_year": 5.0,
            "turn_days": 73,
            "least": 2,
            "reorder_at": 5,
            "good": 1,
            "coming": 1,
            "to_order": 3,
            "why": "2 removals planned, 2 out at one time (all out on 5 Jul 2027); 3 more for 5.0 removals a year that"
            " nobody plans, the shop taking 73 days; 1 good; 1 asked for or ordered.",
        }
    ],
}
