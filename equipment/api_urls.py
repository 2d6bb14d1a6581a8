from django.urls import path

from . import api

urlpatterns = [
    path("v1/units", api.Units.as_view(), name="api-units"),
    path("v1/units/<int:unit_id>", api.UnitOne.as_view(), name="api-unit"),
    path(
        "v1/units/<int:unit_id>/movements", api.UnitMovements.as_view(), name="api-unit-movements"
    ),
    path("v1/units/<int:unit_id>/papers", api.UnitPapers.as_view(), name="api-unit-papers"),
]
