"""`manage.py load_demo`: put the demo into an empty site, or take it out again."""

import argparse

from django.core.management.base import BaseCommand, CommandError

from kits.demo import load as demo


class Command(BaseCommand):
    help = "Loads the demo (an invented club with three projects and a workshop) into an empty site."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        choice = parser.add_mutually_exclusive_group()
        choice.add_argument("--if-empty", action="store_true", help="do nothing if there is any user or project")
        choice.add_argument("--remove", action="store_true", help="take just the demo out again")

    def handle(self, *, if_empty: bool, remove: bool, **options: object) -> None:
        try:
            if remove:
                self._remove()
            elif not (if_empty and not demo.is_empty()):
                self._load()
        except demo.DemoRefused as refused:
            raise CommandError(str(refused)) from None

    def _load(self) -> None:
        workshop = demo.load()
        self.stdout.write(f"The demo is loaded: {workshop.title}, {workshop.kits.count()} kits.")

    def _remove(self) -> None:
        self.stdout.write("The demo is removed." if demo.remove() else "There is no demo here.")
