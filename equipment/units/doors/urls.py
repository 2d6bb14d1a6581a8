from django.urls import path

from . import lists, papers, units

urlpatterns = [
    path("v1/aircraft/<str:registration>/fitted", lists.Fitted.as_view(), name="api-fitted"),
    path("v1/units/<int:unit_id>", lists.UnitOne.as_view(), name="api-unit"),
    path(
        "v1/units/<int:unit_id>/movements", lists.UnitMovements.as_view(), name="api-unit-movements"
    ),
    path(
        "v1/units/<int:unit_id>/in-service",
        lists.UnitInService.as_view(),
        name="api-unit-in-service",
    ),
    path("v1/units/<int:unit_id>/cylinder", lists.UnitCylinder.as_view(), name="api-unit-cylinder"),
    path("v1/units/<int:unit_id>/papers", lists.UnitPapers.as_view(), name="api-unit-papers"),
    *units.urlpatterns,
    *papers.urlpatterns,
]
