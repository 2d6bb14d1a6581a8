"""The parts drawn together on one page; ``python -m tests.fleet.test_gallery FILE`` writes it out to be looked at."""

from __future__ import annotations

import pytest
from django.template.loader import render_to_string

from fleet.drawing.states import STATES
from tests.fleet.drawing import gallery_data as invented

pytestmark = pytest.mark.django_db  # the page is headed with the operator's name


def gallery() -> str:
    return render_to_string(
        "fleet/drawing/gallery.html",
        {
            "today": invented.TODAY,
            "codes": list(STATES),
            "counts": [
                ("overdue", 3),
                ("no-basis", 12),
                ("out-of-phase", 5),
                ("next-check", 48),
                ("later-check", 1204),
                ("before-return", 0),
            ],
            "rows": invented.ROWS,
            "clocks": invented.CLOCKS,
            "planned": invented.PLANNED,
            "months": invented.MONTHS,
            "plans": [
                ("Long type", invented.LONG_TYPE, invented.LONG_PLACES),
                ("Short type", invented.SHORT_TYPE, invented.SHORT_PLACES),
            ],
        },
    )


def test_every_part_renders_without_inline_style_or_script():
    page = gallery()

    assert " style=" not in page
    assert "<script>" not in page
    assert "onclick" not in page


def test_the_page_says_that_its_data_is_invented_and_that_approved_data_governs():
    page = gallery()

    assert "Invented demonstration data" in page
    assert "approved data governs" in page


def test_two_types_are_drawn_differently():
    page = gallery()

    hulls = {part.split('"')[0] for part in page.split('class="plan-hull" d="')[1:]}

    assert len(hulls) == 4  # each of two types, wide and tall
