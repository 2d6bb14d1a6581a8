from django.urls import path

from . import calls, cards, movements, steps, swaps

_STEP = "v1/swaps/<int:swap_id>/steps/<int:number>"

urlpatterns = [
    *swaps.urlpatterns,
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
    path(f"{_STEP}/refusal", steps.StepRefusal.as_view(), name="api-step-refusal"),
    path(
        "v1/swaps/<int:swap_id>/release",
        steps.SwapRelease.as_view(),
        name="api-swap-release",
    ),
    path(
        "v1/swaps/<int:swap_id>/unit-correction",
        steps.SwapUnitCorrection.as_view(),
        name="api-swap-unit-correction",
    ),
    *calls.urlpatterns,
    *cards.urlpatterns,
]
