"""The open jobs of a person: what waits, and what was handed on to whom, by whom and when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fleet.models import JobHandedOn, User
from fleet.people.ports import OpenJob, open_jobs_of


@dataclass(frozen=True, slots=True)
class JobOf:
    """One open job of a person. ``given`` is how it left the person's hands, None while it waits there."""

    open: OpenJob
    taken: JobHandedOn | None
    given: JobHandedOn | None

    @property
    def waits(self) -> bool:
        return self.given is None

    @property
    def job(self) -> str:
        return self.open.job

    @property
    def words(self) -> str:
        return self.open.words

    @property
    def address(self) -> str:
        return self.open.address

    @property
    def part(self) -> str:
        """What the person has to do with it, and from whom it came."""
        if self.taken is None:
            return self.open.part
        own = [self.open.part] if self.open.part else []
        return ", ".join([*own, f"handed on from {self.taken.giver.shown_name}"])

    @property
    def since(self) -> datetime:
        return self.open.since

    @property
    def handed_on_to(self) -> str | None:
        return self.given.taker.username if self.given else None

    @property
    def handed_on_by(self) -> str | None:
        return self.given.by.username if self.given else None

    @property
    def handed_on_at(self) -> datetime | None:
        return self.given.at if self.given else None


def jobs_of(person: User) -> list[JobOf]:
    """Every open job of a person, those that wait first. The latest that was said of a job counts."""
    taken = set(JobHandedOn.objects.filter(taker=person).values_list("job", flat=True))
    found = open_jobs_of(person.pk, sorted(taken))
    rows = JobHandedOn.objects.filter(job__in=[each.job for each in found])
    last = {row.job: row for row in rows.select_related("giver", "taker", "by").order_by("pk")}
    jobs = []
    for each in found:
        row = last.get(each.job)
        is_own = row is not None and row.taker_id == person.pk
        jobs.append(JobOf(each, taken=row if is_own else None, given=None if is_own else row))
    return sorted(jobs, key=lambda job: not job.waits)
