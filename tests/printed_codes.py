"""The code on a label or tag, read off the printed file itself by another library than the one that drew it."""

from __future__ import annotations

import re
from io import BytesIO

import numpy as np
import zxingcpp
from pypdf import PdfReader

_SQUARE = re.compile(rb"([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+) re\b")
#: Dots for one square, and the white edge around what is drawn.
DOTS, EDGE = 8, 60


def code_on(pdf: bytes) -> str:
    """What a reader sees of the dark squares of the first page. Fails where it reads nothing."""
    contents = PdfReader(BytesIO(pdf)).pages[0].get_contents()
    assert contents is not None
    drawn = [tuple(map(float, found)) for found in _SQUARE.findall(contents.get_data())]
    sides = [round(width, 3) for _, _, width, height in drawn if abs(width - height) < 0.01]
    side = max(set(sides), key=sides.count)
    squares = [one for one in drawn if abs(one[2] - side) < 0.01 and abs(one[3] - side) < 0.01]
    left, low = min(x for x, *_ in squares), min(y for _, y, *_ in squares)
    right, high = max(x for x, *_ in squares), max(y for _, y, *_ in squares)
    # By rows and columns of squares: the paper's own fractions of a point would blur their edges.
    rows, columns = (round(length / side) + 1 for length in (high - low, right - left))
    dark = np.full((rows, columns), 255, np.uint8)
    for x, y, *_ in squares:
        dark[round((high - y) / side), round((x - left) / side)] = 0
    picture = np.pad(dark.repeat(DOTS, 0).repeat(DOTS, 1), EDGE, constant_values=255)
    (found,) = zxingcpp.read_barcodes(picture)
    return found.bytes.decode()
