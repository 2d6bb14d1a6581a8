"""The sheet of paper: one A4 page of headed lines and tables, with a code that opens the record."""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import as_file, files
from io import BytesIO
from xml.sax.saxutils import escape

import segno
from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Image, KeepInFrame, Paragraph, Spacer, Table, TableStyle

FACE = "Plex"
INK, SOFT, RULE = HexColor("#111417"), HexColor("#3d464d"), HexColor("#9aa4ab")
MARGIN, CODE = 12 * mm, 20 * mm
PLAIN = ParagraphStyle("plain", fontName=FACE, fontSize=7.6, leading=9.4, textColor=INK)
SMALL = ParagraphStyle("small", parent=PLAIN, fontSize=6.6, leading=8.2, textColor=SOFT)
HEAD = ParagraphStyle("head", parent=PLAIN, fontSize=9.5, leading=12, spaceBefore=4)
TITLE = ParagraphStyle("title", parent=PLAIN, fontSize=15, leading=18)
STATE = ParagraphStyle("state", parent=PLAIN, fontSize=11, leading=14)


@dataclass(frozen=True, slots=True)
class Part:
    """A headed part of the page: a table with headings, and what each column takes of the width."""

    heading: str
    columns: tuple[str, ...]
    shares: tuple[float, ...]
    rows: Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True)
class Paper:
    """One page: its title, its state in words, facts as label and value, parts, notes at the foot."""

    title: str
    state: str
    facts: Sequence[tuple[str, str]]
    parts: Sequence[Part]
    notes: Sequence[str]
    address: str
    is_demonstration: bool


def pdf_of(paper: Paper) -> bytes:
    """The page as PDF. What does not fit is drawn smaller: it stays one page."""
    register_face()
    canvas = Canvas(BytesIO(), pagesize=A4, pageCompression=1, invariant=1)
    canvas.setTitle(paper.title)
    canvas.setAuthor("Greenband")
    width, height = A4[0] - 2 * MARGIN, A4[1] - 2 * MARGIN
    frame = KeepInFrame(width, height, _flow(paper, width), mode="shrink", vAlign="TOP")
    _, taken = frame.wrapOn(canvas, width, height)
    frame.drawOn(canvas, MARGIN, A4[1] - MARGIN - taken)
    canvas.showPage()
    made: bytes = canvas.getpdfdata()
    return made


def register_face() -> None:
    """This will make the face known to the printer, once."""
    if FACE in pdfmetrics.getRegisteredFontNames():
        return
    face = files("fontpkg_ibm_plex_sans") / "files" / "IBMPlexSans[wdth,wght].ttf"
    with as_file(face) as path:
        pdfmetrics.registerFont(TTFont(FACE, str(path)))


def _flow(paper: Paper, width: float) -> list[Flowable]:
    flow: list[Flowable] = [_head(paper, width), Spacer(1, 4)]
    flow += [_facts(paper.facts, width)]
    for part in paper.parts:
        if part.rows:
            flow += [Paragraph(_text(part.heading), HEAD), _table(part, width)]
    flow += [Spacer(1, 5), *(Paragraph(_text(note), SMALL) for note in paper.notes)]
    return flow


def _head(paper: Paper, width: float) -> Table:
    words: list[Flowable] = [
        Paragraph(_text(paper.title), TITLE),
        Paragraph(_text(paper.state), STATE),
    ]
    if paper.is_demonstration:
        words.append(Paragraph("Invented demonstration data. Not for use.", STATE))
    head = Table([[words, code_image(paper.address)]], colWidths=[width - CODE, CODE])
    head.setStyle(TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), *_NO_PADDING]))
    return head


def code_image(address: str, side: float = CODE) -> Image:
    """The code that opens an address, as a picture."""
    code = segno.make(address, error="m", micro=False).png_data_uri(scale=6, border=2)
    picture = BytesIO(b64decode(code.partition(",")[2]))
    return Image(picture, width=side, height=side)


def _facts(facts: Sequence[tuple[str, str]], width: float) -> Table:
    """Facts two by two, label above value."""
    cells: list[list[Flowable]] = [
        [Paragraph(_text(label), SMALL), Paragraph(_text(value) or "–", PLAIN)]
        for label, value in facts
    ]
    cells += [[] for _ in range(-len(cells) % 3)]
    rows = [cells[i : i + 3] for i in range(0, len(cells), 3)]
    table = Table(rows, colWidths=[width / 3] * 3)
    table.setStyle(TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), *_NO_PADDING]))
    return table


def _table(part: Part, width: float) -> Table:
    total = sum(part.shares)
    head = [Paragraph(_text(name), SMALL) for name in part.columns]
    rows = [[Paragraph(_text(cell), PLAIN) for cell in row] for row in part.rows]
    table = Table(
        [head, *rows], colWidths=[width * share / total for share in part.shares], repeatRows=1
    )
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LINEBELOW", (0, 0), (-1, -1), 0.3, RULE),
                ("TOPPADDING", (0, 0), (-1, -1), 1.2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1.6),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 4),
            ]
        )
    )
    return table


_NO_PADDING = [("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 4)]


def _text(words: str) -> str:
    """Text as the page's little markup reads it; the face has no narrow unbreakable space."""
    return escape(words.replace("\u202f", "\u00a0")).replace("\n", "<br/>")
