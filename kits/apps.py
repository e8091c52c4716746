"""The `kits` app."""

from django.apps import AppConfig


class KitsConfig(AppConfig):
    name = "kits"
    label = "kits"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Listens to deletions; it imports models, which are not there before this moment.
        from kits.services import when_deleted  # noqa: F401, PLC0415
