"""The clerk's pages: every one for every role, each act by its page, junk said in a sentence."""

from __future__ import annotations

import re
from copy import deepcopy
from dataclasses import dataclass
from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from equipment.keeping.places import place_ids
from equipment.models import (
    Attachment,
    Certificate,
    Hold,
    HoldEnd,
    IncomingInspection,
    Place,
    Reservation,
    ShopOrder,
    ShopPromise,
    ShopReturn,
    Unit,
    UnitTag,
)
from equipment.stores.acts.inspections import CHECKS
from equipment.stores.pages import lists as views_stores
from equipment.stores.reads import stock
from equipment.stores.reads.clerk_day import clerk_day
from fleet.house.pages import today
from scheduling.models import WorkDone
from tests import builders as build
from tests.equipment.line_world import BEFORE, PASSWORD, POSITION, Line, a_line, signed_in
from tests.equipment.stores import world
from tests.sweeps import by_turns

pytestmark = pytest.mark.django_db
GS, RS, EOT = "\x1d", "\x1e", "\x04"
CODE = f"[)>{RS}06{GS}17VHALY1{GS}1PHS-1{GS}SS9{RS}{EOT}"
PAPER = {
    "form": "Form 1",
    "tracking_number": "C-9",
    "issuer": "Lee Shore Overhaul",
    "printed_serial": "S9",
    "status": "Overhauled",
    "issued_on": "2026-05-01",
    "supplier": "Tidewater Parts",
}
PDF = b"%PDF-1.4 a scan"
ROLES = (
    "technician",
    "inspector",
    "certifying",
    "controller",
    "stores",
    "auditor",
    "administrator",
)
JUNK = (
    "",
    " ",
    "abc",
    "-5",
    "1e999",
    "nan",
    "9" * 90,
    "2027-13-45",
    "0001-01-01",
    "9999-12-31",
    "<script>",
    "5\x00",
    "²",
    "٣",
    "%PDF",
    "🧯",
    "'; --",
    "on",
    "1" * 1200,
)
# Every field of every form in turn: the sorts of junk that differ.
FEW = ("", "abc", "5\x00", "9999-12-31", "9" * 90)


@pytest.fixture
def desk(people):
    return signed_in(people["stores"])


@dataclass(frozen=True)
class Stocked:
    """A spare in the store, one just received, one late at a shop; an aircraft that needs the spare."""

    line: Line
    spare: Unit
    came: Unit
    away: Unit
    order: ShopOrder

    @property
    def station(self):
        return self.line.station


@pytest.fixture(scope="module")
def stocked(everybody):
    world.works()
    line, part = a_line(), build.a_part("HS-1")
    came, away = (build.a_unit(part, serial_number=serial) for serial in ("S2", "S3"))
    build.moved(came, "received", build.in_quarantine(line.station), "2026-06-01")
    build.moved(away, "received", build.in_store(line.station), "2026-02-01")
    Certificate.objects.create(
        unit=came,
        form="Form 1",
        tracking_number="C-2",
        issued_on=build.day("2026-05-01"),
        issuer="Shop",
        status="Overhauled",
        recorded_at=BEFORE,
    )
    return Stocked(line, line.new, came, away, ordered(away, line.station, everybody["stores"]))


@pytest.fixture
def place(stocked, people):
    return deepcopy(stocked)


def ordered(unit, station, by):
    """Sent thirty days ago, promised ten days ago."""
    day = today() - timedelta(days=30)
    moved = build.moved(unit, "sent", build.SHOP, "2026-05-01")
    return ShopOrder.objects.create(
        act_id=uuid4(),
        unit=unit,
        movement_id=moved.movement_id,
        shop="Lee Shore Overhaul",
        number="77",
        station=station,
        sent_on=day,
        promised_on=day + timedelta(days=20),
        recorded_at=timezone.now(),
        recorded_by=by,
    )


def set_aside(place, by):
    (key,) = place_ids([build.at_position(place.line.aircraft, POSITION)])
    return Reservation.objects.create(
        act_id=uuid4(),
        unit=place.spare,
        place_id=key,
        need_on=today() + timedelta(days=9),
        reserved_at=BEFORE,
        reserved_by=by,
    )


def a_hold(unit, by):
    return Hold.objects.create(
        act_id=uuid4(),
        scope="unit",
        unit=unit,
        why="papers",
        words="A stamp is missing",
        held_at=BEFORE,
        held_by=by,
    )


def url(name, *keys):
    return reverse(f"equipment:stores{name}", args=keys)


def a_file(content=PDF):
    return SimpleUploadedFile("scan.pdf", content, "application/pdf")


def a_receipt(place, **more):
    typed = {"part_number": "HS-1", "serial_number": "S9", "quantity": "1"}
    came = {"station": place.station.pk, "received_on": "2026-06-01", "act_id": str(uuid4())}
    return {**typed, **came, **PAPER, **more}


def text(answer):
    return answer.content.decode()


def unit_of(serial):
    return Unit.objects.select_related("place").get(serial_number=serial)


# --- every page for every role ----------------------------------------------------------------

LISTS = ("", "_scan", "_waiting", "_set_aside", "_stock", "_owed", "_receive", "_shop", "_holds")
OF_A_UNIT = (
    "_received",
    "_unit",
    "_inspect",
    "_send",
    "_papers",
    "_paper",
    "_stow",
    "_tag",
    "_reserve",
)


def every_address(place, hold, held, units):
    addresses = [url(name) for name in LISTS if name != "_scan"]
    addresses += [url(name, unit.pk) for name in OF_A_UNIT for unit in units]
    addresses += [url(name, place.order.pk) for name in ("_order", "_promise")]
    return [*addresses, url("_hold_end", hold.pk), url("_reservation", held.pk)]


@pytest.mark.parametrize("role", ROLES)
def test_every_page_opens_for_every_role(place, people, role):
    held, hold = set_aside(place, people["stores"]), a_hold(place.came, people["stores"])
    client = signed_in(people[role])
    every = (place.spare, place.came, place.away)
    # Each page in each state of a unit for who works there and who only reads; once for the others.
    units = every if role in ("stores", "auditor") else (place.came,)

    for address in every_address(place, hold, held, units):
        answer = client.get(address)
        assert answer.status_code == 200, (address, text(answer)[:400])
        assert "Invented demonstration data" in text(answer)


def test_nobody_reads_the_stores_without_signing_in(client, place):
    assert client.get(url("")).status_code == 302


@pytest.mark.parametrize("name", [*OF_A_UNIT, "_order", "_promise", "_hold_end", "_reservation"])
def test_what_is_not_there_is_a_page_that_says_so(desk, name):
    assert desk.get(url(name, 2**62)).status_code == 404


def test_the_way_to_the_stores_is_shown_to_who_works_there(people):
    """The clerk from every page, the controller beside the allocation of parts."""
    for role, page, is_shown in (
        ("stores", "/units/", True),
        ("controller", "/allocation/", True),
        ("technician", "/units/", False),
    ):
        answer = signed_in(people[role]).get(page)
        assert bool(re.search(r'<a href="/stores/"\s*>', text(answer))) is is_shown


def test_an_empty_receipt_says_all_that_is_missing_at_once(desk, place):
    page = text(desk.post(url("_receive"), {"station": place.line.station.pk, "act_id": uuid4()}))

    assert page.count("Read it off the plate, or scan the plate.") == 2
    assert "Give the day." in page
    assert "Copy its certificate, or tick that none came" in page


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("02/2021", ("2021-02-01", "month")),
        ("FEB 21", ("2021-02-01", "month")),
        ("2021-02-14", ("2021-02-14", "day")),
        ("2021", ("2021-01-01", "year")),
    ],
)
def test_a_plate_may_show_the_month_or_the_year_only(desk, place, typed, kept):
    answer = desk.post(url("_receive"), a_receipt(place.line, manufactured_on=typed))

    assert answer.status_code == 302, text(answer)[:400]
    unit = unit_of("S9")
    assert (str(unit.manufactured_on), unit.manufactured_precision) == kept


@pytest.mark.parametrize(
    "typed", ["03/04/2021", "31/02/2021", "soon", "2099-01-01", "2021-02-14 10:00"]
)
def test_a_date_on_a_plate_that_cannot_be_read_is_said_and_kept_as_typed(desk, place, typed):
    answer = desk.post(url("_receive"), a_receipt(place.line, manufactured_on=typed))

    assert answer.status_code == 422
    assert f'value="{typed}"' in text(answer)
    assert "this file" not in text(answer)
    assert not Unit.objects.filter(serial_number="S9").exists()


def test_the_day_shows_each_unit_with_its_next_act(desk, place):
    answer = text(desk.get(url("")))

    assert "autofocus" in answer
    assert url("_inspect", place.came.pk) in answer
    assert url("_order", place.order.pk) in answer
    assert "10 days late" in answer


def test_the_day_of_another_station_is_empty(desk, place):
    build.a_station("QELS")

    answer = text(desk.get(url("") + "?station=QELS"))

    assert "No shop is late." in answer
    assert place.came.serial_number not in answer


# --- the scanner ------------------------------------------------------------------------------


def test_a_code_leads_to_the_one_next_act(desk, place):
    for unit, to in (
        (place.came, url("_inspect", place.came.pk)),
        (place.away, url("_order", place.order.pk)),
        (place.spare, url("_unit", place.spare.pk)),
    ):
        code = f"{unit.part_number.number} {unit.serial_number}"
        answer = desk.get(url("_scan"), {"code": code})
        assert answer["Location"] == to


def test_an_unknown_code_leads_to_receiving_with_what_was_read(desk, place):
    answer = desk.get(url("_scan"), {"code": CODE}, follow=True)

    assert 'value="S9"' in text(answer)
    assert "Read from the mark" in text(answer)
    assert "it will be new" in text(answer)


@pytest.mark.parametrize("junk", JUNK)
def test_any_scanned_junk_is_answered(desk, place, junk):
    assert desk.get(url("_scan"), {"code": junk}, follow=True).status_code == 200


# --- receiving --------------------------------------------------------------------------------


def test_a_unit_is_received_with_its_certificate_and_its_file(desk, place):
    answer = desk.post(url("_receive"), a_receipt(place, file=a_file()), follow=True)

    unit = unit_of("S9")
    assert "Received" in text(answer)
    assert url("_inspect", unit.pk) in text(answer)
    assert unit.place.sort == Place.QUARANTINE
    assert bytes(Attachment.objects.get(certificate__unit=unit).content) == PDF


def test_the_same_form_sent_twice_is_one_receipt(desk, place):
    form = a_receipt(place)

    for _ in range(2):
        assert desk.post(url("_receive"), form).status_code == 302

    assert Certificate.objects.filter(unit__serial_number="S9").count() == 1


def test_nothing_typed_is_lost_when_it_is_refused(desk, place):
    form = a_receipt(place, printed_serial="S8", remarks="Blue box", file=a_file())

    refused = desk.post(url("_receive"), form)
    kept = refused.context["form"].kept
    again = a_receipt(place, kept_name=kept[0], kept_content=kept[1])
    answer = desk.post(url("_receive"), again)

    assert refused.status_code == 422
    assert "The certificate is for serial number S8" in text(refused)
    assert 'value="Blue box"' in text(refused)
    assert answer.status_code == 302
    assert Attachment.objects.get().name == "scan.pdf"


def test_a_number_that_looks_like_another_is_asked_about_once(desk, place):
    more = {"part_number": "HLY-OW-210", "serial_number": "OO533", "printed_serial": "OO533"}
    form = a_receipt(place, **more)

    asked = desk.post(url("_receive"), form)
    answer = desk.post(url("_receive"), {**form, "is_confirmed": "on"})

    assert "looks like OO533" in text(asked)
    assert "it is another unit" in text(asked)
    assert answer.status_code == 302


def test_a_unit_without_a_paper_waits_for_one_and_is_cleared_by_it(desk, place):
    form = a_receipt(place, has_no_paper="on")
    form = {name: value for name, value in form.items() if name not in PAPER}

    received = desk.post(url("_receive"), form, follow=True)
    unit = unit_of("S9")
    answer = desk.post(url("_paper", unit.pk), {"act_id": uuid4(), **PAPER}, follow=True)

    assert "No release certificate came with it" in text(received)
    assert "The certificate is recorded" in text(answer)
    assert Certificate.objects.get(unit=unit).tracking_number == "C-9"


def test_a_file_that_is_no_scan_is_refused_in_a_sentence(desk, place):
    form = a_receipt(place, file=a_file(b"MZ no scan"))

    assert "neither a PDF nor a picture" in text(desk.post(url("_receive"), form))


def test_a_work_is_certified_and_its_day_asked_for(desk, place):
    form = a_receipt(place, work_0="OH")

    asked = desk.post(url("_receive"), form)
    answer = desk.post(url("_receive"), {**form, "work_0_on": "2026-04-30"})

    assert "Say when this work was done." in text(asked)
    assert answer.status_code == 302
    assert WorkDone.objects.get(unit__serial_number="S9").done_on == build.day("2026-04-30")


@pytest.mark.sweep
@pytest.mark.parametrize("junk", FEW)
def test_junk_in_any_field_of_a_receipt_is_a_sentence(desk, place, junk):
    form = a_receipt(place)
    fields = [*form, *desk.get(url("_receive")).context["form"].fields]

    for field in by_turns(list(dict.fromkeys(fields)), FEW.index(junk), len(FEW)):
        answer = desk.post(url("_receive"), {**form, "act_id": uuid4(), field: junk})
        assert answer.status_code in (302, 422), (field, junk)


# --- the incoming inspection ------------------------------------------------------------------


def an_inspection(**more):
    checks = dict.fromkeys(CHECKS, "yes")
    who = {"username": "stores", "password": PASSWORD}
    return {"act_id": uuid4(), **checks, **who, "result": "accepted", **more}


def test_an_inspection_is_signed_and_the_unit_goes_to_its_bin(desk, place):
    address = url("_inspect", place.came.pk)

    answer = desk.post(address, an_inspection(bin="A1"), follow=True)

    assert "accepted to stock, signed by Stores" in text(answer)
    assert unit_of("S2").place.name == "A1"
    assert IncomingInspection.objects.get().by.username == "stores"


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({"password": "wrong"}, "do not belong together"),
        ({"identity": ""}, "Not answered yet"),
        ({"condition": "no"}, "Keep it in quarantine, or look again"),
        ({"result": "quarantined"}, "Say why it stays in quarantine."),
    ],
)
def test_an_inspection_that_is_refused_says_why_and_keeps_what_was_typed(
    desk, place, more, sentence
):
    answer = desk.post(url("_inspect", place.came.pk), an_inspection(bin="A1", **more))

    assert answer.status_code == 422
    assert sentence in text(answer)
    assert 'value="A1"' in text(answer)
    assert unit_of("S2").place.sort == Place.QUARANTINE


def test_what_lies_in_the_store_has_nothing_to_inspect(desk, place):
    answer = desk.get(url("_inspect", place.spare.pk))

    assert "there is nothing to inspect" in text(answer)
    assert "Sign the inspection" not in text(answer)


# --- the other acts ---------------------------------------------------------------------------


def acts_of(place, held, hold):
    """Each page with an act, and a form that it takes."""
    far = (today() + timedelta(days=40)).isoformat()
    unit = place.spare.pk
    sent = {
        "shop": "Lee Shore Overhaul",
        "number": "78",
        "station": place.station.pk,
        "sent_on": today().isoformat(),
        "promised_on": far,
        "works": "OH",
        "words": "Mind the lid",
    }
    back = {"how": "done", "returned_on": today().isoformat(), "price": "10", "currency": "EUR"}
    tag = {
        "sort": "unserviceable",
        "why": "defect",
        "words": "Torn",
        "tagged_at": "2026-06-01T10:00",
    }
    doubt = {"scope": "lot", "value": "L1", "why": "recall", "words": "Recall 4", "document": "R-4"}
    return [
        (url("_send", unit), sent),
        (url("_order", place.order.pk), {**back, **PAPER, "printed_serial": "S3"}),
        (url("_promise", place.order.pk), {"promised_on": far, "words": "Next week"}),
        (url("_stow", unit), {"bin": "B2"}),
        (url("_tag", unit), tag),
        (url("_holds"), doubt),
        (url("_hold_end", hold.pk), {"document": "Letter 5", "words": "Cleared"}),
        (url("_paper", unit), {**PAPER, "printed_serial": "00533"}),
        (url("_reservation", held.pk), {"free": "1"}),
        (url("_inspect", place.came.pk), an_inspection()),
    ]


@pytest.mark.sweep
@pytest.mark.parametrize("junk", FEW)
@override_settings(AXES_ENABLED=False)
def test_junk_in_any_field_of_any_act_is_a_sentence(desk, people, place, junk):
    hold = a_hold(place.came, people["stores"])
    for address, form in acts_of(place, set_aside(place, people["stores"]), hold):
        for field in by_turns(list(form), FEW.index(junk), len(FEW)):
            answer = desk.post(address, {**form, "act_id": uuid4(), field: junk})
            assert answer.status_code in (302, 422), (address, field, junk)


@pytest.mark.parametrize("role", ["technician", "auditor"])
def test_a_role_that_may_not_act_is_told_so_and_changes_nothing(people, place, role):
    hold = a_hold(place.came, people["stores"])
    acts = acts_of(place, set_aside(place, people["stores"]), hold)
    client = signed_in(people[role])

    for address, form in [(url("_receive"), a_receipt(place)), *acts]:
        if "inspect" in address or (
            role == "technician" and ("tag" in address or "holds" in address)
        ):
            continue
        answer = client.post(address, {**form, "act_id": uuid4()})
        assert answer.status_code == 422, address
        assert "Your role does not allow this" in text(answer)


def test_a_unit_is_sent_its_promise_noted_and_its_return_recorded(desk, place, people):
    acts = dict(
        acts_of(place, set_aside(place, people["stores"]), a_hold(place.came, people["stores"]))
    )

    for address in (url("_promise", place.order.pk), url("_order", place.order.pk)):
        assert desk.post(address, {**acts[address], "act_id": uuid4()}).status_code == 302
    Reservation.objects.update(ended_at=timezone.now(), ended_how="freed")
    sent = desk.post(url("_send", place.spare.pk), acts[url("_send", place.spare.pk)])

    assert sent.status_code == 302
    assert ShopPromise.objects.get().words == "Next week"
    assert str(ShopReturn.objects.get().price) == "10.00"
    assert ShopOrder.objects.get(number="78").works == ["OH"]


def test_a_unit_is_stowed_tagged_held_and_its_hold_ended(desk, people, place):
    unit = place.spare
    desk.post(url("_stow", unit.pk), {"bin": "B2"})
    tag = {
        "sort": "unserviceable",
        "why": "defect",
        "words": "Torn",
        "tagged_at": "2026-06-01T10:00",
    }
    desk.post(url("_tag", unit.pk), tag)
    doubt = {"scope": "unit", "value": "HLY-OW-210 00533", "why": "recall", "words": "Recall 4"}
    desk.post(url("_holds"), doubt)
    controller = signed_in(people["controller"])
    end = url("_hold_end", Hold.objects.get().pk)
    controller.post(end, {"document": "Letter 5", "words": "Cleared"})

    assert unit_of("00533").place.name == "B2"
    assert UnitTag.objects.get(unit=unit).words == "Torn"
    assert HoldEnd.objects.get().hold.unit == unit


def test_a_unit_set_aside_is_issued_once_and_the_page_says_by_whom(desk, people, place):
    held = set_aside(place, people["stores"])

    nobody = desk.post(url("_reservation", held.pk), {})
    assert nobody.status_code == 422 and set(nobody.context["form"].errors) == {"to"}
    answer = desk.post(url("_reservation", held.pk), {"to": "R. Oake", "job": "WP-7"}, follow=True)

    held.refresh_from_db()
    assert (held.issued_to, held.issued_job) == ("R. Oake", "WP-7")
    assert held.issued_by == people["stores"]
    assert "Issued" in text(answer)
    assert "It is handed over" not in text(answer)


def test_a_unit_that_failed_since_is_not_issued_and_the_page_says_why(desk, people, place):
    held = set_aside(place, people["stores"])
    a_hold(place.spare, people["stores"])

    shown = desk.get(url("_reservation", held.pk))
    answer = desk.post(url("_reservation", held.pk), {})

    assert "is held" in text(shown)
    assert answer.status_code == 422
    held.refresh_from_db()
    assert held.issued_at is None


# --- lists ------------------------------------------------------------------------------------


def test_the_day_begins_at_ones_own_station_and_keeps_the_one_chosen(desk, place, people):
    other = build.a_station("QELS")
    people["stores"].home_station = other
    people["stores"].save(update_fields=["home_station"])

    def shown():
        return desk.get(url("")).context["station"], desk.get(url("_waiting")).context["station"]

    assert shown() == ("QELS", "QELS")
    desk.get(url("") + f"?station={place.station.code}")
    assert shown() == (place.station.code, place.station.code)
    desk.get(url("") + "?station=")
    assert shown() == ("", "")
    desk.get(url("") + "?station=nowhere")
    assert shown() == ("", "")


def test_the_stock_is_filtered_by_station_bin_and_state(desk, place):
    everything, free, none = (
        text(desk.get(url("_stock"), query))
        for query in ({}, {"state": "available"}, {"bin": "nowhere"})
    )

    assert "S/N S2" in everything and "S/N 00533" in everything
    assert "S/N S2" not in free and "S/N 00533" in free
    assert "Nothing in stock is like this" in none


def test_a_long_stock_is_shown_a_page_at_a_time_and_counted_whole(desk, place, monkeypatch):
    monkeypatch.setattr(views_stores, "ON_A_PAGE", 1)

    first, second = (text(desk.get(url("_stock"), {"page": page})) for page in ("1", "2"))

    assert "S/N 00533" in first and "S/N S2" not in first
    assert "S/N S2" in second and "S/N 00533" not in second
    assert "page=2" in first and "Page 1 of 2" in first
    assert "page=1" in second and "Page 2 of 2" in second
    for shown in (first, second):
        assert "<b>1</b> <span>in quarantine</span>" in shown
        assert "<b>1</b> <span>available</span>" in shown


def test_a_stock_longer_than_what_is_counted_says_so(desk, place, monkeypatch):
    for module in (views_stores, stock):
        monkeypatch.setattr(module, "MOST_ROWS", 1)

    assert "the first 1 units are listed and counted" in text(desk.get(url("_stock")))


@pytest.mark.parametrize("junk", JUNK)
def test_junk_in_a_filter_is_answered(desk, place, junk):
    for name in ("station", "kind", "part_number", "bin", "state", "page"):
        assert desk.get(url("_stock"), {name: junk}).status_code in (200, 422)
    assert desk.get(url(""), {"station": junk}).status_code == 200
    assert desk.get(url("_holds"), {"unit": junk}).status_code == 200


def test_what_must_go_back_is_listed_with_its_day(desk, place):
    more = {"title": "exchange", "owner": "Pool of Ports", "core_due_on": "2026-06-30"}
    desk.post(url("_receive"), a_receipt(place, **more))

    answer = text(desk.get(url("_owed")))

    assert "a core in exchange" in answer
    assert "Pool of Ports" in answer


# --- labels and tags --------------------------------------------------------------------------


def test_labels_and_tags_are_printed_from_the_pages(desk, people, place):
    held = set_aside(place, people["stores"])
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=place.spare,
        sort="unserviceable",
        why="defect",
        words="Torn",
        tagged_at=BEFORE,
        recorded_at=BEFORE,
        recorded_by=people["stores"],
    )

    for name, key in (
        ("_label", place.spare),
        ("_hung_tag", place.spare),
        ("_set_aside_label", held),
    ):
        answer = desk.get(url(name, key.pk))
        assert answer["Content-Type"] == "application/pdf"
        assert answer.content.startswith(b"%PDF-")


def test_a_unit_without_a_tag_has_none_to_print(desk, place):
    assert desk.get(url("_hung_tag", place.spare.pk)).status_code == 404


# --- speed ------------------------------------------------------------------------------------


def questions_of_the_day():
    with CaptureQueriesContext(connection) as asked:
        clerk_day(today=today(), at=timezone.now())
    return len(asked)


def one_more(held, station, by, days):
    """Another spare, set aside for another day."""
    spare = build.a_unit(held.unit.part_number)
    build.moved(spare, "received", build.in_store(station), "2026-02-05")
    Reservation.objects.create(
        act_id=uuid4(),
        unit=spare,
        place=held.place,
        need_on=today() + timedelta(days=days),
        reserved_at=BEFORE,
        reserved_by=by,
    )


def test_the_day_asks_no_more_for_needs_on_more_days(people, place):
    held = set_aside(place, people["stores"])
    one_more(held, place.station, people["stores"], 3)
    questions_of_the_day()  # The rules are read once, whatever the days: kept from here on.
    asked_of_two = questions_of_the_day()

    for days in (20, 31, 45):
        one_more(held, place.station, people["stores"], days)

    assert questions_of_the_day() == asked_of_two
