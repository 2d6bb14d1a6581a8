"""The code on a label or tag, read off the printed file itself by another library than the one that drew it."""

from __future__ import annotations

import re
from io import BytesIO

import numpy as np
import zxingcpp
from pypdf import PdfReader

_SQUARE = re.compile(rb"([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+) re\b")
#: Dots for one point of the paper, and the white edge around what is drawn.
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
    high = max(y for _, y, *_ in squares) + side
    size = round((high - low) * DOTS) + 2 * EDGE
    picture = np.full((size, size), 255, np.uint8)
    for x, y, *_ in squares:
        at, top = round((x - left) * DOTS) + EDGE, round((high - y - side) * DOTS) + EDGE
        dots = round(side * DOTS) + 1
        picture[top : top + dots, at : at + dots] = 0
    (found,) = zxingcpp.read_barcodes(picture)
    return found.bytes.decode()
