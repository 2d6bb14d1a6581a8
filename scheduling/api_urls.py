from django.urls import path, re_path

from fleet.api_doors import no_such_address

from . import api, api_acts

urlpatterns = [
    path("v1/due-items", api.DueItems.as_view(), name="api-due-items"),
    path(
        "v1/due-items/<int:item_id>/explanation",
        api.DueItemExplained.as_view(),
        name="api-due-item-explanation",
    ),
    path(
        "v1/units/<int:unit_id>/due-items",
        api.DueItemsOfUnit.as_view(),
        name="api-unit-due-items",
    ),
    path("v1/works-done", api_acts.WorksDone.as_view(), name="api-works-done"),
    path("v1/extensions", api_acts.Extensions.as_view(), name="api-extensions"),
    path("v1/dispositions", api_acts.Dispositions.as_view(), name="api-dispositions"),
    # Last of all doors: what none of them took.
    re_path(r"^v1/", no_such_address, name="api-no-such-address"),
]
