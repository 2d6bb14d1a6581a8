from django.urls import path

from equipment.findings.doors import open_items as api_openings
from equipment.findings.doors import walks as api_walks
from equipment.procedures.doors import procedures as api_procedures
from equipment.procedures.doors import tools as api_tools
from equipment.swaps.doors import cards as api_cards

from .availability import doors as api_beside

urlpatterns = [
    path("v1/step-lists", api_procedures.StepLists.as_view(), name="api-step-lists"),
    path("v1/rule-sets", api_procedures.RuleSets.as_view(), name="api-rule-sets"),
    path("v1/charts", api_procedures.Charts.as_view(), name="api-charts"),
    path("v1/tools", api_tools.Tools.as_view(), name="api-tools"),
    path("v1/calibrations", api_tools.Calibrations.as_view(), name="api-calibrations"),
    path("v1/tool-reports", api_tools.ToolReports.as_view(), name="api-tool-reports"),
    path("v1/tags", api_beside.Tags.as_view(), name="api-tags"),
    path("v1/fillings", api_beside.Fillings.as_view(), name="api-fillings"),
    path("v1/discharges", api_beside.Discharges.as_view(), name="api-discharges"),
    path("v1/reservations", api_beside.Reservations.as_view(), name="api-reservations"),
    path(
        "v1/reservations/<int:reservation_id>/end",
        api_beside.ReservationEnd.as_view(),
        name="api-reservation-end",
    ),
    path("v1/open-items", api_openings.OpenItems.as_view(), name="api-open-items"),
    path(
        "v1/open-items/<int:open_item_id>/closing",
        api_openings.OpenItemClosing.as_view(),
        name="api-open-item-closing",
    ),
    path("v1/walk-rounds", api_walks.WalkRounds.as_view(), name="api-walk-rounds"),
    path(
        "v1/walk-rounds/<int:walk_round_id>/sightings",
        api_walks.Looks.as_view(),
        name="api-walk-round-sightings",
    ),
    path("v1/discrepancies", api_walks.Differences.as_view(), name="api-discrepancies"),
    path(
        "v1/discrepancies/<int:discrepancy_id>/settlement",
        api_walks.DifferenceSettlement.as_view(),
        name="api-discrepancy-settlement",
    ),
    path(
        "v1/swaps/transcribed", api_cards.TranscribedSwaps.as_view(), name="api-swaps-transcribed"
    ),
    path("v1/attachments", api_cards.Attachments.as_view(), name="api-attachments"),
]
