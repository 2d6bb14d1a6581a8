"""An act is done once under the id that its sender made: the one rule of what is sent again.

With the same content it is answered by what was done then; with other content it is refused as
``act_id_used``. Content is all that the sender said: neither who sends it, nor the sender's clock,
nor the proof that signs, nor what is reckoned here (today, now). Of rows by the thousand
the rows themselves are compared (:func:`differs`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

from django.db import IntegrityError, connection
from django.db.models import Model, QuerySet

from fleet.house.noted import note_act
from fleet.house.refusals import Refusal, Refused
from fleet.models import Act, User

from .digests import digest_of
from .same_again import refuse_same_again

CLAIM = """
INSERT INTO fleet_act (act_id, act, digest, done_at, done_by_id, sender_at, token_id)
SELECT %s::uuid, %s, %s, %s::timestamptz, %s::bigint, %s::timestamptz, %s::bigint
{unless}
ON CONFLICT DO NOTHING
"""
USED = Refusal(
    "act_id_used",
    "Something else was recorded under this act's id, and stands: look at it. Nothing was recorded"
    " now. Give each act an id of its own.",
    "act_id",
)
#: What was said in an act, by name.
Said = dict[str, Any]
Row = TypeVar("Row", bound=Model)
Done = TypeVar("Done")


@dataclass(frozen=True, slots=True)
class Recorded:
    """A row on record, by its id; ``is_new`` is false if it was there before the act."""

    id: int
    is_new: bool = True


def act_id_used() -> Refused:
    return Refused.all_of([USED])


def claim(
    act_id: UUID,
    act: str,
    said: Mapping[str, Any],
    *,
    by: User,
    at: datetime,
    earlier: Iterable[QuerySet[Any]] = (),
    sender_at: datetime | None = None,
) -> bool:
    """This will say whether the act is to be done now: True but once, however many send it at a time.

    Who comes second waits for the first to end. False: it was done, with the same content; then what
    was done is looked up. ``earlier`` are the rows that an act of this id leaves: where one is there
    and no claim of any act, it was done before claims were kept, with content that counts as the
    same. Refuses ``act_id_used``, and ``same_again`` of a page's act. The claim ends with the act's
    transaction: a refused act has none.
    """
    note_act(act, act_id)
    digest, rows = digest_of(said), list(earlier)
    token = by.acting_token.pk if by.acting_token is not None else None
    if _claimed([act_id, act, digest, at, by.pk, sender_at, token], rows):
        refuse_same_again(act_id, act, digest, by=by, at=at)
        return True
    known = dict(Act.objects.filter(act_id=act_id).values_list("act", "digest"))
    # A row that another act left under this id is not this act's.
    if known and known.get(act) != digest:
        raise act_id_used()
    return False


def _claimed(values: list[Any], earlier: list[QuerySet[Any]]) -> bool:
    assert connection.in_atomic_block, "A claim lasts as long as what it is for."
    unless: list[str] = []
    given: list[Any] = []
    for rows in earlier:
        sql, params = rows.order_by().values("pk").query.sql_with_params()
        unless.append(f"NOT EXISTS ({sql})")
        given += params
    where = f"WHERE {' AND '.join(unless)}" if unless else ""
    with connection.cursor() as cursor:
        cursor.execute(CLAIM.format(unless=where), [*values, *given])
        return cursor.rowcount == 1


def what_was_done(rows: QuerySet[Row]) -> Row:
    """The first of the rows that an act left which was done before; refuses ``act_id_used`` if there
    is none: then what stands under the id is something else's."""
    found = rows.first()
    if found is None:
        raise act_id_used()
    return found


def done_before(
    act_id: UUID,
    act: str,
    said: Mapping[str, Any],
    rows: QuerySet[Row],
    *,
    by: User,
    at: datetime,
    sender_at: datetime | None = None,
) -> Row | None:
    """The row (of ``rows``, those of this id) that the act left before; None: it is to be done now.
    Claims and refuses as :func:`claim` does."""
    if claim(act_id, act, said, by=by, at=at, earlier=[rows], sender_at=sender_at):
        return None
    return what_was_done(rows)


def recorded_before(act_id: UUID, at: datetime) -> datetime | None:
    """When an act of this id was done before ``at``; None if there was none."""
    rows = Act.objects.filter(act_id=act_id, done_at__lt=at).order_by("pk")
    return rows.values_list("done_at", flat=True).first()


def done_now(act_id: UUID, act: str, at: datetime) -> bool:
    """Whether the act was done at ``at``, by the very call that was given it, and not before."""
    return Act.objects.filter(act_id=act_id, act=act, done_at=at).exists()


def differs(said: Mapping[str, Any], kept: Mapping[str, Any]) -> bool:
    """Whether a row says anything else than the one on record under its id (of a model: ``vars``)."""
    return any(kept[name] != value for name, value in said.items())


def retry_after_clash(act: Callable[[], Done]) -> Done:
    """This will do an act again that clashed in the database: sent twice at the same time, the
    second try finds the first on record. What clashes again is a clash."""
    try:
        return act()
    except IntegrityError:
        return act()
