"""The sheet of works says by which terms a certificate certifies each, and may say otherwise later."""

from __future__ import annotations

from equipment.stores.ports import known_works

HEAD = ["Code", "Name", "Certified by"]


def terms():
    return {each.code: each.certified_by for each in known_works()}


def test_terms_are_taken_known_again_and_changed(bring):
    rows = [
        HEAD,
        ["OH", "Overhaul", "Overhauled"],
        ["HY", "Test", "overhauled, Inspected/Tested"],
        ["X", "Other", ""],
    ]

    first, again = bring({"Works": rows}), bring({"Works": rows})
    assert terms() == {"OH": ("OVERHAULED",), "HY": ("OVERHAULED", "INSPECTED/TESTED"), "X": ()}
    changed = bring({"Works": [HEAD, ["OH", "Overhaul", "Overhauled, Modified"]]})

    assert first.is_clean and again.is_clean and changed.is_clean
    assert terms()["OH"] == ("OVERHAULED", "MODIFIED")
