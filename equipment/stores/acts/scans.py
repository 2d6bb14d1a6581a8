"""The scan of a certificate is kept with it, once."""

from __future__ import annotations

import hashlib
import re
from datetime import datetime
from uuid import UUID, uuid5

from equipment.common.attached import FileFact, media_type_of, refuse_file
from equipment.models import Attachment
from equipment.stores.acts.facts import Paper
from fleet.models import User


def attach_paper(
    *, by: User, paper: Paper, certificate_id: int, act_id: UUID, at: datetime
) -> Attachment | None:
    """This will keep the paper's file with its certificate, once; refuses as :func:`refuse_file`."""
    if paper.file is None:
        return None
    refuse_file(paper.file)
    digest = hashlib.sha256(paper.file.content).hexdigest()
    if kept := Attachment.objects.filter(certificate=certificate_id, sha256=digest).first():
        return kept
    act_id = uuid5(act_id, "file")
    return attach_file(by=by, file=paper.file, act_id=act_id, at=at, certificate_id=certificate_id)


def attach_file(*, by: User, file: FileFact, act_id: UUID, at: datetime, **of: int) -> Attachment:
    """This will keep a file, under a name that is safe to give back, with what it is of."""
    name = re.sub(r"[^\w .()-]", "_", file.name.replace("\\", "/").rpartition("/")[2])
    return Attachment.objects.create(
        act_id=act_id,
        name=name.strip()[-120:] or "certificate",
        media_type=media_type_of(file.content),
        size=len(file.content),
        sha256=hashlib.sha256(file.content).hexdigest(),
        content=file.content,
        recorded_at=at,
        recorded_by=by,
        **of,
    )
