"""A proposal made for the whole fleet and kept whole."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import asdict
from datetime import date, datetime, timedelta

import structlog
from django.db import connection, transaction

from scheduling.allocation.facts.codec import need_plain, supply_plain
from scheduling.allocation.facts.gathered import Gathered, gather
from scheduling.allocation.facts.stamps import stamp_of
from scheduling.matching.facts.columns import columns_of
from scheduling.matching.solving.proposal import Proposal, propose
from scheduling.matching.solving.shortage import months_of
from scheduling.models import OfferedUnit, ProposalRun, ProposedNeed

from .follow import free_what_fails

log = structlog.get_logger(__name__)
_ONE_MAKER = 7301546
AT_ONCE = 1000
#: A proposal that took no longer than this is renewed in the act that made it stale; else by the job.
QUICK_MS = 1000


def renew_if_stale(*, as_of: date, at: datetime) -> ProposalRun | None:
    """This will make the proposal anew if the facts differ from those it was made from; None if not,
    or while another makes it."""
    kept = latest_run()
    if kept is not None and kept.stamp == stamp_of(as_of):
        return None
    return make_proposal(as_of=as_of, at=at)


def renew_if_quick(*, as_of: date, at: datetime) -> None:
    """This will make the proposal anew inside an act, where that is quick; what the act did stands
    whatever comes of it."""
    kept = latest_run()
    if kept is None or kept.took_ms > QUICK_MS:
        return
    try:
        with transaction.atomic():
            make_proposal(as_of=as_of, at=at)
    except Exception as fault:  # noqa: BLE001 (whatever the sum failed on, the decision stands)
        log.error("proposal not renewed", reason=repr(fault))


def latest_run() -> ProposalRun | None:
    return ProposalRun.objects.order_by("-pk").first()


@transaction.atomic
def make_proposal(*, as_of: date, at: datetime, until_on: date | None = None) -> ProposalRun | None:
    """This will choose for the whole fleet and horizon (a year, unless its last day is given), and keep
    it; None while another does.

    One transaction: killed at any point it leaves the previous proposal, whole. What was accepted and
    no longer holds is freed first, and whoever accepted it is told.
    """
    if not _is_mine():
        return None
    begun = time.monotonic()
    stamp = stamp_of(as_of)  # before the facts: what changes meanwhile makes the proposal stale
    gathered = gather(as_of, at, until_on)
    if free_what_fails(gathered, at=at):
        stamp, gathered = stamp_of(as_of), gather(as_of, at, until_on)
    proposal = propose(columns_of(gathered.facts))
    run = _keep(gathered, proposal, stamp, at)
    run.took_ms = round((time.monotonic() - begun) * 1000)
    run.save(update_fields=["took_ms"])
    ProposalRun.objects.filter(made_at__lt=at - timedelta(minutes=10)).exclude(pk=run.pk).delete()
    return run


def _is_mine() -> bool:
    """One maker at a time; the lock goes with the transaction."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_try_advisory_xact_lock(%s)", [_ONE_MAKER])
        return bool(cursor.fetchone()[0])


def _keep(gathered: Gathered, proposal: Proposal, stamp: str, at: datetime) -> ProposalRun:
    facts = gathered.facts
    run = ProposalRun.objects.create(
        as_of=gathered.as_of,
        until_on=gathered.until_on,
        made_at=at,
        stamp=stamp,
        needs=len(facts.needs),
        short=len(proposal.short),
        left_out=gathered.left_out,
        ways=[asdict(way) for way in facts.ways],
        locked=[list(pair) for pair in facts.locked],
        forbidden=[list(pair) for pair in facts.forbidden],
        months=[
            {**asdict(month), "month": month.month.isoformat()}
            for month in months_of(
                facts, proposal.pairs, as_of=gathered.as_of, until=gathered.until_on
            )
        ],
    )
    ProposedNeed.objects.bulk_create(_needs(run, gathered, proposal), batch_size=AT_ONCE)
    OfferedUnit.objects.bulk_create(_offers(run, gathered, proposal), batch_size=AT_ONCE)
    return run


def _needs(run: ProposalRun, gathered: Gathered, proposal: Proposal) -> Iterator[ProposedNeed]:
    pairs = proposal.pairs
    keys = proposal.columns.needs.key.tolist()
    groups = proposal.need_group.tolist()
    for key, group, cost in zip(keys, groups, proposal.cost.tolist(), strict=True):
        fact = gathered.needs[key]
        chosen = gathered.supplies[pairs[key]] if key in pairs else None
        released = gathered.supplies.get(str(fact.row.unit_id))
        stop, removal = fact.removal.stop, fact.removal
        yield ProposedNeed(
            run=run,
            key=key,
            place_id=fact.row.place_id,
            unit_off_id=fact.row.unit_id,
            aircraft_id=removal.aircraft_id,
            check_planned_id=stop.id if stop else None,
            family=fact.need.family,
            kind=gathered.rules.kinds[fact.row.kind_id][0],
            on=fact.need.on,
            station=fact.need.station,
            registration=fact.registration,
            position=fact.position,
            off_words=fact.off_words,
            off_part=fact.off_part,
            check_name=stop.name if stop else "",
            works=list(removal.work_names),
            latest_on=removal.latest_on,
            unit_id=chosen.unit_id if chosen else None,
            unit_words=chosen.supply.unit if chosen else "",
            cost=cost,
            group=group,
            back_on=released.supply.free_from if released else None,
            pieces=fact.need.quantity,
            piece=fact.piece,
            facts=need_plain(fact.need),
        )


def _offers(run: ProposalRun, gathered: Gathered, proposal: Proposal) -> Iterator[OfferedUnit]:
    taken = {supply: need for need, supply in proposal.pairs.items()}
    keys = proposal.columns.supplies.key.tolist()
    for key, group in zip(keys, proposal.supply_group.tolist(), strict=True):
        fact = gathered.supplies[key]
        yield OfferedUnit(
            run=run,
            unit_id=fact.unit_id,
            key=key,
            pieces=fact.supply.quantity,
            part=fact.supply.part,
            words=fact.supply.unit,
            kind=fact.kind,
            station=fact.supply.station,
            source=fact.supply.source,
            group=group,
            for_key=taken.get(key, ""),
            said=[list(one) for one in fact.said],
            facts=supply_plain(fact.supply),
        )
