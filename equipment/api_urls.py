from django.urls import path

from equipment.findings.doors import stories as api_stories
from equipment.keeping.doors import movements as api_movements
from equipment.swaps.doors import movements as api_swap_moves
from equipment.swaps.doors import steps as api_swap_steps
from equipment.swaps.doors import swaps as api_swaps
from equipment.units.doors import lists as api
from equipment.units.doors import papers as api_papers
from equipment.units.doors import units as api_units

_STEP = "v1/swaps/<int:swap_id>/steps/<int:number>"

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
    path("v1/swaps", api_swaps.Swaps.as_view(), name="api-swaps"),
    path("v1/swaps/<int:swap_id>", api_swaps.SwapOne.as_view(), name="api-swap"),
    path(
        "v1/swaps/<int:swap_id>/entries",
        api_swap_steps.SwapEntries.as_view(),
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
    path(f"{_STEP}/signature", api_swap_steps.StepSignature.as_view(), name="api-step-signature"),
    path(
        f"{_STEP}/inspection", api_swap_steps.StepInspection.as_view(), name="api-step-inspection"
    ),
    path(
        f"{_STEP}/reinspection",
        api_swap_steps.StepReinspection.as_view(),
        name="api-step-reinspection",
    ),
    path(
        "v1/swaps/<int:swap_id>/release",
        api_swap_steps.SwapRelease.as_view(),
        name="api-swap-release",
    ),
    path(
        "v1/swaps/<int:swap_id>/abandonment",
        api_swaps.SwapAbandonment.as_view(),
        name="api-swap-abandonment",
    ),
    path(
        "v1/swaps/<int:swap_id>/handover",
        api_swaps.SwapHandover.as_view(),
        name="api-swap-handover",
    ),
    path(
        "v1/swaps/<int:swap_id>/correction",
        api_swaps.SwapCorrection.as_view(),
        name="api-swap-correction",
    ),
    path("v1/swaps/<int:swap_id>/calls", api_swap_steps.SwapCalls.as_view(), name="api-swap-calls"),
    path(
        "v1/calls/<int:call_id>/answer", api_swap_steps.CallAnswer.as_view(), name="api-call-answer"
    ),
    path(
        "v1/discrepancies/<int:discrepancy_id>/unrecorded-swap",
        api_stories.UnrecordedSwap.as_view(),
        name="api-unrecorded-swap",
    ),
    path(
        "v1/discrepancies/<int:discrepancy_id>/unknown-unit",
        api_stories.UnknownUnit.as_view(),
        name="api-unknown-unit",
    ),
]
