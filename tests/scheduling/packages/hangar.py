"""A check in the hangar: two slides to change and one to look at, handed over, done, carried, closed."""

from __future__ import annotations

from functools import cached_property
from uuid import uuid4

from django.utils import timezone

from fleet.house.pages import today
from fleet.models import Check
from fleet.people.proofs import Proof
from scheduling.models import DueItem, Work
from scheduling.packages.acts.carrying import NotDone, carry_forward
from scheduling.packages.acts.closing import Closing, close_check
from scheduling.packages.acts.handing import NewHandover, hand_over_package
from scheduling.packages.acts.on_aircraft import AircraftWork, record_aircraft_work
from scheduling.packages.acts.releasing import release_check
from scheduling.packages.reads.handed import handed_of
from scheduling.programme.acts.works import NewWork, record_works
from tests import builders as build
from tests import builders_swaps as swaps
from tests.equipment.line_world import PASSWORD
from tests.scheduling.planning.world import (
    a_check,
    an_aircraft,
    due_in,
    in_days,
    overhauls,
    reckoned,
)
from tests.scheduling.rules import a_rule, done, every

POSITIONS = ("D1L-SLIDE", "D1R-SLIDE", "D2L-SLIDE")


class Hangar:
    """A check that begins today: two slides to change, one looked at in place; and who does what."""

    def __init__(self):
        overhauls()
        self.craft = an_aircraft(*POSITIONS)
        self.left, self.right, self.look = (
            due_in(self.craft, *each) for each in zip(POSITIONS, (60, 70, 300), strict=True)
        )
        a_rule("SL-LOOK", every(6), work="LOOK")
        Work.objects.filter(code="LOOK").update(is_done_in_place=True)
        for unit in (self.left, self.right):
            done("LOOK", in_days(-1).isoformat(), unit_id=unit.pk)
        done("LOOK", in_days(-120).isoformat(), unit_id=self.look.pk)
        self.check = a_check(self.craft, 0, "A1")
        a_check(self.craft, 170, "A9")
        reckoned()
        self.controller = build.a_person("controller")
        self.technician = build.a_person("technician")
        self.certifier = swaps.a_certifier(password=PASSWORD)
        swaps.a_rule_set()

    def hand_over(self, to=None, **more):
        new = NewHandover(self.check.pk, (to or self.technician).pk, "The slot ends on Friday.")
        return hand_over_package(
            by=self.controller, handover=new, act_id=uuid4(), at=timezone.now(), **more
        )

    @cached_property
    def later(self):
        """In time for one of the slides alone; planned only once the package is in the hangar."""
        return a_check(self.craft, 65, "A2")

    def package(self):
        return handed_of(Check.objects.select_related("aircraft", "station").get(pk=self.check.pk))

    def item(self, unit):
        return next(each for each in self.package().items if unit.serial_number in each.row.words)

    def do(self, code, unit, on=None, **more):
        row = NewWork(
            work_id=Work.objects.get(code=code).pk,
            unit_id=unit.pk,
            done_on=on or today(),
            act_id=uuid4(),
            who="T. Arden",
            document="WO-1",
            **{"result": "passed"} | more,
        )
        record_works(by=self.controller, rows=[row], now=timezone.now())

    def carry(self, unit, to=None, **more):
        facts = {"reason": "No spare.", "approval": "TC-1", "approved_by": "O. Lind"} | more
        said = NotDone(item_id=self.item(unit).row.pk, to_check_id=to and to.pk, **facts)
        return carry_forward(by=self.controller, not_done=said, act_id=uuid4(), at=timezone.now())

    def close(self, by=None):
        said = Closing(self.check.pk)
        return close_check(
            by=by or self.technician, closing=said, act_id=uuid4(), at=timezone.now()
        )

    def release(self, by=None):
        proof = Proof(by or self.certifier, timezone.now())
        return release_check(proof=proof, check_id=self.check.pk, act_id=uuid4(), at=proof.at)


def all_but_one(hangar):
    """Looked at, one slide changed for good, one carried to A2."""
    hangar.hand_over()
    hangar.do("LOOK", hangar.look)
    hangar.do("OVERHAUL", hangar.left)
    hangar.carry(hangar.right, to=hangar.later)


LIGHTS = "EL-FUN"


class Aboard(Hangar):
    """The hangar's check, with a work on the aircraft itself in its package."""

    def __init__(self):
        super().__init__()
        a_rule(LIGHTS, every(12), work="FUNCTION", subject="aircraft")
        done("FUNCTION", in_days(-300).isoformat(), aircraft_id=self.craft.pk)
        reckoned()
        self.hand_over()

    @property
    def aboard(self):
        [item] = [each for each in self.package().items if each.row.is_on_aircraft]
        return item

    def said(self, **more):
        facts = {"who": "T. Arden", "authorisation": "Q-B1-204", "document": "WO-7"}
        facts |= {"result": "passed", "done_on": today()}
        return AircraftWork(self.aboard.row.pk, **facts | more)

    def record(self, by=None, act_id=None, **more):
        return record_aircraft_work(
            by=by or self.controller,
            aircraft_work=self.said(**more),
            act_id=act_id or uuid4(),
            at=timezone.now(),
        )

    def due(self, limit=LIGHTS):
        reckoned()
        return DueItem.objects.get(limit__code=limit, aircraft=self.craft).due_on
