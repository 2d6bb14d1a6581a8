"""A real mail server that keeps what arrives, and people who want mail."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from email import message_from_bytes
from uuid import uuid4

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import Envelope
from django.utils import timezone

from fleet.house.pages import today
from scheduling.telling.acts.choices import Wanted, choose_mail
from scheduling.telling.acts.morning import tell_round


class Box:
    """What arrived, and how the server answers."""

    def __init__(self) -> None:
        self.mails: list[Envelope] = []
        self.answer = "250 OK"

    async def handle_DATA(self, server, session, envelope):
        if self.answer.startswith("250"):
            self.mails.append(envelope)
        return self.answer

    def read(self) -> list[tuple[str, str, str]]:
        """(to, subject, body) of each."""
        return [
            (
                each.rcpt_tos[0],
                str(message_from_bytes(each.content)["Subject"]),
                message_from_bytes(each.content).get_payload(decode=True).decode(),
            )
            for each in self.mails
        ]


@contextmanager
def serving(box: Box, port: int) -> Iterator[None]:
    server = Controller(box, hostname="127.0.0.1", port=port)
    server.start()
    try:
        yield
    finally:
        server.stop()


def wants(person, **more):
    said = Wanted(**{"address": f"{person.username}@airline.example", "at_once": True} | more)
    return choose_mail(by=person, wanted=said, act_id=uuid4(), at=timezone.now())


def a_round(minutes: int = 0) -> int:
    return tell_round(today(), timezone.now() + timedelta(minutes=minutes))
