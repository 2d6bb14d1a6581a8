from django.urls import path

from equipment.units.doors import labels

from . import stores

urlpatterns = [
    path("v1/stores/stock", stores.Stock.as_view(), name="api-stock"),
    path("v1/stores/inspections", stores.Inspections.as_view(), name="api-inspections"),
    path(
        "v1/stores/units/<int:unit_id>/label",
        labels.UnitLabel.as_view(),
        name="api-unit-label",
    ),
    path(
        "v1/stores/units/<int:unit_id>/hung-tag",
        labels.HungTag.as_view(),
        name="api-hung-tag",
    ),
    path(
        "v1/stores/reservations/<int:reservation_id>/label",
        labels.SetAsideLabel.as_view(),
        name="api-set-aside-label",
    ),
    path("v1/stores/issues", stores.Issues.as_view(), name="api-issues"),
]
