"""A photo or a page is kept with what it shows."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.common.attached import FileFact, media_type_of, refuse_size
from equipment.common.doors.examples import FILE_SENT
from equipment.models import Attachment, Certificate, Sighting
from equipment.swaps.acts.held import lock_swap, refuse_ended, step_of
from fleet.acts.act import Act
from fleet.acts.fields import file, number
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import User


@transaction.atomic
def attach_file(
    *,
    by: User,
    file: FileFact,
    act_id: UUID,
    at: datetime,
    swap_id: int | None = None,
    step_id: int | None = None,
    sighting_id: int | None = None,
    certificate_id: int | None = None,
) -> Attachment:
    """This will keep a photo or a page of a swap (and its step), of a sighting, or a certificate's scan.

    The same act again gives the first one. Refuses what is neither a picture nor a PDF by its
    content, whatever its name says; one of more than 10 MB; and a swap that has ended.
    """
    ask(by, "attach_file")
    shows = {"swap_id": swap_id, "step_id": step_id, "sighting_id": sighting_id}
    said, rows = {"file": file, **shows}, Attachment.objects.filter(act_id=act_id)
    said |= {"certificate_id": certificate_id}
    if done := done_before(act_id, "attach_file", said, rows, by=by, at=at):
        return done
    refuse_size(len(file.content))
    media_type = media_type_of(file.content)
    _refuse_nothing(swap_id, sighting_id, certificate_id)
    _refuse_of_swap(swap_id, step_id)
    return Attachment.objects.create(
        act_id=act_id,
        swap_id=swap_id,
        step_id=step_id if swap_id is not None else None,
        sighting_id=sighting_id,
        certificate_id=certificate_id,
        name=plain_name(file.name),
        media_type=media_type,
        size=len(file.content),
        sha256=hashlib.sha256(file.content).hexdigest(),
        content=file.content,
        recorded_at=at,
        recorded_by=by,
    )


def _refuse_of_swap(swap_id: int | None, step_id: int | None) -> None:
    """Nothing is added to a swap that has ended, or to a step that is not its own."""
    if swap_id is None:
        return
    swap = lock_swap(swap_id)
    refuse_ended(swap)
    if step_id is not None:
        step_of(swap, step_id)


def _refuse_nothing(
    swap_id: int | None, sighting_id: int | None, certificate_id: int | None
) -> None:
    """What the file shows is one thing, and is on record."""
    if [swap_id, sighting_id, certificate_id].count(None) != 2:
        words = "Say what it shows: a swap, what was seen on a walk-round, or a certificate."
        raise Refused("belongs_to_nothing", words, "swap")
    if certificate_id is not None and not Certificate.objects.filter(pk=certificate_id).exists():
        words = "There is no such certificate: look it up among the unit's papers."
        raise Refused("unknown_certificate", words, "certificate")
    if sighting_id is not None and not Sighting.objects.filter(pk=sighting_id).exists():
        raise Refused(
            "unknown_sighting", "There is no such sighting: look it up again.", "sighting"
        )


def plain_name(name: str) -> str:
    """A file's name without its path and without what no page should show."""
    bare = re.sub(r"[^\w .()-]", "_", name.replace("\\", "/").rpartition("/")[2])
    return bare.strip()[-120:] or "file"


@dataclass(frozen=True, slots=True)
class Attached:
    """A photo or a page of a swap (and its step), of a sighting, or the scan of a certificate."""

    file: FileFact = file("The file")
    swap_id: int | None = number("The swap", name="swap", default=None)
    step_id: int | None = number("Its step", name="step", default=None, help="The step's number.")
    sighting_id: int | None = number("The sighting", name="sighting", default=None)
    certificate_id: int | None = number("The certificate", name="certificate", default=None)


# --- declared ---------------------------------------------------------------------------------

ATTACH_FILE = Act(
    name="attach_file",
    does=attach_file,
    said=Attached,
    tag="Swaps",
    summary="Attach a file",
    description="Keeps a photo or a page of a swap (and its step), of a sighting, or the scan of a "
    "certificate that is on record. A picture or a PDF by its content, whatever its name says.",
    address="attachments",
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c10",
        "file": FILE_SENT,
        "sighting": 41,
    },
)
