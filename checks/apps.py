"""The `checks` app."""

from django.apps import AppConfig


class ChecksConfig(AppConfig):
    name = "checks"
    label = "checks"
    default_auto_field = "django.db.models.BigAutoField"
