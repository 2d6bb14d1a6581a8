from django.urls import include, path

from fleet.people.doors import notices
from fleet.people.pages import tokens

from .loading import doors as api_loads
from .loading import typed

urlpatterns = [
    path("tokens/", tokens.tokens, name="api-tokens"),
    path("tokens/<int:token_id>/", tokens.token, name="api-token"),
    path("tokens/<int:token_id>/withdraw/", tokens.withdraw, name="api-token-withdraw"),
    path("", include("fleet.aircraft.doors")),
    path("v1/notices", notices.Notices.as_view(), name="api-notices"),
    path(
        "v1/notices/<int:notice_id>/read",
        notices.NoticeRead.as_view(),
        name="api-notice-read",
    ),
    path("v1/sheet-lines", typed.SheetLines.as_view(), name="api-sheet-lines"),
    path("v1/loads", api_loads.Loads.as_view(), name="api-loads"),
    path("v1/loads/<uuid:key>", api_loads.LoadOne.as_view(), name="api-load"),
    path(
        "v1/loads/<uuid:key>/returned", api_loads.LoadReturned.as_view(), name="api-load-returned"
    ),
    path("v1/loads/<uuid:key>/beside", api_loads.LoadBeside.as_view(), name="api-load-beside"),
    path("v1/loads/<uuid:key>/lines", api_loads.LoadLines.as_view(), name="api-load-lines"),
    path(
        "v1/loads/<uuid:key>/decision", api_loads.LoadDecision.as_view(), name="api-load-decision"
    ),
    path("", include("fleet.people.doors.authorisations")),
    path("", include("fleet.people.doors.people")),
]
