"""The doors of the equipment, room by room."""

from django.urls import include, path

urlpatterns = [
    path("", include("equipment.findings.doors.urls")),
    path("", include("equipment.tools.doors")),
    path("", include("equipment.swaps.doors.urls")),
    path("", include("equipment.stores.doors.urls")),
    path("", include("equipment.procedures.doors.urls")),
    path("", include("equipment.units.doors.urls")),
    path("", include("equipment.availability.doors")),
    path("", include("equipment.availability.hold_doors")),
    path("", include("equipment.keeping.doors.movements")),
]
