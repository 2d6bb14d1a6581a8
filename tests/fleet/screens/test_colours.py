"""Tones are told apart by those who see no red or no green, and read on every ground: computed, not believed.

Dichromats are simulated in linear RGB by the matrices of Viénot, Brettel and Mollon, *Digital video colourmaps for
checking the legibility of displays by dichromats* (Color Research and Application 24, 1999), as printed there;
contrast is that of WCAG 2.2, difference the distance in CIE L*a*b* (1976) under D65.
"""

from __future__ import annotations

import re
from itertools import combinations
from math import dist
from pathlib import Path

import pytest

CSS = (Path(__file__).parents[3] / "fleet/static/face/face.css").read_text()
TONES = ("overdue", "out-of-phase", "next-check", "no-basis")
GROUNDS = ("sheet", "paper")
LEAST_APART = 20.0  # a difference of 2 is seen side by side; this is seen apart

RGB = tuple[float, float, float]
LMS = ((17.8824, 43.5161, 4.11935), (3.45565, 27.1554, 3.86714), (0.0299566, 0.184309, 1.46709))
BACK = (
    (0.0809444479, -0.130504409, 0.116721066),
    (-0.0102485335, 0.0540193266, -0.113614708),
    (-0.000365296938, -0.00412161469, 0.693511405),
)
SEEN = {
    "all colours": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "no red": ((0, 2.02344, -2.52581), (0, 1, 0), (0, 0, 1)),
    "no green": ((1, 0, 0), (0.494207, 0, 1.24827), (0, 0, 1)),
}
XYZ = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
WHITE = (0.95047, 1.0, 1.08883)


def tokens(theme: str) -> dict[str, str]:
    start = CSS.index(":root {" if theme == "light" else ':root[data-theme="dark"]')
    block = CSS[start : CSS.index("}", start)]
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", block))


def linear(colour: str) -> RGB:
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return red, green, blue


def times(matrix, vector: RGB) -> RGB:
    first, second, third = (sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix)
    return first, second, third


def as_seen(colour: str, by: str) -> RGB:
    seen = times(BACK, times(SEEN[by], times(LMS, linear(colour))))
    red, green, blue = (min(1.0, max(0.0, part)) for part in seen)
    return red, green, blue


def lab(rgb: RGB) -> RGB:
    x, y, z = (
        part ** (1 / 3) if part > 0.008856 else 7.787 * part + 16 / 116
        for part in (a / b for a, b in zip(times(XYZ, rgb), WHITE, strict=True))
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def contrast(one: str, other: str) -> float:
    low, high = sorted(times(XYZ, linear(colour))[1] for colour in (one, other))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("by", SEEN)
@pytest.mark.parametrize("pair", [*combinations(TONES, 2)], ids="-".join)
def test_two_tones_are_apart_whoever_looks(theme, by, pair):
    one, other = (lab(as_seen(tokens(theme)[tone], by)) for tone in pair)

    assert dist(one, other) >= LEAST_APART


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("tone", [*TONES, "soft", "band-ink", "ink"])
@pytest.mark.parametrize("ground", GROUNDS)
def test_each_is_read_on_each_ground(theme, tone, ground):
    assert contrast(tokens(theme)[tone], tokens(theme)[ground]) >= 4.5


def test_both_ways_into_the_dark_have_the_same_colours():
    by_device = CSS[CSS.index('not([data-theme="light"])') :]
    chosen = CSS[CSS.index(':root[data-theme="dark"]') :]

    for block in (by_device, chosen):
        assert tokens("dark") == dict(
            re.findall(r"--([\w-]+): (#[0-9a-f]{6})", block[: block.index("}")])
        )


def test_contrast_and_difference_are_as_published():
    # WCAG 2.2: black on white is 21:1; #767676 on white is the lightest grey at 4.5:1 (4.54).
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0, abs=0.01)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)
    assert lab(linear("#ffffff")) == pytest.approx((100, 0, 0), abs=0.02)
    # Pure red and a green of its brightness are one colour to who sees no green: they were once two tones.
    assert dist(lab(as_seen("#ae1f17", "no green")), lab(as_seen("#874a00", "no green"))) < 20
