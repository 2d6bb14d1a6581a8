"""The words on each sheet of a PDF that Chromium printed, in the order in which they were drawn.

Reads only what Chromium writes: plain objects, deflated streams, composite fonts with a map to Unicode.
"""

from __future__ import annotations

import re
import zlib

_OBJECT = re.compile(rb"(\d+) 0 obj\n(.*?)\nendobj", re.DOTALL)
_STREAM = re.compile(rb"stream\r?\n(.*)\r?\nendstream", re.DOTALL)
_DRAWN = re.compile(
    rb"/(\w+) [\d.]+ Tf|<([0-9A-Fa-f]+)> Tj|\[([<>0-9A-Fa-f\s.\-]*)\] TJ|(ET)", re.DOTALL
)

Letters = dict[int, str]
WIDE = -1  # under which a font of two bytes a letter says so


def sheets_of(pdf: bytes) -> list[str]:
    """The text of each sheet, words of one run apart by a space."""
    objects = {int(number): body for number, body in _OBJECT.findall(pdf)}
    pages = [body for body in objects.values() if re.search(rb"/Type /Page\b(?!s)", body)]
    return [_text(objects, page) for page in pages]


def _text(objects: dict[int, bytes], page: bytes) -> str:
    fonts = {
        name: _letters(objects, int(number))
        for part in [page, *(objects[at] for at in _references(page, rb"Resources"))]
        for name, number in re.findall(rb"/(F\d+) (\d+) 0 R", part)
    }
    drawn = b"\n".join(_stream(objects[at]) for at in _references(page, rb"Contents"))
    found, letters = [], Letters()
    for font, one, several, end in _DRAWN.findall(drawn):
        if font:
            letters = fonts.get(font, letters)
        codes = [one] if one else re.findall(rb"<([0-9A-Fa-f]+)>", several)
        found += [_read(code, letters) for code in codes] + ([" "] if end else [])
    return " ".join("".join(found).split())


def _references(body: bytes, name: bytes) -> list[int]:
    listed = re.search(rb"/" + name + rb" (\[[^\]]*\]|\d+ 0 R)", body)
    return [int(at) for at in re.findall(rb"(\d+) 0 R", listed[1])] if listed else []


def _stream(body: bytes) -> bytes:
    found = _STREAM.search(body)
    return zlib.decompress(found[1]) if found else b""


def _letters(objects: dict[int, bytes], font: int) -> Letters:
    mapped = _references(objects.get(font, b""), rb"ToUnicode")
    found = Letters()
    for text in (_stream(objects[at]).decode("ascii") for at in mapped):
        if "<0000>" in text[: text.find("endcodespacerange")]:
            found[WIDE] = "yes"
        for block in re.findall(r"beginbfchar(.*?)endbfchar", text, re.DOTALL):
            for code, to in re.findall(r"<([0-9A-F]+)> <([0-9A-F]+)>", block):
                found[int(code, 16)] = _unicode(to)
        for block in re.findall(r"beginbfrange(.*?)endbfrange", text, re.DOTALL):
            for low, high, to in re.findall(r"<([0-9A-F]+)> <([0-9A-F]+)> <([0-9A-F]+)>", block):
                for step in range(int(high, 16) - int(low, 16) + 1):
                    found[int(low, 16) + step] = chr(int(to, 16) + step)
    return found


def _unicode(text: str) -> str:
    return bytes.fromhex(text).decode("utf-16-be")


def _read(code: bytes, letters: Letters) -> str:
    step = 4 if letters.get(WIDE) else 2
    return "".join(
        letters.get(int(code[at : at + step], 16), "") for at in range(0, len(code), step)
    )
