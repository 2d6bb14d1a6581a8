from django.urls import path

from . import api, api_movements, api_papers, api_units

urlpatterns = [
    path("v1/aircraft/<str:registration>/fitted", api.Fitted.as_view(), name="api-fitted"),
    path("v1/units", api_units.UnitsAndEntry.as_view(), name="api-units"),
    path("v1/units/<int:unit_id>", api.UnitOne.as_view(), name="api-unit"),
    path(
        "v1/units/<int:unit_id>/movements", api.UnitMovements.as_view(), name="api-unit-movements"
    ),
    path("v1/units/<int:unit_id>/papers", api.UnitPapers.as_view(), name="api-unit-papers"),
    path("v1/identifications", api_units.Identifications.as_view(), name="api-identifications"),
    path("v1/merges", api_units.Merges.as_view(), name="api-merges"),
    path("v1/life-statements", api_papers.LifeStatements.as_view(), name="api-life-statements"),
    path("v1/certificates", api_papers.Certificates.as_view(), name="api-certificates"),
    path("v1/titles", api_papers.Titles.as_view(), name="api-titles"),
    path("v1/sightings", api_papers.Sightings.as_view(), name="api-sightings"),
    path("v1/movements", api_movements.Movements.as_view(), name="api-movements"),
    path(
        "v1/movements/<int:movement_id>", api_movements.MovementOne.as_view(), name="api-movement"
    ),
    path(
        "v1/movements/<int:movement_id>/correction",
        api_movements.MovementCorrection.as_view(),
        name="api-movement-correction",
    ),
    path(
        "v1/movements/<int:movement_id>/annulment",
        api_movements.MovementAnnulment.as_view(),
        name="api-movement-annulment",
    ),
]
