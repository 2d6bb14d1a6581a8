from django.urls import include, path

from equipment.findings.pages import discrepancies, lists, open_items, openings
from equipment.swaps.pages import prints
from equipment.tools.pages import tool_report

from .availability import pages
from .units import pages as views

app_name = "equipment"
urlpatterns = [
    path("units/", views.unit_list, name="unit_list"),
    path("units/<int:unit_id>/", views.unit, name="unit"),
    path("units/<int:unit_id>/filling/", pages.unit_filling, name="unit_filling"),
    path("units/<int:unit_id>/discharge/", pages.unit_discharge, name="unit_discharge"),
    path("tools/<str:code>/report/", tool_report, name="tool_report"),
    path("attachments/<int:attachment_id>/", prints.attachment, name="attachment"),
    path("swaps/", include("equipment.swaps.urls")),
    path("swaps/<int:swap_id>/leave-open/", openings.swap_leave_open, name="swap_leave_open"),
    path("swaps/<int:swap_id>/rob/", openings.swap_rob, name="swap_rob"),
    path("stores/", include("equipment.stores.urls")),
    path("discrepancies/", lists.discrepancies, name="discrepancies"),
    path(
        "discrepancies/<int:discrepancy_id>/",
        discrepancies.discrepancy,
        name="discrepancy_settle",
    ),
    path("walk-rounds/", include("equipment.findings.walk.urls")),
    path("open-items/", lists.open_items, name="open_items"),
    path("open-items/new/", open_items.open_item_new, name="open_item_new"),
    path(
        "open-items/<int:open_item_id>/close/",
        open_items.open_item_close,
        name="open_item_close",
    ),
    path("tools/", lists.tools, name="tools"),
]
