"""Addresses of the `projects` app."""

from django.urls import URLPattern, URLResolver, path

from projects import views

app_name = "projects"

urlpatterns: list[URLPattern | URLResolver] = [
    path("projects/", views.projects, name="list"),
    path("projects/import/", views.import_file, name="import"),
    path("projects/<int:project_id>/", views.project, name="page"),
    path("projects/<int:project_id>/replace/", views.replace, name="replace"),
    path("projects/<int:project_id>/revisions/<int:number>/export/", views.export, name="export"),
]
