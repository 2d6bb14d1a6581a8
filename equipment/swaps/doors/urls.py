from django.urls import path

from . import cards, movements, steps, swaps

_STEP = "v1/swaps/<int:swap_id>/steps/<int:number>"

urlpatterns = [
    path("v1/swaps", swaps.Swaps.as_view(), name="api-swaps"),
    path("v1/swaps/<int:swap_id>", swaps.SwapOne.as_view(), name="api-swap"),
    path(
        "v1/swaps/<int:swap_id>/entries",
        steps.SwapEntries.as_view(),
        name="api-swap-entries",
    ),
    path("v1/swaps/<int:swap_id>/removal", movements.SwapRemoval.as_view(), name="api-swap-off"),
    path(
        "v1/swaps/<int:swap_id>/installation",
        movements.SwapInstallation.as_view(),
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
    path("v1/swaps/transcribed", cards.TranscribedSwaps.as_view(), name="api-swaps-transcribed"),
    path("v1/attachments", cards.Attachments.as_view(), name="api-attachments"),
]
