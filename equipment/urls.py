from django.urls import include, path

from . import views

app_name = "equipment"
urlpatterns = [
    path("units/", views.unit_list, name="unit_list"),
    path("units/<int:unit_id>/", views.unit, name="unit"),
    path("swaps/", include("equipment.urls_swaps")),
]
