from django.urls import path

from equipment.findings.doors import open_items, walks
from equipment.procedures.doors import procedures
from equipment.swaps.doors import cards

from .availability import doors
from .tools import doors as api_tools

urlpatterns = [
    path("v1/step-lists", procedures.StepLists.as_view(), name="api-step-lists"),
    path("v1/rule-sets", procedures.RuleSets.as_view(), name="api-rule-sets"),
    path("v1/charts", procedures.Charts.as_view(), name="api-charts"),
    path("v1/tools", api_tools.Tools.as_view(), name="api-tools"),
    path("v1/calibrations", api_tools.Calibrations.as_view(), name="api-calibrations"),
    path("v1/tool-reports", api_tools.ToolReports.as_view(), name="api-tool-reports"),
    path("v1/tags", doors.Tags.as_view(), name="api-tags"),
    path("v1/fillings", doors.Fillings.as_view(), name="api-fillings"),
    path("v1/discharges", doors.Discharges.as_view(), name="api-discharges"),
    path("v1/reservations", doors.Reservations.as_view(), name="api-reservations"),
    path(
        "v1/reservations/<int:reservation_id>/end",
        doors.ReservationEnd.as_view(),
        name="api-reservation-end",
    ),
    path("v1/open-items", open_items.OpenItems.as_view(), name="api-open-items"),
    path(
        "v1/open-items/<int:open_item_id>/closing",
        open_items.OpenItemClosing.as_view(),
        name="api-open-item-closing",
    ),
    path("v1/walk-rounds", walks.WalkRounds.as_view(), name="api-walk-rounds"),
    path(
        "v1/walk-rounds/<int:walk_round_id>/sightings",
        walks.Looks.as_view(),
        name="api-walk-round-sightings",
    ),
    path("v1/discrepancies", walks.Differences.as_view(), name="api-discrepancies"),
    path(
        "v1/discrepancies/<int:discrepancy_id>/settlement",
        walks.DifferenceSettlement.as_view(),
        name="api-discrepancy-settlement",
    ),
    path("v1/swaps/transcribed", cards.TranscribedSwaps.as_view(), name="api-swaps-transcribed"),
    path("v1/attachments", cards.Attachments.as_view(), name="api-attachments"),
]
