from django.urls import include, path, re_path

from fleet.doors.door import no_such_address
from fleet.offers.offer import api_paths
from scheduling.allocation.doors import allocation

from .due import doors
from .offers import OFFERS

urlpatterns = [
    path("v1/due-items", doors.DueItems.as_view(), name="api-due-items"),
    path("v1/due-items/changes", doors.DueChanges.as_view(), name="api-due-changes"),
    path(
        "v1/due-items/<int:item_id>/explanation",
        doors.DueItemExplained.as_view(),
        name="api-due-item-explanation",
    ),
    path(
        "v1/units/<int:unit_id>/due-items",
        doors.DueItemsOfUnit.as_view(),
        name="api-unit-due-items",
    ),
    path("", include("scheduling.programme.doors")),
    path("", include("scheduling.entries.doors")),
    path("", include("scheduling.planning.doors")),
    path("", include("scheduling.packages.doors.package")),
    *api_paths(OFFERS),
    path("v1/allocation/needs", allocation.Needs.as_view(), name="api-needs"),
    path("v1/allocation/proposal", allocation.ProposalDoor.as_view(), name="api-proposal"),
    path("v1/allocation/why", allocation.Why.as_view(), name="api-why"),
    path("v1/allocation/shortage", allocation.Shortage.as_view(), name="api-shortage"),
    path("v1/allocation/to-order", allocation.WhatToOrder.as_view(), name="api-to-order"),
    path("v1/allocation/float", allocation.FloatSizes.as_view(), name="api-float"),
    path("", include("scheduling.allocation.doors.allocation")),
    # Last of all doors: what none of them took.
    re_path(r"^v1/", no_such_address, name="api-no-such-address"),
]
