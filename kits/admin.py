"""Workshops in the administration: who owns and who helps. Everything else has pages of its own."""

from __future__ import annotations

from django.contrib import admin

from kits.models import Workshop

__all__: list[str] = []


@admin.register(Workshop)
class WorkshopAdmin(admin.ModelAdmin[Workshop]):
    list_display = ("title", "owner", "created")
    search_fields = ("title",)
    filter_horizontal = ("helpers",)
