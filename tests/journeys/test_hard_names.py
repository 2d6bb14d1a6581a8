"""Names as they come: long ones, forty letters without a break, right to left, with accents; an aircraft without a
drawing. No page is wider than a phone, and a name that is cut can be read whole."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page

from equipment.models import Unit
from fleet.house.pages import today
from fleet.models import Aircraft, AircraftType, Kind, Station, TypePosition
from scheduling.due.views.acts.views import NewView, keep_view
from scheduling.models import Amount, Clock, Limit, Programme, ProgrammeOfAircraft, Work
from scheduling.reckoning.bulk import recompute_all
from tests import builders as build

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PART = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-XYZ"
SERIAL = "9876543210ZYXWVUTSRQPONMLKJIHGFEDCBA0000"
RIGHT_TO_LEFT = "مزلق الطوارئ الأمامي الأيسر للباب الأول"
ACCENTS = "Ångström-Überhang Çelik Ñandú Œuvre – Řeřicha Þórr"
LONG = "W" * 40
REGISTRATION = "Q-WWWWWWWW"
#: The innermost elements that reach beyond the page.
WIDEST = """(() => {
  const out = e => e.getBoundingClientRect().right > innerWidth + 1
    || e.getBoundingClientRect().left + e.scrollWidth > innerWidth + 1;
  const held = e => e && e !== document.body && (getComputedStyle(e).overflowX !== 'visible' || held(e.parentElement));
  const wide = [...document.querySelectorAll('body *')].filter(e => out(e) && !held(e.parentElement));
  return wide.filter(e => ![...e.children].some(c => wide.includes(c))).slice(0, 3).map(
    e => e.parentElement.outerHTML.slice(0, 60) + ' > ' + e.outerHTML.slice(0, 60));
})()"""


def a_hard_house() -> Unit:
    """One aircraft without a drawing whose every name is hard, and one unit on it that is due within days."""
    kind = Kind.objects.create(code="HARD", name=RIGHT_TO_LEFT)
    station = Station.objects.create(code="WWWWWWWW", name=ACCENTS, time_zone="UTC")
    of_type = AircraftType.objects.create(code="WWWWWWWWWWWW", name=ACCENTS)
    TypePosition.objects.create(
        aircraft_type=of_type, code="WWWWWWWWWWWWWW", name=RIGHT_TO_LEFT, kind=kind, x_cm=0, y_cm=0
    )
    aircraft = build.an_aircraft(of_type=of_type, station=station)
    Aircraft.objects.filter(pk=aircraft.pk).update(registration=REGISTRATION)
    part = build.a_part(PART, kind=kind)
    type(part).objects.filter(pk=part.pk).update(description=f"{LONG} {ACCENTS}"[:60])
    made = today() - timedelta(days=364)
    unit = build.a_unit(part, serial_number=SERIAL, manufactured_on=made, note=LONG * 4)
    build.installed(unit, build.at_position(aircraft, "WWWWWWWWWWWWWW"), f"{made} 12:00")
    programme = Programme.objects.create(code="W" * 24, name=ACCENTS, revision="1")
    ProgrammeOfAircraft.objects.create(
        aircraft=aircraft, programme=programme, from_on=made, recorded_at=build.NOW
    )
    limit = Limit.objects.create(
        programme=programme,
        code="W" * 24,
        revision="1",
        title=f"{RIGHT_TO_LEFT} {LONG}"[:80],
        kind=kind,
        work=Work.objects.create(code="W" * 24, name=f"{RIGHT_TO_LEFT[:20]} {LONG}"[:60]),
        document=LONG,
        document_revision="1",
        recorded_at=build.NOW,
    )
    clock = Clock.objects.create(limit=limit, seq=1, measure="days", counts_from="manufacture")
    Amount.objects.create(clock=clock, seq=1, value=370)
    recompute_all(as_of=today(), now=timezone.now())
    return unit


def test_hard_names_widen_no_page_and_can_be_read(page: Page, live_server, client) -> None:
    unit = a_hard_house()
    by = build.a_person("controller", "stores", "technician")
    keep_view(
        by=by,
        view=NewView(LONG, "band=beyond-plan", is_shared=True),
        act_id="9b2dbb0e-6f0e-4d0c-8f3c-0f2f6d1f6c01",
        at=build.NOW,
    )
    client.force_login(by)
    cookie = client.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    addresses = [
        "/due/",
        "/today/",
        "/aircraft/",
        f"/aircraft/{REGISTRATION}/",
        "/units/",
        f"/units/{unit.pk}/",
        f"/units/{unit.pk}/markings/",
        "/limits/",
        "/plan/",
        "/stores/",
        "/stores/stock/",
        "/my-work/",
        "/setting-up/",
        f"/find/?text={SERIAL}",
    ]
    wide = []
    for width in (390, 1440):
        page.set_viewport_size({"width": width, "height": 900})
        for address in addresses:
            answer = page.goto(address)
            assert answer is not None and answer.status == 200, address
            if page.evaluate("document.documentElement.scrollWidth") > width:
                wide.append((address, width, page.evaluate(WIDEST)))
    assert wide == [], "\n".join(map(str, wide))

    page.goto("/due/")
    assert page.get_by_text("within 7 days").count() or page.get_by_text(SERIAL).count()
    page.goto(f"/units/{unit.pk}/")
    assert SERIAL in page.locator("h1").inner_text()
