"""Doors where a person reads what became of what they decided: their own notices, nobody else's."""

from __future__ import annotations

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.doors import examples
from fleet.doors.door import Door, Paged, answer, found_or_missing
from fleet.doors.fields import Shape, StrictBoolean
from fleet.doors.rows import RowShown
from fleet.doors.schema import described, page_of
from fleet.models import Notice
from fleet.people.acts.notices import read_notice

TAG = "People"


class NoticesAsked(Paged):
    is_unread = StrictBoolean(default=False, help_text="Only those that were not read yet.")


class Nothing(Shape):
    """No fields: the address says it all."""


class NoticeShown(RowShown):
    of = Notice
    shows = "id words link at read_at"
    told = {"link": "The page where it can be looked at; may be empty."}


class Notices(Door):
    @described(
        tag=TAG,
        name="list_notices",
        summary="Own notices",
        description="What became of what this person decided, the latest first: a unit that is no longer "
        "set aside, a need with another day. A token reads the notices of whoever answers for it.",
        query=NoticesAsked,
        answer=page_of(NoticeShown),
        example={"next": None, "results": [examples.NOTICE]},
    )
    def get(self, request: Request) -> Response:
        asked = self.asked(NoticesAsked)
        rows = Notice.objects.filter(to=self.person)
        if asked["is_unread"]:
            rows = rows.filter(read_at=None)
        return self.page(rows, ("-at", "-pk"), NoticeShown, asked)


class NoticeRead(Door):
    @described(
        tag=TAG,
        name="read_notice",
        summary="Mark a notice as read",
        description="Marks an own notice as read; one that was read stays so.",
        takes=Nothing,
        sent={},
        answer=NoticeShown,
        example={**examples.NOTICE, "read_at": "2024-03-03T09:12:00Z"},
        act="read",
    )
    def post(self, request: Request, notice_id: int) -> Response:
        self.brought(Nothing)
        sentence = f"You have no notice of the id {notice_id}. See /api/v1/notices."
        own = Notice.objects.filter(to=self.person)
        found: Notice = found_or_missing(own, "unknown_notice", sentence, pk=notice_id)
        read = read_notice(by=self.person, notice_id=found.pk, at=timezone.now())
        return answer(NoticeShown(read).data, is_new=found.read_at is None)
