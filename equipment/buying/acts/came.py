"""What was asked to be bought has come: a receipt notes it of the request that expected it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid5

from equipment.models import PartNumber, PurchaseRequest, PurchaseStep
from fleet.models import User
from fleet.words.said import count_words


@dataclass(frozen=True, slots=True)
class Came:
    """So many of a request came: ``left`` are still expected."""

    request: PurchaseRequest
    quantity: int
    left: int

    @property
    def words(self) -> str:
        many, asked = count_words(self.quantity), count_words(self.request.quantity)
        said = f"Of what was asked to be bought, {asked} of {self.request.part_number.number}, {many} came"
        return f"{said}: {'all is received' if not self.left else f'{count_words(self.left)} still open'}."


def note_came(
    *, by: User, pieces: Mapping[int, int], document: str, act_id: UUID, at: datetime
) -> list[Came]:
    """This will note, within a receipt, how many came of each request that is ordered or expected: by part number, of several
    the one whose order's number the delivery note names first, then the one expected first. More than was asked for is
    nobody's request.
    """
    rows = PurchaseRequest.objects.filter(part_number__in=pieces).select_related("part_number")
    rows = rows.prefetch_related("steps").order_by("pk")
    asked = {request.part_number_id for request, _ in _waiting(rows.all(), document)}
    if not asked:
        # Nobody waits for anybody then: ten who receive at once are not one after the other.
        return []
    # Of two who note at once one waits for the other: the part's row stands for its requests.
    parts = PartNumber.objects.filter(pk__in=asked).order_by("pk").select_for_update()
    list(parts.values_list("pk", flat=True))
    left = dict(pieces)
    found = []
    for request, still in _waiting(rows.all(), document):
        came = min(still, left[request.part_number_id])
        if not came:
            continue
        left[request.part_number_id] -= came
        PurchaseStep.objects.create(
            request=request,
            act_id=uuid5(act_id, f"came {request.pk}"),
            sort=PurchaseStep.RECEIVED,
            quantity=came,
            words=f"By receipt{f', {document}' if document else ''}"[:200],
            recorded_at=at,
            recorded_by=by,
        )
        found.append(Came(request, came, still - came))
    return found


def _waiting(
    requests: Iterable[PurchaseRequest], document: str
) -> list[tuple[PurchaseRequest, int]]:
    """Requests that are ordered or expected, with how many are still open, in the order in which they are served."""
    found: list[tuple[bool, date, int, PurchaseRequest, int]] = []
    for request in requests:
        steps = sorted(request.steps.all(), key=lambda each: each.pk)
        sorts = {each.sort for each in steps}
        still = request.quantity - sum(each.quantity for each in steps)
        if PurchaseStep.WITHDRAWN in sorts or still < 1:
            continue
        if not sorts & {PurchaseStep.ORDERED, PurchaseStep.EXPECTED}:
            continue
        numbers = [each.order_number for each in steps if each.order_number]
        is_named = any(number.casefold() in document.casefold() for number in numbers)
        days = [each.expected_on for each in steps if each.expected_on is not None]
        expected = days[-1] if days else request.wanted_on or date.max
        found.append((not is_named, expected, request.pk, request, still))
    return [(request, still) for *_, request, still in sorted(found, key=lambda each: each[:3])]
