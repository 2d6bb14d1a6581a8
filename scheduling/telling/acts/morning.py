"""One round of telling: the night's notices, the digest, notices by mail, and what waits to be sent."""

from __future__ import annotations

from datetime import date, datetime

from scheduling.due.due_list import stored_day

from ..digest import digest_of
from .night import tell_of_day
from .now import tell_of_now
from .sending import digest_readers, is_mailing, mail_notices, send_waiting, write_mail
from .telling import escalate


def tell_round(day: date, now: datetime) -> int:
    """This will tell what is to be told by now; asked every half minute, it does nothing twice. Returns how
    many mails were sent."""
    if stored_day() == day:
        tell_of_day(day, now)
        tell_of_now(day, now)
    escalate(now)
    if not is_mailing():
        return 0
    if stored_day() == day and (readers := digest_readers(day.isoformat())):
        subject, body = digest_of(day, now)
        for choice, key in readers:
            write_mail(choice, key, subject, body, now)
    mail_notices(now)
    return send_waiting(now)
