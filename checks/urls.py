"""Addresses of the `checks` app."""

from django.urls import URLPattern, URLResolver, path

from checks import views

app_name = "checks"

urlpatterns: list[URLPattern | URLResolver] = [
    path("guide/", views.guide, name="guide"),
    path("guide/<slug:rule>/", views.guide_page, name="guide-page"),
]
