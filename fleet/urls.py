from django.urls import path

from . import views

app_name = "fleet"
urlpatterns = [
    path("aircraft/", views.aircraft_list, name="aircraft_list"),
    path("aircraft/<str:registration>/", views.aircraft, name="aircraft"),
]
