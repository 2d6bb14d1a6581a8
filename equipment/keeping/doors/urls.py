from django.urls import path

from . import movements

urlpatterns = [
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
]
