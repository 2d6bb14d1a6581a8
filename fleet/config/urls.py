"""Every door, by dotted string."""

from __future__ import annotations

from django.contrib.auth.views import LogoutView
from django.urls import URLPattern, URLResolver, include, path
from drf_spectacular.views import SpectacularAPIView

from fleet.doors.reading import reading
from fleet.people.pages import arriving, signing_in

from .serving.health import ADDRESSES

APPS = ("fleet", "equipment", "scheduling")

handler400 = "fleet.config.serving.faults.refused"
handler500 = "fleet.config.serving.faults.fault"

urlpatterns: list[URLPattern | URLResolver] = [
    *(path(at[1:], view, name=at[1:]) for at, view in ADDRESSES.items()),
    path(
        "sign-in/",
        signing_in.SignIn.as_view(),
        name="sign-in",
    ),
    path("first/<str:link>/", arriving.first_person, name="first-person"),
    path("join/<str:link>/", arriving.join, name="join"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("api/schema/", SpectacularAPIView.as_view(), name="api-schema"),
    path("api/", reading, name="api-docs"),
    *(path("api/", include(f"{app}.api_urls")) for app in APPS),
    *(path("", include(f"{app}.urls")) for app in APPS),
]
