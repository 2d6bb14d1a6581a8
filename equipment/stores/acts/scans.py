"""The scan of a certificate is kept with it, once."""

from __future__ import annotations

import hashlib
import re
from datetime import datetime
from uuid import UUID, uuid5

from equipment.common.attached import media_type_of, refuse_file
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
