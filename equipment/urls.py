from django.urls import include, path

from equipment.findings.pages import discrepancies as views_discrepancies
from equipment.findings.pages import lists as views_line
from equipment.findings.pages import open_items as views_open_items
from equipment.findings.pages.tools import tool_report
from equipment.swaps.pages import prints as views_prints

from .availability import pages as views_beside
from .units import pages as views

app_name = "equipment"
urlpatterns = [
    path("units/", views.unit_list, name="unit_list"),
    path("units/<int:unit_id>/", views.unit, name="unit"),
    path("units/<int:unit_id>/filling/", views_beside.unit_filling, name="unit_filling"),
    path("units/<int:unit_id>/discharge/", views_beside.unit_discharge, name="unit_discharge"),
    path("tools/<str:code>/report/", tool_report, name="tool_report"),
    path("attachments/<int:attachment_id>/", views_prints.attachment, name="attachment"),
    path("swaps/", include("equipment.swaps.urls")),
    path("stores/", include("equipment.stores.urls")),
    path("discrepancies/", views_line.discrepancies, name="discrepancies"),
    path(
        "discrepancies/<int:discrepancy_id>/",
        views_discrepancies.discrepancy,
        name="discrepancy_settle",
    ),
    path("walk-rounds/", include("equipment.findings.walk.urls")),
    path("open-items/", views_line.open_items, name="open_items"),
    path("open-items/new/", views_open_items.open_item_new, name="open_item_new"),
    path(
        "open-items/<int:open_item_id>/close/",
        views_open_items.open_item_close,
        name="open_item_close",
    ),
    path("tools/", views_line.tools, name="tools"),
]
