"""The pages of the stores, under /stores/."""

from django.urls import path

from equipment.units import label_pages

from .pages import lists, receiving, reserving, shops, stock_file, unit

urlpatterns = [
    path("", lists.stores_day, name="stores"),
    path("scan/", lists.stores_scan, name="stores_scan"),
    path("scan/which/", lists.stores_which, name="stores_which"),
    path("waiting/", lists.stores_waiting, name="stores_waiting"),
    path("set-aside/", lists.stores_set_aside, name="stores_set_aside"),
    path("stock/", lists.stores_stock, name="stores_stock"),
    path("stock/file/<str:form>/", stock_file.stock_file, name="stock_file"),
    path("owed/", lists.stores_owed, name="stores_owed"),
    path("receive/", receiving.stores_receive, name="stores_receive"),
    path("receive/<int:unit_id>/", receiving.stores_received, name="stores_received"),
    path("units/<int:unit_id>/", unit.stores_unit, name="stores_unit"),
    path("units/<int:unit_id>/inspect/", receiving.stores_inspect, name="stores_inspect"),
    # "Clear why it is here": all that may do so starts from the unit's own page.
    path("units/<int:unit_id>/papers/", unit.stores_unit, name="stores_papers"),
    path("units/<int:unit_id>/paper/", unit.stores_paper, name="stores_paper"),
    path("units/<int:unit_id>/inside/", unit.stores_inside, name="stores_inside"),
    path(
        "units/<int:unit_id>/set-aside/",
        reserving.stores_reserve,
        name="stores_reserve",
    ),
    path(
        "reservations/<int:reservation_id>/",
        unit.stores_reservation,
        name="stores_reservation",
    ),
    path("shop/", lists.stores_shop, name="stores_shop"),
    path("shop/<int:order_id>/", shops.stores_order, name="stores_order"),
    path("units/<int:unit_id>/label/", label_pages.label_of_unit, name="stores_label"),
    path("units/<int:unit_id>/hung-tag/", label_pages.tag_of_unit, name="stores_hung_tag"),
    path("printed/<int:printed_id>/", label_pages.tag_printed, name="stores_printed"),
    path(
        "reservations/<int:reservation_id>/label/",
        label_pages.label_of_reservation,
        name="stores_set_aside_label",
    ),
]
