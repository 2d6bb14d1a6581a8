"""Mails are written as rows and sent from them: nothing twice, nothing lost while the server is away."""

from __future__ import annotations

from datetime import datetime, timedelta
from smtplib import SMTPException

import structlog
from django.conf import settings
from django.core.mail import EmailMessage
from django.core.mail.backends.smtp import EmailBackend
from django.db import transaction

from fleet.models import Notice, User
from scheduling.models import Mail, MailChoice

from ..sorts import OWN

log = structlog.get_logger(__name__)
#: So many are sent at a time; the job comes again soon.
AT_A_TIME = 50
#: How long after a failure it is tried again: twice as long each time, an hour at most.
FIRST, LONGEST = timedelta(minutes=1), timedelta(hours=1)
#: Said in a mail whose sending was cut off: the same may have come before.
AGAIN = "Sending this was cut off before: it may have reached you already."


def is_mailing() -> bool:
    """Whether the house knows a mail server; without one nothing is written that would never be sent."""
    return bool(settings.MAIL_HOST)


def write_mail(choice: MailChoice, key: str, subject: str, body: str, at: datetime) -> bool:
    """This will keep a mail to be sent, unless one of this key is there; whether it is new."""
    row = Mail(
        key=key[:80],
        user=choice.user,
        address=choice.address,
        subject=" ".join(subject.split())[:150],
        body=body,
        made_at=at,
        next_at=at,
    )
    before = Mail.objects.filter(key=row.key).exists()
    if not before:
        Mail.objects.bulk_create([row], ignore_conflicts=True)
    return not before


@transaction.atomic
def mail_notices(at: datetime) -> int:
    """This will write a mail for each notice, not read yet, to whoever wants them at once: of those since the
    choice was made."""
    found = 0
    for choice in MailChoice.objects.filter(at_once=True, user__is_active=True).select_related(
        "user"
    ):
        since = Notice.objects.filter(to=choice.user, read_at=None, at__gte=choice.chosen_at)
        keys = {f"notice-{pk}": pk for pk in since.values_list("pk", flat=True)}
        known = set(Mail.objects.filter(key__in=keys).values_list("key", flat=True))
        wanted = since.filter(pk__in=[pk for key, pk in keys.items() if key not in known])
        for notice in wanted.exclude(sort__in=_not_mailed(choice)).order_by("pk"):
            body = f"{notice.words}\n\n{address_of(notice.link)}"
            found += write_mail(choice, f"notice-{notice.pk}", notice.words, body, at)
    return found


def _not_mailed(choice: MailChoice) -> list[str]:
    """The sorts of notices that a person does not want by mail; of one's own decisions none is named."""
    return [*choice.not_mailed, *([""] if OWN in choice.not_mailed else [])]


def address_of(link: str) -> str:
    """A link of this house as it is opened from a mail; empty where the house's address is not known."""
    return f"{settings.HOUSE_ADDRESS}{link}" if settings.HOUSE_ADDRESS and link else ""


def send_waiting(at: datetime) -> int:
    """This will send what is due to be sent, each in a transaction of its own, and stop at the first failure of
    the server: what is left is tried again later. Returns how many were sent."""
    sent = 0
    for _ in range(AT_A_TIME):
        outcome = _send_one(at)
        if outcome is None:
            break
        sent += 1
    return sent


def _send_one(at: datetime) -> bool | None:
    """That sending begins is kept before it begins, and that it arrived as soon as the server says so, before the
    connection is closed. Killed in between, nobody knows whether it arrived: it is sent again, and says so."""
    key, is_again = _begin(at)
    if not key:
        return None
    server = _server()
    with transaction.atomic():
        mail = Mail.objects.select_for_update(skip_locked=True, of=("self",)).filter(pk=key).first()
        if mail is None or mail.sent_at is not None:
            return None
        try:
            server.open()
            server.send_messages([_message(mail, is_again=is_again)])
        except (OSError, SMTPException) as fault:
            mail.tries += 1
            mail.fault = f"{type(fault).__name__}: {fault}"[:200]
            mail.next_at = at + min(FIRST * 2 ** min(mail.tries - 1, 10), LONGEST)
            if not isinstance(fault, TimeoutError):  # the server said no: it did not arrive
                mail.begun_at = None
            mail.save(update_fields=["tries", "fault", "next_at", "begun_at"])
            log.warning(
                "mail not sent, it is tried again", key=mail.key, reason=type(fault).__name__
            )
            return None
        mail.tries += 1
        mail.sent_at, mail.fault = at, ""
        mail.save(update_fields=["tries", "sent_at", "fault"])
    server.close()
    return True


@transaction.atomic
def _begin(at: datetime) -> tuple[int, bool]:
    """This will keep that the next mail's sending begins; its key (0: none is to be sent), and whether it began
    before and nobody knows how that ended."""
    rows = Mail.objects.select_for_update(skip_locked=True, of=("self",))
    mail = rows.filter(sent_at=None, next_at__lte=at).order_by("next_at", "pk").first()
    if mail is None:
        return 0, False
    if mail.begun_at is None:
        mail.begun_at = at
        mail.save(update_fields=["begun_at"])
        return mail.pk, False
    return mail.pk, True


def _server() -> EmailBackend:
    return EmailBackend(
        host=settings.MAIL_HOST,
        port=settings.MAIL_PORT,
        username=settings.MAIL_USER or None,
        password=settings.MAIL_PASSWORD or None,
        use_tls=settings.MAIL_TLS,
        timeout=5,
    )


def _message(mail: Mail, *, is_again: bool = False) -> EmailMessage:
    """The mail with a name of its own: sent once more after a kill, a reader's program knows it for the same."""
    domain = settings.MAIL_FROM.rpartition("@")[2].rstrip(">") or "localhost"
    return EmailMessage(
        subject=mail.subject,
        body=f"{AGAIN}\n\n{mail.body}" if is_again else mail.body,
        from_email=settings.MAIL_FROM,
        to=[mail.address],
        headers={"Message-ID": f"<{mail.key}@{domain}>", "Auto-Submitted": "auto-generated"},
    )


def digest_readers(day_key: str) -> list[tuple[MailChoice, str]]:
    """Who wants a digest and has not this day's yet, each with its key."""
    choices = MailChoice.objects.filter(digest=True, user__is_active=True).select_related("user")
    keys = {f"digest-{each.user_id}-{day_key}": each for each in choices}
    known = set(Mail.objects.filter(key__in=keys).values_list("key", flat=True))
    return [(each, key) for key, each in keys.items() if key not in known]


def of_roles(roles: list[str]) -> list[User]:
    """Whoever has one of these roles and may come in."""
    return list(User.objects.filter(is_active=True, roles__overlap=roles).order_by("pk"))
