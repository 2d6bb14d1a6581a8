from django.urls import path

from fleet.people.doors import authorisations, notices
from fleet.people.pages import tokens

from .aircraft import doors
from .loading import doors as api_loads

urlpatterns = [
    path("tokens/", tokens.tokens, name="api-tokens"),
    path("tokens/<int:token_id>/withdraw/", tokens.withdraw, name="api-token-withdraw"),
    path("v1/stations", doors.Stations.as_view(), name="api-stations"),
    path("v1/measures", doors.Measures.as_view(), name="api-measures"),
    path("v1/aircraft", doors.AircraftList.as_view(), name="api-aircraft-list"),
    path("v1/aircraft/<str:registration>", doors.AircraftOne.as_view(), name="api-aircraft"),
    path("v1/aircraft/<str:registration>/readings", doors.Readings.as_view(), name="api-readings"),
    path("v1/aircraft/<str:registration>/checks", doors.Checks.as_view(), name="api-checks"),
    path("v1/notices", notices.Notices.as_view(), name="api-notices"),
    path(
        "v1/notices/<int:notice_id>/read",
        notices.NoticeRead.as_view(),
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
        authorisations.Authorisations.as_view(),
        name="api-authorisations",
    ),
    path(
        "v1/authorisations/<int:authorisation_id>/end",
        authorisations.AuthorisationEndDoor.as_view(),
        name="api-authorisation-end",
    ),
]
