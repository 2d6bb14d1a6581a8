from django.urls import path

from . import stories, walks

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
    path("v1/discrepancies", walks.Differences.as_view(), name="api-discrepancies"),
]
