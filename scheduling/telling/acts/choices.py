"""What a person wants by mail."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction

from fleet.acts.act import Act
from fleet.acts.fields import codes, text, yes_no
from fleet.acts.repeats import claim
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import User
from scheduling.models import MailChoice

from ..sorts import CODES, to_mail, to_show


@dataclass(frozen=True, slots=True)
class Wanted:
    """Where to, and what: a digest each morning, notices at once and of what, both, or nothing; and of what notices
    are shown here."""

    address: str = text("Mail address", 120, default="")
    digest: bool = yes_no("A digest each morning", default=False)
    at_once: bool = yes_no("Notices at once by mail", default=False)
    by_mail: tuple[str, ...] = codes("By mail at once", 12, choices=to_mail, default=CODES)
    here: tuple[str, ...] = codes(
        "Shown here",
        12,
        choices=to_show,
        default=CODES,
        help="What became of what you decided is always shown.",
    )


@transaction.atomic
def choose_mail(*, by: User, wanted: Wanted, act_id: UUID, at: datetime) -> MailChoice:
    """This will keep what a person wants by mail. Refuses an address that is none, where something is wanted."""
    ask(by, "read")
    claim(act_id, "choose_mail", {"wanted": wanted, "user": by.pk}, by=by, at=at)
    _refuse_unknown(wanted)
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
            "not_mailed": [code for code, _ in to_mail() if code not in wanted.by_mail],
            "not_shown": [code for code, _ in to_show() if code not in wanted.here],
            "chosen_at": at,
        },
    )
    return found


def _refuse_unknown(wanted: Wanted) -> None:
    for field, named in (("by_mail", wanted.by_mail), ("here", wanted.here)):
        unknown = [code for code in named if code not in CODES]
        if unknown:
            words = f"There is no sort of notice “{unknown[0]}”. Take some of: {', '.join(CODES)}."
            raise Refused("unknown_sort_of_notice", words, field)


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
