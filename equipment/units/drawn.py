"""Labels and tags drawn: nothing that is said is left off, however long."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

import numpy as np
import zxingcpp
from reportlab.lib.colors import black, white
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from equipment.common.paper import faces

FACE = "Plex"
#: The height of the head; the lowest line; sizes of letters, the usual one first.
BAR, LEAST, SIZES = 9 * mm, 8 * mm, (7.5, 6.5, 5.5)
INVENTED = "Invented demonstration data. Not for use."


@dataclass(frozen=True, slots=True)
class Sheet:
    """One label or tag: its head, lines as (name, value), what its code says, and its foot."""

    title: str
    size: tuple[float, float]
    lines: Sequence[tuple[str, str]]
    code: str
    is_demonstration: bool
    foot: str = ""
    is_striking: bool = False


def register_face() -> None:
    """This will make the face known to the printer, once."""
    if FACE not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(FACE, str(faces() / "IBMPlexSans[wdth,wght].ttf")))


def pdf_of(sheet: Sheet) -> bytes:
    """The label or tag as a PDF of its own size. What is too long for its line is broken; what does not fit
    is set smaller, and then goes on over further sheets: nothing that is said is left off."""
    register_face()
    canvas = Canvas(BytesIO(), pagesize=sheet.size, pageCompression=1, invariant=1)
    canvas.setTitle(sheet.title)
    canvas.setAuthor("Greenband")
    size, pages = _set(sheet)
    for number, lines in enumerate(pages, 1):
        of = f", sheet {number} of {len(pages)}" if len(pages) > 1 else ""
        _draw_frame(canvas, sheet, of)
        canvas.setFont(FACE, size)
        for y, line in lines:
            canvas.drawString(4 * mm, y, line)
        canvas.showPage()
    made: bytes = canvas.getpdfdata()
    return made


def _draw_frame(canvas: Canvas, sheet: Sheet, of: str) -> None:
    """All but the lines: the head, the code, the foot."""
    width, height = sheet.size
    side = _side(sheet)
    if sheet.is_striking:
        canvas.setFillColor(black)
        canvas.rect(0, height - BAR, width, BAR, stroke=0, fill=1)
        canvas.setFillColor(white)
    canvas.setFont(FACE, 15)
    canvas.drawString(4 * mm, height - BAR + 2.6 * mm, f"{sheet.title}{of}")
    canvas.setFillColor(black)
    draw_code(canvas, sheet.code, width - side - 3 * mm, height - BAR - side - 2 * mm, side)
    canvas.setFont(FACE, 6)
    canvas.drawString(4 * mm, 2.2 * mm, INVENTED if sheet.is_demonstration else sheet.foot)
    if sheet.is_demonstration and sheet.foot:
        canvas.drawString(4 * mm, 5.2 * mm, sheet.foot)


def _side(sheet: Sheet) -> float:
    """Of the square code."""
    return min(24 * mm, sheet.size[0] * 0.27)


Lines = list[tuple[float, str]]


def _set(sheet: Sheet) -> tuple[float, list[Lines]]:
    """The greatest size at which all stands on one sheet, else the smallest and as many as it takes."""
    pages: list[Lines] = []
    for size in SIZES:
        pages = _pages(sheet, size)
        if len(pages) == 1:
            return size, pages
    return SIZES[-1], pages


def _pages(sheet: Sheet, size: float) -> list[Lines]:
    width, height = sheet.size
    side, step, top = _side(sheet), size * 3.5 / 7.5 * mm, height - BAR - 4 * mm
    pages: list[Lines] = [[]]
    y = top
    for name, value in sheet.lines:
        rest = f"{name}: {value}" if value else ""
        while rest:
            if y < LEAST:
                pages.append([])
                y = top
            beside_code = y > height - BAR - side - 4 * mm
            room = width - 8 * mm - (side + 3 * mm if beside_code else 0)
            line, rest = _first_line(rest, room, size)
            pages[-1].append((y, line))
            y -= step
    return pages


def _first_line(text: str, room: float, size: float) -> tuple[str, str]:
    """As many words as fit on a line, and the rest; a word longer than a line is cut where it ends."""
    words = text.replace("\u202f", "\u00a0").split(" ")
    line = words[0]
    for number, word in enumerate(words[1:], 1):
        if stringWidth(f"{line} {word}", FACE, size) > room:
            return _fitting(line, " ".join(words[number:]), room, size)
        line = f"{line} {word}"
    return _fitting(line, "", room, size)


def _fitting(line: str, rest: str, room: float, size: float) -> tuple[str, str]:
    end = len(line)
    while end > 1 and stringWidth(line[:end], FACE, size) > room:
        end -= 1
    return line[:end], " ".join(part for part in (line[end:], rest) if part)


def draw_code(canvas: Canvas, text: str, x: float, y: float, side: float) -> None:
    """A Data Matrix of this text, as squares: sharp at any size."""
    code = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.DataMatrix)
    picture = np.asarray(code.to_image(scale=1, add_quiet_zones=False))
    rows, columns = picture.shape[:2]
    square = side / max(rows, columns)
    path = canvas.beginPath()
    for row in range(rows):
        for column in range(columns):
            if picture[row, column] == 0:
                path.rect(x + column * square, y + (rows - 1 - row) * square, square, square)
    canvas.drawPath(path, stroke=0, fill=1)
