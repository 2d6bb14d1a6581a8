from django.urls import path

from fleet.people.doors import authorisations as api_authorisations
from fleet.people.doors import notices as api_notices
from fleet.people.pages import tokens as token_pages

from .aircraft import doors as api
from .loading import doors as api_loads

urlpatterns = [
    path("tokens/", token_pages.tokens, name="api-tokens"),
    path("tokens/<int:token_id>/withdraw/", token_pages.withdraw, name="api-token-withdraw"),
    path("v1/stations", api.Stations.as_view(), name="api-stations"),
    path("v1/measures", api.Measures.as_view(), name="api-measures"),
    path("v1/aircraft", api.AircraftList.as_view(), name="api-aircraft-list"),
    path("v1/aircraft/<str:registration>", api.AircraftOne.as_view(), name="api-aircraft"),
    path("v1/aircraft/<str:registration>/readings", api.Readings.as_view(), name="api-readings"),
    path("v1/aircraft/<str:registration>/checks", api.Checks.as_view(), name="api-checks"),
    path("v1/notices", api_notices.Notices.as_view(), name="api-notices"),
    path(
        "v1/notices/<int:notice_id>/read",
        api_notices.NoticeRead.as_view(),
        name="api-notice-read",
    ),
    path("v1/loads", api_loads.Loads.as_view(), name="api-loads"),
    path("v1/loads/<uuid:key>", api_loads.LoadOne.as_view(), name="api-load"),
    path("v1/loads/<uuid:key>/lines", api_loads.LoadLines.as_view(), name="api-load-lines"),
    path(
        "v1/loads/<uuid:key>/decision", api_loads.LoadDecision.as_view(), name="api-load-decision"
    ),
    path(
        "v1/authorisations",
        api_authorisations.Authorisations.as_view(),
        name="api-authorisations",
    ),
    path(
        "v1/authorisations/<int:authorisation_id>/end",
        api_authorisations.AuthorisationEndDoor.as_view(),
        name="api-authorisation-end",
    ),
]
