"""Which rows of a call contradict the records or each other, found in one walk through time.

All rows are first taken as true. Then each is judged, the earliest first, against what came before
it; one that contradicts is taken out at once, so that the later ones are judged without it. What
taking it out does to rows judged before is seen by walking again, until nothing more is found.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date, datetime

from fleet.house.refusals import Refusal

from .fits import ONE_JOB
from .picture import Chain, Edit, Link, Picture, Span, Totals, is_overlapping
from .rules import inside_itself, why_not_move, why_not_totals, why_taken

DEEPEST = 32
#: The order of record of a row not yet recorded: after every movement that is.
UNRECORDED = 2**62


def contradictions(picture: Picture, edits: Sequence[Edit]) -> dict[int, list[Refusal]]:
    """Every reason against each row that contradicts, by the row's index in the call."""
    rejected: dict[int, list[Refusal]] = {}
    while True:
        kept = [edit for edit in edits if edit.row not in rejected]
        found = _Sweep(picture, kept).run()
        if not found:
            return rejected
        rejected.update(found)


class _Sweep:
    def __init__(self, picture: Picture, edits: Sequence[Edit]) -> None:
        self.picture = picture
        self.edits = sorted(edits, key=_order)
        self.chains = {
            unit: Chain(unit, list(chain.links)) for unit, chain in picture.chains.items()
        }
        self.taken_out: dict[int, list[tuple[int, Link]]] = {}
        self.accepted: set[int] = set()
        self.visits: dict[int, set[int]] = defaultdict(set)
        self.read: dict[tuple[int, str], _Running] = defaultdict(_Running)
        #: A position inside a unit: one place, or several where records turned out to be of one unit.
        self.inner: dict[tuple[int | None, int | None], list[int]] = defaultdict(list)
        for place in picture.places.values():
            if place.parent_unit_id is not None:
                self.inner[place.parent_unit_id, place.part_position_id].append(place.id)

    def run(self) -> dict[int, list[Refusal]]:
        for edit in self.edits:
            self._apply(edit)
        for unit, chain in self.chains.items():
            for link in chain.links:
                if self.picture.places[link.place_id].holds:
                    self.visits[link.place_id].add(unit)
        found = {}
        for edit in self.edits:
            if reasons := self._reasons_against(edit):
                found[edit.row] = reasons
                self._take_back(edit)
            elif edit.link is not None:
                self.accepted.add(edit.link.key.tail)
        return found

    def _apply(self, edit: Edit) -> None:
        if edit.removes:
            self.taken_out[edit.row] = [
                (unit, link)
                for unit in edit.units
                for link in self.chains[unit].take_out(edit.removes)
            ]
        if edit.link is not None:
            self.chains[edit.unit_id].add(edit.link)

    def _take_back(self, edit: Edit) -> None:
        if edit.link is not None:
            links = self.chains[edit.unit_id].links
            links.remove(edit.link)
        for unit, link in self.taken_out.get(edit.row, []):
            self.chains[unit].add(link)
            self.visits[link.place_id].add(unit)

    def _reasons_against(self, edit: Edit) -> list[Refusal]:
        reasons: list[Refusal] = []
        if edit.link is not None:
            before = self.chains[edit.unit_id].before(edit.link.key)
            reasons += why_not_move(edit, self.picture, before, self._across(edit))
            reasons += self._why_not_after_the_call(edit, before)
        for span in self._spans_changed_by(edit):
            taken = why_taken(span, list(self._present(span)), self.picture)
            reasons += [taken] if taken else []
            if self._is_inside_itself(span):
                unit, place = self.picture.units[span.unit_id], self.picture.places[span.place_id]
                reasons.append(inside_itself(unit, place))
        return reasons

    def _spans_changed_by(self, edit: Edit) -> Iterator[Span]:
        """The stay that a row begins; where it replaces something, every stay of its units."""
        units = edit.units if edit.removes else [edit.unit_id]
        for unit in units:
            for link, span in self.chains[unit].spans():
                is_own = link is edit.link
                if self.picture.places[span.place_id].holds and (
                    is_own or (edit.removes and self._holds(link))
                ):
                    yield span

    def _holds(self, link: Link) -> bool:
        """Whether a movement is recorded, or of this call and already judged good."""
        return link.movement_id is not None or link.key.tail in self.accepted

    def _present(self, span: Span) -> Iterator[Span]:
        """The stays of other units at the same position in the same time."""
        place = self.picture.places[span.place_id]
        for each in self.inner.get((place.parent_unit_id, place.part_position_id), [place.id]):
            yield from self._beside(span, each)

    def _beside(self, span: Span, place_id: int) -> Iterator[Span]:
        for each in self.picture.others.get(place_id, ()):
            if is_overlapping(span.start, span.end, each):
                yield each
        for unit in self.visits.get(place_id, ()):
            if unit == span.unit_id:
                continue
            for link, each in self.chains[unit].spans():
                is_there = each.place_id == place_id and self._holds(link)
                if is_there and is_overlapping(span.start, span.end, each):
                    yield each

    def _across(self, edit: Edit) -> list[Span]:
        """Who is at the mirrored position while this unit is here, for longer than one job takes."""
        if edit.link is None or not self.picture.mirrors:
            return []
        position = self.picture.places[edit.link.place_id].aircraft_position_id
        mirror = self.picture.mirrors.get(position or 0)
        if mirror is None:
            return []
        own = next((s for link, s in self.chains[edit.unit_id].spans() if link is edit.link), None)
        return [each for each in self._beside(own, mirror) if _lasts(own, each)] if own else []

    def _is_inside_itself(self, span: Span) -> bool:
        frontier: list[tuple[Span, datetime, datetime | None]] = [(span, span.start, span.end)]
        for _ in range(DEEPEST):
            further: list[tuple[Span, datetime, datetime | None]] = []
            for each, start, end in frontier:
                outer = self.picture.places[each.place_id].parent_unit_id
                if outer == span.unit_id:
                    return True
                if outer is not None:
                    further += self._overlapping_stays(outer, start, end)
            frontier = further
            if not frontier:
                break
        return False

    def _overlapping_stays(
        self, unit: int, start: datetime, end: datetime | None
    ) -> list[tuple[Span, datetime, datetime | None]]:
        if unit in self.chains:
            spans = [each for link, each in self.chains[unit].spans() if self._holds(link)]
        else:
            spans = self.picture.inside.get(unit, [])
        return [
            (each, max(start, each.start), _earlier(end, each.end))
            for each in spans
            if is_overlapping(start, end, each)
        ]

    def _why_not_after_the_call(self, edit: Edit, before: Link | None) -> list[Refusal]:
        """Totals against those that earlier rows of the same call read on the same aircraft."""
        aircraft = aircraft_of(edit, before, self.picture)
        if aircraft is None or edit.link is None:
            return []
        near = Totals(
            minutes_before=self.read[aircraft, "minutes"].before(edit.link.day, edit.minutes),
            cycles_before=self.read[aircraft, "cycles"].before(edit.link.day, edit.cycles),
        )
        return why_not_totals(edit, near)


class _Running:
    """The greatest total on earlier days, of totals that come day by day."""

    def __init__(self) -> None:
        self.day: date | None = None
        self.earlier: int | None = None
        self.today: int | None = None

    def before(self, day: date, total: int | None) -> int | None:
        """The greatest total of earlier days; this one is remembered unless it is smaller."""
        if self.day is None or day > self.day:
            self.day, self.earlier = day, _greater(self.earlier, self.today)
            self.today = None
        if total is not None and (self.earlier is None or total >= self.earlier):
            self.today = _greater(self.today, total)
        return self.earlier


def aircraft_of(edit: Edit, before: Link | None, picture: Picture) -> int | None:
    """Whose totals a movement read: of the aircraft it led to, or else came from."""
    links = [link for link in (edit.link, before) if link is not None]
    found = [picture.places[link.place_id].aircraft_id for link in links]
    return next((aircraft for aircraft in found if aircraft is not None), None)


def _order(edit: Edit) -> tuple[bool, datetime | None, int, int]:
    """What only takes out comes first: it leaves room for what the same call puts in."""
    if edit.link is None:
        return (False, None, 0, edit.row)
    return (True, edit.link.key.at, edit.link.key.day_order, edit.row)


def _lasts(one: Span, other: Span) -> bool:
    """Whether two that overlap do so for longer than the job of changing the one after the other."""
    end = _earlier(one.end, other.end)
    return end is None or end - max(one.start, other.start) >= ONE_JOB


def _greater(one: int | None, other: int | None) -> int | None:
    known = [total for total in (one, other) if total is not None]
    return max(known, default=None)


def _earlier(one: datetime | None, other: datetime | None) -> datetime | None:
    known = [at for at in (one, other) if at is not None]
    return min(known, default=None)
