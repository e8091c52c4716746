"""Projects in the administration: to look, not to edit; revisions never change."""

from __future__ import annotations

from django.contrib import admin

from projects.models import Project, Revision

__all__: list[str] = []


@admin.register(Project)
class ProjectAdmin(admin.ModelAdmin[Project]):
    list_display = ("title", "owner", "created")
    search_fields = ("title",)


@admin.register(Revision)
class RevisionAdmin(admin.ModelAdmin[Revision]):
    list_display = ("project", "number", "published_at")
    exclude = ("document",)

    def has_add_permission(self, request: object) -> bool:
        return False

    def has_change_permission(self, request: object, obj: Revision | None = None) -> bool:
        return False
