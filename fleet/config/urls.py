"""Every door, by dotted string."""

from __future__ import annotations

import importlib.util

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import URLPattern, URLResolver, include, path
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerSplitView

from .health import healthz

APPS = ("fleet", "equipment", "scheduling")


def _doors(prefix: str, module: str) -> list[URLPattern | URLResolver]:
    return [
        path(prefix, include(f"{app}.{module}"))
        for app in APPS
        if importlib.util.find_spec(f"{app}.{module}")
    ]


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
    *_doors("api/", "api_line_urls"),
    *_doors("api/", "api_stores_urls"),
    *_doors("api/", "api_urls"),
    *_doors("", "urls"),
]
