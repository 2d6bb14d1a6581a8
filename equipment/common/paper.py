"""The sheets of paper: A4 pages of headed lines and tables, numbered, with a code that opens the record."""

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
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    Flowable,
    Image,
    KeepTogether,
    Paragraph,
    SimpleDocTemplate,
    Spacer,
    Table,
    TableStyle,
)

FACE = "Plex"
INK, SOFT, RULE = HexColor("#111417"), HexColor("#3d464d"), HexColor("#9aa4ab")
MARGIN, CODE, FOOT, PHOTO = 12 * mm, 20 * mm, 6 * mm, 90 * mm
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
class Photo:
    """A picture with its caption; one that cannot be drawn is left to its caption."""

    caption: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Paper:
    """A record on paper: its title, its state in words, facts as label and value, parts, photos, notes."""

    title: str
    state: str
    facts: Sequence[tuple[str, str]]
    parts: Sequence[Part]
    notes: Sequence[str]
    address: str
    is_demonstration: bool
    photos: Sequence[Photo] = ()


def pdf_of(paper: Paper) -> bytes:
    """The record as PDF, on as many pages as it takes, each with its number, how many there are, and whose
    record it is."""
    register_face()
    _, pages = _built(paper, pages=0)
    made, _ = _built(paper, pages)
    return made


def _built(paper: Paper, pages: int) -> tuple[bytes, int]:
    """The document, and how many pages it took: each says its own number of so many."""
    made = BytesIO()
    document = SimpleDocTemplate(
        made,
        pagesize=A4,
        leftMargin=MARGIN,
        rightMargin=MARGIN,
        topMargin=MARGIN,
        bottomMargin=MARGIN + FOOT,
        pageCompression=1,
        invariant=1,
        title=paper.title,
        author="Greenband",
    )

    def foot(canvas: Canvas, on: SimpleDocTemplate) -> None:
        canvas.setFont(FACE, 7)
        demonstration = " Invented demonstration data." if paper.is_demonstration else ""
        canvas.drawString(MARGIN + 6, MARGIN, f"{paper.title}.{demonstration}")
        canvas.drawRightString(A4[0] - MARGIN - 6, MARGIN, f"Page {on.page} of {pages}")

    width = A4[0] - 2 * MARGIN - 12  # a frame keeps six points on each side
    document.build(_flow(paper, width), onFirstPage=foot, onLaterPages=foot)
    return made.getvalue(), document.page


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
    flow += _photos(paper.photos, width)
    flow += [Spacer(1, 5), *(Paragraph(_text(note), SMALL) for note in paper.notes)]
    return flow


def _photos(photos: Sequence[Photo], width: float) -> list[Flowable]:
    """Each no wider than the page and no higher than a third of it, with its caption below."""
    flow: list[Flowable] = []
    for photo in photos:
        try:
            across, down = ImageReader(BytesIO(photo.content)).getSize()
        except Exception:  # noqa: BLE001 (whatever somebody brought as a picture: the record is printed)
            flow.append(Paragraph(_text(f"{photo.caption}: it cannot be drawn."), SMALL))
            continue
        share = min(width / across, PHOTO / down, 1)
        picture = Image(BytesIO(photo.content), width=across * share, height=down * share)
        flow.append(KeepTogether([Spacer(1, 6), picture, Paragraph(_text(photo.caption), SMALL)]))
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
