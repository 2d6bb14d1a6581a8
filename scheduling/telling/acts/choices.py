"""What a person wants by mail."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction

from fleet.acts.act import Act
from fleet.acts.fields import text, yes_no
from fleet.acts.repeats import claim
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import User
from scheduling.models import MailChoice


@dataclass(frozen=True, slots=True)
class Wanted:
    """Where to, and what: a digest each morning, each notice at once, both, or nothing."""

    address: str = text("Mail address", 120, default="")
    digest: bool = yes_no("A digest each morning", default=False)
    at_once: bool = yes_no("Each notice at once", default=False)


@transaction.atomic
def choose_mail(*, by: User, wanted: Wanted, act_id: UUID, at: datetime) -> MailChoice:
    """This will keep what a person wants by mail. Refuses an address that is none, where something is wanted."""
    ask(by, "read")
    claim(act_id, "choose_mail", {"wanted": wanted, "user": by.pk}, by=by, at=at)
    address = wanted.address.strip()
    if wanted.digest or wanted.at_once:
        try:
            validate_email(address)
        except ValidationError:
            words = (
                "Type a mail address, such as name@airline.example: nothing else can be mailed to."
            )
            raise Refused("no_mail_address", words, "address") from None
    found, _ = MailChoice.objects.update_or_create(
        user=by,
        defaults={
            "address": address[:120],
            "digest": wanted.digest,
            "at_once": wanted.at_once,
            "chosen_at": at,
        },
    )
    return found


# --- declared ---------------------------------------------------------------------------------

CHOOSE_MAIL = Act(
    name="choose_mail",
    who="read",
    does=choose_mail,
    said=Wanted,
    as_="wanted",
    tag="People",
    summary="Choose what comes by mail",
)
