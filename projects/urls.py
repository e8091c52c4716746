"""Addresses of the `projects` app."""

from django.urls import URLPattern, URLResolver, path

from projects.views import edit, files, lists, page, part_types

app_name = "projects"

urlpatterns: list[URLPattern | URLResolver] = [
    path("projects/", lists.projects, name="list"),
    path("projects/new/", lists.new, name="new"),
    path("projects/import/", files.import_file, name="import"),
    path("projects/<int:project_id>/", page.project, name="page"),
    path("projects/<int:project_id>/edit/<str:section>/", edit.section, name="section"),
    path("projects/<int:project_id>/change/<str:what>/", edit.edit, name="edit"),
    path("projects/<int:project_id>/undo/", page.undo, name="undo"),
    path("projects/<int:project_id>/redo/", page.redo, name="redo"),
    path("projects/<int:project_id>/part-type/", part_types.part_type, name="part-type"),
    path("projects/<int:project_id>/part-type/drawing/", part_types.draw, name="draw-part-type"),
    path("projects/<int:project_id>/copy/", lists.copy, name="copy"),
    path("projects/<int:project_id>/share/", page.share_project, name="share"),
    path("projects/<int:project_id>/shares/<int:share_id>/remove/", page.unshare, name="unshare"),
    path("projects/<int:project_id>/replace/", files.replace, name="replace"),
    path("projects/<int:project_id>/revisions/<int:number>/export/", files.export, name="export"),
]
