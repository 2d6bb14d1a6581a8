"""Small plans by hand and at random, and the slow way to place them: every way there is, and its price."""

from __future__ import annotations

import itertools
import random
from dataclasses import dataclass, field

import numpy as np

from scheduling.placing.columns import NONE, PRICED_DAYS, Checks, Jobs


@dataclass
class World:
    """Aircraft with checks (first day, works possible) and jobs, before they are columns."""

    checks: dict[int, list[tuple[int, set[int]]]] = field(default_factory=dict)
    jobs: list[tuple[int, int, int, int, int, int]] = field(default_factory=list)
    works: int = 1

    def check_rows(self) -> list[tuple[int, int, set[int]]]:
        return [
            (craft, day, able) for craft in sorted(self.checks) for day, able in self.checks[craft]
        ]

    def columns(self) -> tuple[Jobs, Checks]:
        rows = self.check_rows()
        can = np.array([[work in able for _, _, able in rows] for work in range(self.works)], bool)
        checks = Checks(
            np.array([craft for craft, _, _ in rows], np.int64),
            np.array([day for _, day, _ in rows], np.int64),
            can.reshape(self.works, len(rows)),
        )
        told = np.array(self.jobs, np.int64).reshape(-1, 6).T
        return Jobs(*told), checks


def a_job(last_on, *, aircraft=0, work=0, group=NONE, price=0, chosen=NONE):
    return aircraft, last_on, work, group, price, chosen


def at_all(*days, works=1):
    return [(day, set(range(works))) for day in days]


def random_world(seed: int) -> World:
    told = random.Random(seed)
    works = told.choice((1, 1, 2, 3))
    world = World(works=works)
    for craft in range(told.randint(1, 2)):
        days = sorted(told.sample(range(5, 60), told.choice((0, 1, 3, 4, 5, 6))))
        world.checks[craft] = [
            (day, {work for work in range(works) if told.random() < 0.75}) for day in days
        ]
        for _ in range(told.randint(0, 5)):
            group = craft * 2 + (told.random() < 0.2) if told.random() < 0.9 else NONE
            job = a_job(
                told.randint(0, 62),
                aircraft=craft,
                work=told.randrange(works),
                group=group,
                price=told.choice((0, 100, 300, 1000)),
            )
            world.jobs.append(job)
    rows = world.check_rows()
    for at, job in enumerate(world.jobs):
        own = [row for row, (craft, _, _) in enumerate(rows) if craft == job[0]]
        if own and told.random() < 0.15:
            world.jobs[at] = (*job[:5], told.choice(own))
    return world


def last_of(world: World, job, margin: int) -> int:
    """The row of the last check that can do it on or before its last day less the margin, or NONE; read off
    the rule's own words."""
    rows = world.check_rows()
    fit = [
        at
        for at, (craft, day, able) in enumerate(rows)
        if craft == job[0] and job[2] in able and day <= job[1] - margin
    ]
    return fit[-1] if fit else NONE


def least_of_all(world: World, margin: int, opening, free: list[int], forced: set[int]) -> int:
    """The least that any placement of these jobs of one group costs, in hundredths: every way is tried."""
    rows = world.check_rows()
    lasts = [last_of(world, world.jobs[at], margin) for at in free]
    ways = [
        [
            row
            for row, (craft, day, able) in enumerate(rows)
            if craft == world.jobs[at][0]
            and world.jobs[at][2] in able
            and day <= world.jobs[at][1] - margin
        ]
        for at in free
    ]
    return min(
        price_of(world, opening, list(zip(free, places, lasts, strict=True)), forced)
        for places in itertools.product(*ways)
    )


def price_of(world: World, opening, placed, forced: set[int]) -> int:
    rows = world.check_rows()
    life = sum(world.jobs[at][4] * (rows[last][1] - rows[row][1]) for at, row, last in placed)
    opened = {row for _, row, _ in placed} - forced
    return life + opening * PRICED_DAYS * len(opened)
