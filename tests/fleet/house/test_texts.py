from __future__ import annotations

import pytest

from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long, why_not_kept

ASKED = "Say what was found."


@pytest.mark.parametrize("text", ["cover torn", "  cover torn\n", " " * 20 + "cover torn"])
def test_a_text_is_kept_without_the_blanks_around_it(text):
    assert refuse_blank(text, ASKED, "words", 10) == "cover torn"
    assert refuse_long(text, "words", 10) == "cover torn"


@pytest.mark.parametrize(
    ("text", "code", "sentence"),
    [
        ("", "missing", ASKED),
        (" \t\n", "missing", ASKED),
        ("cover torn.", "too_long", "No longer than 10 characters, please."),
        ("cover\x00", "unreadable", "This cannot be read. Type it again."),
    ],
)
def test_what_cannot_be_kept_is_refused_at_its_field(text, code, sentence):
    with pytest.raises(Refused) as refused:
        refuse_blank(text, ASKED, "words", 10)

    (why,) = refused.value.refusals
    assert (why.code, why.message, why.field) == (code, sentence, "words")


def test_a_text_that_need_not_be_given_may_be_blank():
    assert refuse_long("  ", "words", 10) == ""
    assert why_not_kept("", "words", 10) == []
