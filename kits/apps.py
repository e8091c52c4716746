"""The `kits` app."""

from django.apps import AppConfig


class KitsConfig(AppConfig):
    name = "kits"
    label = "kits"
    default_auto_field = "django.db.models.BigAutoField"
