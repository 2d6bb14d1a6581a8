from django.urls import include, path

from . import views, views_prints

app_name = "equipment"
urlpatterns = [
    path("units/", views.unit_list, name="unit_list"),
    path("units/<int:unit_id>/", views.unit, name="unit"),
    path("attachments/<int:attachment_id>/", views_prints.attachment, name="attachment"),
    path("swaps/", include("equipment.urls_swaps")),
    path("stores/", include("equipment.urls_stores")),
]
