"""One act, once, from every form of every page: a double tap, a page gone back to, two tabs."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

TEMPLATES = Path(__file__).parents[3] / "templates"
FORM = re.compile(r"<form\b[^>]*method=\"post\".*?</form>", re.DOTALL)
#: What needs no id, since doing it again changes nothing, and why.
CHANGES_NOTHING_AGAIN = {
    "base.html": "who is signed out is signed out",
    "fleet/people/notices.html": "a notice that was read was read",
    "fleet/people/tokens.html": "a label is used once; what is withdrawn stays so",
    "fleet/people/_tokens.html": "what is withdrawn stays so",
    "fleet/people/_sessions.html": "a session that has ended has ended",
    "fleet/people/account.html": "a password that is the same is the same; sessions that have ended have ended",
    "fleet/people/entry/_ask_again.html": "who is signed in is signed in",
    "fleet/people/entry/again.html": "who is signed in is signed in",
    "fleet/people/entry/first.html": "the first administrator is made once",
    "fleet/people/entry/join.html": "a link is used once",
    "fleet/people/entry/sign_in.html": "who is signed in is signed in",
    "fleet/people/list.html": "the operator's name is the one that was given last",
    "fleet/moving_in/columns.html": "what is said of a workbook is what was said last",
    "fleet/moving_in/compare.html": "what is said of a workbook is what was said last",
    "fleet/moving_in/doubts.html": "what is said of a workbook is what was said last",
    "fleet/moving_in/missing.html": "what is said of a workbook is what was said last",
    "fleet/moving_in/own.html": "what is said of a workbook is what was said last",
    "fleet/moving_in/words.html": "what is said of a workbook is what was said last",
    "scheduling/entries/cabin.html": "a line of its sheet: the same again is known",
    "scheduling/entries/hours.html": "a line of its sheet: the same again is known",
    "scheduling/entries/sentence.html": "a line of its sheet: the same again is known",
    "fleet/loading/_decision.html": "a load waits for one decision",
    "fleet/loading/_load.html": "a load that was started again does not wait for it",
    "scheduling/due/_list.html": "what is chosen of the list is downloaded, nothing is recorded",
    "scheduling/allocation/_as_of.html": "a proposal of the same facts is the same proposal",
    "equipment/swaps/inspections.html": "an inspector who is on the way is on the way",
}


def forms_of(path: Path) -> list[str]:
    return FORM.findall(path.read_text())


def named(path: Path) -> str:
    return path.relative_to(TEMPLATES).as_posix()


@pytest.mark.parametrize("path", sorted(TEMPLATES.rglob("*.html")), ids=named)
def test_every_form_carries_the_id_of_its_act(path):
    if named(path) in CHANGES_NOTHING_AGAIN:
        assert forms_of(path), "No form is left here: take it off the list."
        return

    for form in forms_of(path):
        assert 'name="act_id"' in form, form
