from django.urls import include, path

from equipment.findings.pages import discrepancies, lists, openings
from equipment.leaving import pages as leaving
from equipment.swaps.pages import prints
from fleet.offers.offer import page_paths

from .offers import OFFERS
from .procedures import pages as procedures
from .units import lists as unit_lists
from .units import pages as views
from .units.lots import split_page

app_name = "equipment"
urlpatterns = [
    path("units/", views.unit_list, name="unit_list"),
    path("units/<int:unit_id>/", views.unit, name="unit"),
    path("units/<int:unit_id>/history/<str:form>/", unit_lists.unit_history, name="unit_history"),
    path("fitted/<str:registration>/<str:form>/", unit_lists.fitted_file, name="fitted_file"),
    *page_paths(OFFERS),
    split_page,
    path("attachments/<int:attachment_id>/", prints.attachment, name="attachment"),
    path("swaps/", include("equipment.swaps.urls")),
    path("swaps/<int:swap_id>/leave-open/", openings.swap_leave_open, name="swap_leave_open"),
    path("swaps/<int:swap_id>/rob/", openings.swap_rob, name="swap_rob"),
    path("stores/transfers/", leaving.transfers, name="stores_transfers"),
    path("stores/transfers/file/<str:form>/", leaving.transfers_file, name="transfers_file"),
    path(
        "stores/transfers/<int:transfer_id>/paper/",
        leaving.transfer_print,
        name="stores_transfer_paper",
    ),
    path("stores/", include("equipment.stores.urls")),
    path("discrepancies/", lists.discrepancies, name="discrepancies"),
    path(
        "discrepancies/<int:discrepancy_id>/",
        discrepancies.discrepancy,
        name="discrepancy_settle",
    ),
    path("walk-rounds/", include("equipment.findings.walk.urls")),
    path("open-items/", lists.open_items, name="open_items"),
    path("tools/", lists.tools, name="tools"),
    path("step-lists/", procedures.step_lists, name="step_lists"),
    path("step-lists/<int:list_id>/", procedures.step_list, name="step_list"),
]
