from django.urls import path

from . import open_items, stories, walks

urlpatterns = [
    path(
        "v1/discrepancies/<int:discrepancy_id>/unrecorded-swap",
        stories.UnrecordedSwap.as_view(),
        name="api-unrecorded-swap",
    ),
    path(
        "v1/discrepancies/<int:discrepancy_id>/unknown-unit",
        stories.UnknownUnit.as_view(),
        name="api-unknown-unit",
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
]
