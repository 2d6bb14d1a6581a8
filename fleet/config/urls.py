"""Every door, by dotted string."""

from __future__ import annotations

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import URLPattern, URLResolver, include, path
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerSplitView

from .serving.health import healthz, livez

APPS = ("fleet", "equipment", "scheduling")

handler500 = "fleet.config.serving.faults.fault"

urlpatterns: list[URLPattern | URLResolver] = [
    path("healthz", healthz, name="healthz"),
    path("livez", livez, name="livez"),
    path(
        "sign-in/",
        LoginView.as_view(
            template_name="fleet/people/sign_in.html", redirect_authenticated_user=True
        ),
        name="sign-in",
    ),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("api/schema/", SpectacularAPIView.as_view(), name="api-schema"),
    path("api/", SpectacularSwaggerSplitView.as_view(url_name="api-schema"), name="api-docs"),
    *(path("api/", include(f"{app}.api_urls")) for app in APPS),
    *(path("", include(f"{app}.urls")) for app in APPS),
]
