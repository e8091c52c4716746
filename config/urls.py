"""Every address: the apps' own, the administration, and a sign of life."""

from django.contrib import admin
from django.http import HttpRequest, HttpResponse
from django.urls import include, path


def healthz(request: HttpRequest) -> HttpResponse:
    """A sign of life for whatever watches the server; touches no database."""
    return HttpResponse("ok\n", content_type="text/plain")


urlpatterns = [
    path("", include("kits.urls")),
    path("", include("projects.urls")),
    path("", include("checks.urls")),
    path("admin/", admin.site.urls),
    path("healthz", healthz, name="healthz"),
]
