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
    *open_items.urlpatterns,
    *walks.urlpatterns,
]
