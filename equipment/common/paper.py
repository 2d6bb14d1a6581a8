"""The sheets of paper: A4 pages of headed lines and tables, numbered, tagged for reading aloud, with a code that
opens the record."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import segno
import typst
from PIL import Image

#: How the page setter writes a page of the file down.
PAGE = re.compile(rb"/Type ?/Page\b")
TEMPLATE = Path(__file__).with_name("paper.typ")
#: The pictures that can be drawn, with the ending of their files.
ENDINGS = {"JPEG": "jpg", "PNG": "png", "GIF": "gif", "WEBP": "webp"}


@dataclass(frozen=True, slots=True)
class Part:
    """A headed part of the page: a table with headings, and what each column takes of the width. It may begin
    a page of its own, with a code that opens ``address``."""

    heading: str
    columns: tuple[str, ...]
    shares: tuple[float, ...]
    rows: Sequence[Sequence[str]]
    begins_page: bool = False
    address: str = ""


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture with its caption; one that cannot be drawn is left to its caption."""

    caption: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Paper:
    """A record or a list on paper: its title, its state in words, facts as label and value, parts, photos,
    notes. ``printed`` says by whom and when; a list of many columns is ``is_wide``. One that ``fits_page`` takes one page
    whatever is in it: of each part as many rows as there is room for, and how many more there are."""

    title: str
    state: str
    facts: Sequence[tuple[str, str]]
    parts: Sequence[Part]
    notes: Sequence[str]
    address: str
    is_demonstration: bool
    photos: Sequence[Photo] = ()
    printed: str = ""
    is_wide: bool = False
    fits_page: bool = False


def pdf_of(paper: Paper) -> bytes:
    """The record as PDF, on as many pages as it takes, each with its number, how many there are, and whose
    record it is."""
    with TemporaryDirectory(prefix="paper-") as folder:
        here = Path(folder)
        _draw_code(paper.address, here / "code.svg")
        for at, part in enumerate(paper.parts):
            if part.address:
                _draw_code(part.address, here / f"code-{at}.svg")
        told = _told(paper, [_picture(photo, here, at) for at, photo in enumerate(paper.photos)])
        (here / "data.json").write_text(json.dumps(told), encoding="utf-8")
        (here / "paper.typ").write_bytes(_template())
        made: bytes = typst.compile(
            str(here / "paper.typ"),
            root=folder,
            font_paths=[str(faces())],
            ignore_system_fonts=True,
            sys_inputs={"data": "data.json"},
        )
    return made


def pages_in(content: bytes) -> int:
    """How many pages a file made here has."""
    return len(PAGE.findall(content))


def _draw_code(address: str, file: Path) -> None:
    code = segno.make(address, error="m", micro=False)
    file.write_text(code.svg_inline(scale=4, border=2), encoding="utf-8")


@cache
def _template() -> bytes:
    return TEMPLATE.read_bytes()


def faces() -> Path:
    """The folder of the face's files."""
    return Path(str(files("fontpkg_ibm_plex_sans") / "files"))


def _told(paper: Paper, photos: list[dict[str, str]]) -> dict[str, object]:
    demonstration = "Invented demonstration data. Not for use."
    foot = [f"{paper.title}.", "Invented demonstration data." if paper.is_demonstration else ""]
    return {
        "title": _plain(paper.title),
        "state": [
            _plain(line)
            for line in (paper.state, demonstration if paper.is_demonstration else "")
            if line
        ],
        "foot": _plain(" ".join(word for word in (*foot, paper.printed) if word)),
        "facts": [[_plain(label), _plain(value) or "–"] for label, value in paper.facts],
        "parts": [
            {
                "heading": _plain(part.heading),
                "columns": [_plain(name) for name in part.columns],
                "shares": list(part.shares),
                "rows": [[_plain(cell) for cell in row] for row in part.rows],
                "begins_page": part.begins_page,
                "code": f"code-{at}.svg" if part.address else "",
                "address": part.address,
            }
            for at, part in enumerate(paper.parts)
            if part.rows
        ],
        "photos": photos,
        "notes": [_plain(note) for note in paper.notes],
        "address": paper.address,
        "code": "code.svg",
        "is_wide": paper.is_wide,
        "fits_page": paper.fits_page,
    }


def _picture(photo: Photo, folder: Path, at: int) -> dict[str, str]:
    """The picture beside the page; whatever somebody brought as a picture, the record is printed."""
    try:
        with Image.open(BytesIO(photo.content)) as picture:
            picture.load()
            ending = ENDINGS[picture.format or ""]
    except Exception:  # noqa: BLE001
        return {"file": "", "caption": f"{_plain(photo.caption)}: it cannot be drawn."}
    name = f"photo-{at}.{ending}"
    (folder / name).write_bytes(photo.content)
    return {"file": name, "caption": _plain(photo.caption)}


def _plain(words: str) -> str:
    """Text that the face can show: it has no narrow unbreakable space."""
    return words.replace("\u202f", "\u00a0").replace("\x00", "")
