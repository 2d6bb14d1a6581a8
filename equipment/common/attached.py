"""The file of a certificate: what is refused before it is kept."""

from __future__ import annotations

import hashlib
import re
from datetime import datetime
from uuid import UUID, uuid5

from equipment.models import Attachment
from equipment.stores.acts.facts import FileFact, Paper
from fleet.house.refusals import Refused
from fleet.models import User

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


def attach_paper(
    *, by: User, paper: Paper, certificate_id: int, act_id: UUID, at: datetime
) -> Attachment | None:
    """This will keep the paper's file with its certificate, once; refuses as :func:`refuse_file`."""
    if paper.file is None:
        return None
    refuse_file(paper.file)
    content = paper.file.content
    digest = hashlib.sha256(content).hexdigest()
    if kept := Attachment.objects.filter(certificate=certificate_id, sha256=digest).first():
        return kept
    name = re.sub(r"[^\w .()-]", "_", paper.file.name.replace("\\", "/").rpartition("/")[2])
    return Attachment.objects.create(
        act_id=uuid5(act_id, "file"),
        certificate_id=certificate_id,
        name=name.strip()[-120:] or "certificate",
        media_type=media_type_of(content),
        size=len(content),
        sha256=digest,
        content=content,
        recorded_at=at,
        recorded_by=by,
    )
