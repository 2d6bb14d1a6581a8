from django.urls import path

from . import lists, papers, units

urlpatterns = [
    path("v1/aircraft/<str:registration>/fitted", lists.Fitted.as_view(), name="api-fitted"),
    path("v1/units", units.UnitsAndEntry.as_view(), name="api-units"),
    path("v1/units/<int:unit_id>", lists.UnitOne.as_view(), name="api-unit"),
    path(
        "v1/units/<int:unit_id>/movements", lists.UnitMovements.as_view(), name="api-unit-movements"
    ),
    path("v1/units/<int:unit_id>/papers", lists.UnitPapers.as_view(), name="api-unit-papers"),
    path("v1/identifications", units.Identifications.as_view(), name="api-identifications"),
    path("v1/merges", units.Merges.as_view(), name="api-merges"),
    path("v1/life-statements", papers.LifeStatements.as_view(), name="api-life-statements"),
    path("v1/certificates", papers.Certificates.as_view(), name="api-certificates"),
    path("v1/titles", papers.Titles.as_view(), name="api-titles"),
    path("v1/sightings", papers.Sightings.as_view(), name="api-sightings"),
]
