"""The act of each line, made of what it says: known word for word, or refused for what it says otherwise."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from fleet.loading.batch import Batch
from fleet.loading.plain import refuse_contradicting, refuse_differing


@dataclass(frozen=True, slots=True)
class Kept:
    """What is on record under an act: of which units (as kept), and by field of the sheet what it says."""

    about: tuple[int | None, ...]
    said: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Lines:
    """The lines of a sheet whose acts are made of what they tell.

    ``told`` are the fields that an act's id is made of: not the maker, whose name may be left out.
    ``about`` are the units that each line means, ``said`` what else it says, None where it says
    nothing. ``on_record`` looks acts up.
    """

    batch: Batch
    what: str
    told: Sequence[str]
    about: Sequence[tuple[int | None, ...]]
    said: Mapping[str, Sequence[Any]]
    on_record: Callable[[Collection[UUID]], Mapping[UUID, Kept]]

    def new_acts(self) -> dict[int, UUID]:
        """The act of each good line that is new. One that is on record, or stands in the sheet before,
        is known if it says the same, and refused if not.

        Where two makers give one number, the act is the first one's: the other unit's lines have an
        act of their own.
        """
        make = self.batch.bringing.act_id
        acts = {
            line: make(self.what, *(self.batch[name][line] for name in self.told))
            for line in self.batch.good
        }
        new, others = self._sorted_out(acts)
        further = {line: make(self.what, "of", *self.about[line], acts[line]) for line in others}
        more, _ = self._sorted_out(further)
        return new | more

    def _sorted_out(self, acts: Mapping[int, UUID]) -> tuple[dict[int, UUID], list[int]]:
        """The acts of new lines; and the lines whose act is on record, or stands before, of another unit."""
        kept = self.on_record(set(acts.values())) if acts else {}
        new: dict[int, UUID] = {}
        first: dict[UUID, int] = {}
        others = []
        for line, act in acts.items():
            there = kept[act].about if act in kept else self.about[first.setdefault(act, line)]
            if there != self.about[line]:
                others.append(line)
            elif act in kept:
                self._compare(line, kept[act].said)
            elif first[act] != line:
                self._repeat(line, first[act])
            else:
                new[line] = act
        return new, others

    def _compare(self, line: int, kept: Mapping[str, Any]) -> None:
        for name, column in self.said.items():
            if column[line] is not None and column[line] != kept[name]:
                refuse_differing(self.batch, line, name, kept[name])
                return
        self.batch.know([line])

    def _repeat(self, line: int, before: int) -> None:
        if all(column[line] == column[before] for column in self.said.values()):
            self.batch.know([line])
        else:
            refuse_contradicting(self.batch, line, before)
