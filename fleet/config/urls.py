"""Every door, by dotted string."""

from __future__ import annotations

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import URLPattern, URLResolver, include, path
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerSplitView

from .health import healthz

urlpatterns: list[URLPattern | URLResolver] = [
    path("healthz", healthz, name="healthz"),
    path(
        "sign-in/",
        LoginView.as_view(template_name="sign_in.html", redirect_authenticated_user=True),
        name="sign-in",
    ),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("api/schema/", SpectacularAPIView.as_view(), name="api-schema"),
    path("api/", SpectacularSwaggerSplitView.as_view(url_name="api-schema"), name="api-docs"),
    path("api/", include("equipment.api_line_urls")),
    path("api/", include("equipment.api_stores_urls")),
    path("api/", include("fleet.api_urls")),
    path("api/", include("equipment.api_urls")),
    path("api/", include("scheduling.api_urls")),
    path("", include("fleet.urls")),
    path("", include("equipment.urls")),
    path("", include("scheduling.urls")),
]
