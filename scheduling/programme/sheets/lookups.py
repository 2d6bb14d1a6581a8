"""What lines name of the programmes: programmes, works, limits, clocks."""

from __future__ import annotations

from collections import defaultdict

from fleet.loading.batch import Batch
from scheduling.models import Clock, Limit, Programme, Work


def programmes(batch: Batch, name: str = "programme") -> list[int | None]:
    known = batch.bringing.looked_up(
        "programmes",
        lambda: {code.upper(): key for code, key in Programme.objects.values_list("code", "pk")},
    )
    return batch.found(name, known, "programme")


def all_works(batch: Batch) -> dict[str, int]:
    found: dict[str, int] = batch.bringing.looked_up(
        "works", lambda: {code.upper(): key for code, key in Work.objects.values_list("code", "pk")}
    )
    return found


def works(batch: Batch, name: str = "work") -> list[int | None]:
    return batch.found(name, all_works(batch), "work")


Revisions = dict[tuple[int | None, str], dict[str, int]]


def _revisions(batch: Batch) -> Revisions:
    """By programme and code, the revisions of a limit, latest in force last."""

    def find() -> Revisions:
        found: Revisions = defaultdict(dict)
        rows = Limit.objects.order_by("from_on", "pk")
        for programme, code, revision, key in rows.values_list(
            "programme_id", "code", "revision", "pk"
        ):
            found[programme, code.upper()][revision.upper()] = key
        return found

    found: Revisions = batch.bringing.looked_up("limits", find)
    return found


def limits(batch: Batch) -> list[int | None]:
    """The limit that each line names by programme, code and revision.

    A blank revision will do where the limit has one only.
    """
    programme_ids, revisions = programmes(batch), _revisions(batch)
    found: list[int | None] = []
    for line, programme in enumerate(programme_ids):
        code, revision = batch["limit"][line], batch["revision"][line]
        known = revisions.get((programme, code), {})
        if revision is None and len(known) == 1:
            found.append(next(iter(known.values())))
            continue
        found.append(known.get(revision))
        if found[-1] is not None or programme is None or code is None or not batch.is_good(line):
            continue
        if known and revision is None:
            batch.refuse(
                line,
                "revision",
                "ambiguous_limit",
                f"Limit {code} has the revisions {', '.join(known)}. Give the one meant.",
            )
        elif known:
            batch.refuse(
                line,
                "revision",
                "unknown_limit",
                f"Limit {code} has no revision {revision} on record, but {', '.join(known)}.",
            )
        else:
            codes = [each for its, each in revisions if its == programme]
            batch.refuse_unknown(line, "limit", code, codes, "limit", of="of this programme")
    return found


def clocks(batch: Batch, limit_ids: list[int | None], name: str = "clock") -> list[int | None]:
    """The clock that each line names by limit and order."""
    known = batch.bringing.looked_up(
        "clocks",
        lambda: {
            (limit, seq): key
            for limit, seq, key in Clock.objects.values_list("limit_id", "seq", "pk")
        },
    )
    found: list[int | None] = []
    for line, key in enumerate(zip(limit_ids, batch[name], strict=True)):
        found.append(known.get(key))
        if found[-1] is None and None not in key and batch.is_good(line):
            batch.refuse(
                line,
                name,
                "unknown_clock",
                f"Limit {batch['limit'][line]} has no clock {key[1]}. Bring it with the sheet 'Clocks'.",
            )
    return found
