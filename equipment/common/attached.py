"""The file of a certificate: what is refused before it is kept."""

from __future__ import annotations

from dataclasses import dataclass

from django.core.files.uploadedfile import UploadedFile

from fleet.house.refusals import Refused

MOST_BYTES = 10 * 2**20
#: How a file of each kind begins, whatever its name says.
KINDS = (
    (b"%PDF-", "application/pdf"),
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"II*\x00", "image/tiff"),
    (b"MM\x00*", "image/tiff"),
)


def refuse_size(size: int) -> None:
    """This will refuse a file that is too large or empty, before anybody reads it."""
    if size > MOST_BYTES:
        words = f"The file has {size / 2**20:.0f} MB, the most is {MOST_BYTES // 2**20} MB: scan it smaller."
        raise Refused("file_too_large", words, "file")
    if size == 0:
        raise Refused("file_empty", "The file is empty: choose another.", "file")


def media_type_of(content: bytes) -> str:
    """What the file is by its first bytes; refuses what is neither a PDF nor a picture."""
    for start, media_type in KINDS:
        if content.startswith(start):
            return media_type
    words = "This is neither a PDF nor a picture (PNG, JPEG, TIFF): choose one of those."
    raise Refused("file_not_accepted", words, "file")


def refuse_file(file: FileFact | None) -> None:
    """This will refuse a file that cannot be kept; none is no fault."""
    if file is not None:
        refuse_size(len(file.content))
        media_type_of(file.content)


@dataclass(frozen=True, slots=True)
class FileFact:
    """A file as it was brought: its name and contents."""

    name: str
    content: bytes


def file_of(sent: UploadedFile | None) -> FileFact | None:
    """A file that was sent, read only if it is not too large; refuses ``file_too_large``."""
    if sent is None:
        return None
    refuse_size(sent.size or 0)
    return FileFact(sent.name or "file", sent.read())
