"""The pages of the stores, under /stores/."""

from django.urls import path

from equipment.units import label_pages as views_labels

from .pages import lists as views_stores
from .pages import receiving as views_stores_receive
from .pages import reserving as views_stores_reserve
from .pages import shops as views_stores_shop
from .pages import unit as views_stores_units

urlpatterns = [
    path("", views_stores.stores_day, name="stores"),
    path("scan/", views_stores.stores_scan, name="stores_scan"),
    path("waiting/", views_stores.stores_waiting, name="stores_waiting"),
    path("set-aside/", views_stores.stores_set_aside, name="stores_set_aside"),
    path("stock/", views_stores.stores_stock, name="stores_stock"),
    path("owed/", views_stores.stores_owed, name="stores_owed"),
    path("receive/", views_stores_receive.stores_receive, name="stores_receive"),
    path("receive/<int:unit_id>/", views_stores_receive.stores_received, name="stores_received"),
    path("units/<int:unit_id>/", views_stores_units.stores_unit, name="stores_unit"),
    path(
        "units/<int:unit_id>/inspect/", views_stores_receive.stores_inspect, name="stores_inspect"
    ),
    path("units/<int:unit_id>/send/", views_stores_shop.stores_send, name="stores_send"),
    # "Clear why it is here": all that may do so starts from the unit's own page.
    path("units/<int:unit_id>/papers/", views_stores_units.stores_unit, name="stores_papers"),
    path("units/<int:unit_id>/paper/", views_stores_units.stores_paper, name="stores_paper"),
    path("units/<int:unit_id>/bin/", views_stores_units.stores_stow, name="stores_stow"),
    path("units/<int:unit_id>/inside/", views_stores_units.stores_inside, name="stores_inside"),
    path(
        "units/<int:unit_id>/set-aside/",
        views_stores_reserve.stores_reserve,
        name="stores_reserve",
    ),
    path("units/<int:unit_id>/tag/", views_stores_units.stores_tag, name="stores_tag"),
    path(
        "reservations/<int:reservation_id>/",
        views_stores_units.stores_reservation,
        name="stores_reservation",
    ),
    path("shop/", views_stores.stores_shop, name="stores_shop"),
    path("shop/<int:order_id>/", views_stores_shop.stores_order, name="stores_order"),
    path("shop/<int:order_id>/promise/", views_stores_shop.stores_promise, name="stores_promise"),
    path("holds/", views_stores_shop.stores_holds, name="stores_holds"),
    path("holds/<int:hold_id>/end/", views_stores_shop.stores_hold_end, name="stores_hold_end"),
    path("units/<int:unit_id>/label/", views_labels.label_of_unit, name="stores_label"),
    path("units/<int:unit_id>/hung-tag/", views_labels.tag_of_unit, name="stores_hung_tag"),
    path(
        "reservations/<int:reservation_id>/label/",
        views_labels.label_of_reservation,
        name="stores_set_aside_label",
    ),
]
