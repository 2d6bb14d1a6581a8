"""The pages of what leaves the shelf: what is in transit, its paper, and what the acts' forms are about."""

from __future__ import annotations

from dataclasses import replace

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.listing import Cell, Column, Listing
from equipment.common.pages.about import about_unit
from equipment.common.pages.listed import listed
from equipment.common.paper import pdf_of
from equipment.common.wording import unit_words
from equipment.leaving.printed import transfer_paper
from equipment.leaving.reads import InTransit, dangerous_inside, in_transit
from equipment.models import Transfer, Unit
from fleet.house.pages import reader, today
from fleet.offers.page import About
from fleet.words.said import day_words


@require_safe
@never_cache
@reader
def transfers(request: HttpRequest) -> HttpResponse:
    """What is in transit between stations, the longest first."""
    context = {"found": in_transit(today()), "today": today()}
    return render(request, "equipment/leaving/transfers.html", context)


TRANSFERS = (
    Column("Sent", 1.2),
    Column("Days", 0.7),
    Column("Part number", 1.5),
    Column("Serial number", 1.5),
    Column("Description", 2.4),
    Column("Quantity", 0.8),
    Column("From", 0.8),
    Column("To", 0.8),
    Column("Paper", 1.6),
    Column("Sent by", 1.6),
)


@require_safe
@never_cache
@reader
def transfers_file(request: HttpRequest, form: str) -> HttpResponse:
    """All that is in transit on paper, as a workbook or CSV."""
    address = request.build_absolute_uri(reverse("equipment:stores_transfers"))

    def listing() -> Listing:
        return Listing(
            title="In transit between stations",
            as_of=f"As of {day_words(today())}",
            columns=TRANSFERS,
            rows=[_transfer_cells(each) for each in in_transit(today())],
            address=address,
            name=f"transfers-{today():%Y-%m-%d}",
            is_wide=True,
        )

    return listed(request, form, listing)


def _transfer_cells(each: InTransit) -> list[Cell]:
    one = each.transfer
    return [
        one.sent_on,
        each.days,
        one.unit.part_number.number,
        one.unit.serial_number,
        one.unit.part_number.description,
        one.unit.quantity,
        one.origin.code,
        one.station.code,
        one.waybill,
        one.recorded_by.shown_name if one.recorded_by else "",
    ]


@require_safe
@never_cache
@reader
def transfer_print(request: HttpRequest, transfer_id: int) -> HttpResponse:
    """The paper that goes with a transfer (PDF), with a code that opens it."""
    transfer = _transfer_or_404(transfer_id)
    address = request.build_absolute_uri(reverse("equipment:stores_transfer", args=[transfer.pk]))
    is_demonstration = bool(getattr(settings, "SHOWS_DEMONSTRATION", True))
    paper = transfer_paper(transfer, address=address, is_demonstration=is_demonstration)
    answer = HttpResponse(pdf_of(paper), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="transfer-{transfer.pk}.pdf"'
    return answer


def _transfer_or_404(transfer_id: int) -> Transfer:
    rows = Transfer.objects.select_related(
        "unit__part_number", "origin", "station", "recorded_by", "received"
    )
    return get_object_or_404(rows, pk=transfer_id)


def about_leaving(request: HttpRequest, unit_id: int) -> About:
    """The unit of the address; one comes from its page in the stores and goes back there."""
    about = about_unit(request, unit_id)
    return replace(about, back=reverse("equipment:stores_unit", args=[about.given["unit_id"]]))


def about_lot(request: HttpRequest, unit_id: int) -> About:
    """The lot of the address; one comes from its page in the stores and goes back there."""
    about = about_leaving(request, unit_id)
    return replace(about, given={"lot_id": about.given["unit_id"]})


def about_transfer_of(request: HttpRequest, unit_id: int) -> About:
    """The same, with what its papers will say of dangerous goods."""
    about = about_leaving(request, unit_id)
    found, missing = dangerous_inside(
        Unit.objects.select_related("part_number").get(pk=about.given["unit_id"])
    )
    goods = "; ".join(
        f"{p.part_number} S/N {p.serial_number}: UN {p.un_number}, class {p.hazard_class}, {p.quantity}, {p.packing}"
        for p in found
    )
    lead = f"Dangerous goods: {goods}." if goods else "Nothing of it is dangerous goods."
    if missing:
        lead = f"Dangerous goods without particulars: {', '.join(missing)}."
    return replace(about, lead=lead)


def about_arrival(request: HttpRequest, transfer_id: int) -> About:
    """The transfer of the address; 404 if there is none."""
    transfer = _transfer_or_404(transfer_id)
    received = getattr(transfer, "received", None)
    way = f"from {transfer.origin.code} to {transfer.station.code}, paper {transfer.waybill}"
    lead = f"In transit {way}."
    if received is not None:
        lead = f"Received {way}."
    return About(
        given={"transfer_id": transfer.pk},
        subject=unit_words(transfer.unit),
        lead=lead,
        back=reverse("equipment:stores_transfers"),
        back_label="All that is in transit",
    )
