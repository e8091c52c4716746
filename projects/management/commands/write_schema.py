"""`manage.py write_schema`: keep the JSON Schema of the project file as its models are."""

from pathlib import Path

from django.core.management.base import BaseCommand

from projects.circuit import project_file

SCHEMA = Path(project_file.__file__).with_name("project_file.schema.json")


class Command(BaseCommand):
    help = "Writes the JSON Schema of the project file anew; to be run after a change of its models."
    requires_system_checks = []

    def handle(self, *args: object, **options: object) -> None:
        SCHEMA.write_text(project_file.schema_text(), encoding="utf-8")
        self.stdout.write(f"{SCHEMA.name} is written.")
