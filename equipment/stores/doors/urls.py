from django.urls import path

from equipment.units.doors import labels as api_labels

from . import stores as api_stores

urlpatterns = [
    path("v1/stores/stock", api_stores.Stock.as_view(), name="api-stock"),
    path("v1/stores/receipts", api_stores.Receipts.as_view(), name="api-receipts"),
    path("v1/stores/inspections", api_stores.Inspections.as_view(), name="api-inspections"),
    path("v1/stores/holds", api_stores.Holds.as_view(), name="api-holds"),
    path("v1/stores/hold-ends", api_stores.HoldEnds.as_view(), name="api-hold-ends"),
    path("v1/stores/orders", api_stores.Orders.as_view(), name="api-orders"),
    path("v1/stores/promises", api_stores.Promises.as_view(), name="api-promises"),
    path("v1/stores/returns", api_stores.Returns.as_view(), name="api-returns"),
    path("v1/stores/papers", api_stores.LatePapers.as_view(), name="api-late-papers"),
    path(
        "v1/stores/units/<int:unit_id>/label",
        api_labels.UnitLabel.as_view(),
        name="api-unit-label",
    ),
    path(
        "v1/stores/units/<int:unit_id>/hung-tag",
        api_labels.HungTag.as_view(),
        name="api-hung-tag",
    ),
    path(
        "v1/stores/reservations/<int:reservation_id>/label",
        api_labels.SetAsideLabel.as_view(),
        name="api-set-aside-label",
    ),
    path("v1/stores/bins", api_stores.Bins.as_view(), name="api-bins"),
    path("v1/stores/issues", api_stores.Issues.as_view(), name="api-issues"),
]
