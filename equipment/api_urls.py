"""The doors of the equipment, room by room."""

from django.urls import include, path

from fleet.offers.offer import api_paths

from .offers import OFFERS
from .units.lots import split_door

urlpatterns = [
    *api_paths(OFFERS),
    split_door,
    path("", include("equipment.findings.doors.urls")),
    path("", include("equipment.complement.doors")),
    path("", include("equipment.swaps.doors.urls")),
    path("", include("equipment.stores.doors.urls")),
    path("", include("equipment.procedures.doors.urls")),
    path("", include("equipment.units.doors.urls")),
    path("", include("equipment.availability.doors")),
    path("", include("equipment.keeping.doors.movements")),
]
