from django.urls import path

from equipment.findings.doors import stories
from equipment.keeping.doors import movements
from equipment.swaps.doors import movements as api_swap_moves
from equipment.swaps.doors import steps, swaps
from equipment.units.doors import lists, papers, units

_STEP = "v1/swaps/<int:swap_id>/steps/<int:number>"

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
    path("v1/movements", movements.Movements.as_view(), name="api-movements"),
    path("v1/movements/<int:movement_id>", movements.MovementOne.as_view(), name="api-movement"),
    path(
        "v1/movements/<int:movement_id>/correction",
        movements.MovementCorrection.as_view(),
        name="api-movement-correction",
    ),
    path(
        "v1/movements/<int:movement_id>/annulment",
        movements.MovementAnnulment.as_view(),
        name="api-movement-annulment",
    ),
    path("v1/swaps", swaps.Swaps.as_view(), name="api-swaps"),
    path("v1/swaps/<int:swap_id>", swaps.SwapOne.as_view(), name="api-swap"),
    path(
        "v1/swaps/<int:swap_id>/entries",
        steps.SwapEntries.as_view(),
        name="api-swap-entries",
    ),
    path(
        "v1/swaps/<int:swap_id>/removal", api_swap_moves.SwapRemoval.as_view(), name="api-swap-off"
    ),
    path(
        "v1/swaps/<int:swap_id>/installation",
        api_swap_moves.SwapInstallation.as_view(),
        name="api-swap-on",
    ),
    path(f"{_STEP}/signature", steps.StepSignature.as_view(), name="api-step-signature"),
    path(f"{_STEP}/inspection", steps.StepInspection.as_view(), name="api-step-inspection"),
    path(
        f"{_STEP}/reinspection",
        steps.StepReinspection.as_view(),
        name="api-step-reinspection",
    ),
    path(
        "v1/swaps/<int:swap_id>/release",
        steps.SwapRelease.as_view(),
        name="api-swap-release",
    ),
    path(
        "v1/swaps/<int:swap_id>/abandonment",
        swaps.SwapAbandonment.as_view(),
        name="api-swap-abandonment",
    ),
    path(
        "v1/swaps/<int:swap_id>/handover",
        swaps.SwapHandover.as_view(),
        name="api-swap-handover",
    ),
    path(
        "v1/swaps/<int:swap_id>/correction",
        swaps.SwapCorrection.as_view(),
        name="api-swap-correction",
    ),
    path("v1/swaps/<int:swap_id>/calls", steps.SwapCalls.as_view(), name="api-swap-calls"),
    path("v1/calls/<int:call_id>/answer", steps.CallAnswer.as_view(), name="api-call-answer"),
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
]
