from django.urls import path

from . import api, token_pages

urlpatterns = [
    path("tokens/", token_pages.tokens, name="api-tokens"),
    path("tokens/<int:token_id>/withdraw/", token_pages.withdraw, name="api-token-withdraw"),
    path("v1/stations", api.Stations.as_view(), name="api-stations"),
    path("v1/measures", api.Measures.as_view(), name="api-measures"),
    path("v1/aircraft", api.AircraftList.as_view(), name="api-aircraft-list"),
    path("v1/aircraft/<str:registration>", api.AircraftOne.as_view(), name="api-aircraft"),
    path("v1/aircraft/<str:registration>/readings", api.Readings.as_view(), name="api-readings"),
    path("v1/aircraft/<str:registration>/checks", api.Checks.as_view(), name="api-checks"),
]
