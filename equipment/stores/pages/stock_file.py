"""The stock as a file: every unit that the page's filters leave, not only the page shown."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.listing import Column, Listing
from equipment.common.pages.listed import listed
from equipment.stores.reads.stock import StockAsked, stock
from fleet.house.pages import reader, today
from fleet.screens.filter_forms import options_now
from fleet.words.said import day_words

from .lists import StockForm

COLUMNS = (
    Column("Station", 0.8),
    Column("Place", 1.2),
    Column("Bin", 1.2),
    Column("Part number", 1.6),
    Column("Serial number", 1.5),
    Column("Description", 2.4),
    Column("Quantity", 0.8),
    Column("State", 1.2),
    Column("Why not", 4),
)


@require_safe
@never_cache
@reader
def stock_file(request: HttpRequest, form: str) -> HttpResponse:
    """The stock on paper, as a workbook or CSV."""
    asked = StockForm(request.GET, options_now(StockAsked))
    if not asked.is_valid():
        said = "; ".join(str(fault) for faults in asked.errors.values() for fault in faults)
        return HttpResponse(said, status=400, content_type="text/plain; charset=utf-8")
    query = request.META.get("QUERY_STRING", "")
    address = request.build_absolute_uri(reverse("equipment:stores_stock"))
    narrowed: StockAsked = asked.asked()
    day = today()

    def listing() -> Listing:
        rows = stock(narrowed, on=day, at=timezone.now(), most=None)
        return Listing(
            title="Stock",
            as_of=f"As of {day_words(day)}",
            columns=COLUMNS,
            rows=[
                [
                    row.station,
                    row.place,
                    row.bin_name,
                    row.part_number,
                    row.serial_number,
                    row.description,
                    row.quantity,
                    row.state_words,
                    "; ".join(row.reasons),
                ]
                for row in rows
            ],
            address=f"{address}?{query}" if query else address,
            name=f"stock-{day:%Y-%m-%d}",
            is_wide=True,
        )

    return listed(request, form, listing)
