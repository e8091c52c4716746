"""Taking a roster over: all of it, or nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from django.db import transaction

from kits.models import Kit, KitLearner, Learner, Workshop
from kits.roster_table import RosterRow, RosterTable
from kits.services.plan_stages import planned_stages
from projects.circuit.text import Message, msg
from projects.models import Revision

__all__ = ["Placed", "import_roster", "place_roster"]

MOST_KITS = 60


@dataclass(frozen=True)
class Placed:
    """A row with the kit that it leads to: its number, its project's title, and whether that kit is made for it.

    `known`: the class has this name already, so the row is left out.
    """

    row: RosterRow
    kit: int | None = None
    title: str = ""
    new_kit: bool = False
    known: bool = False

    @property
    def sound(self) -> bool:
        return not self.row.errors


def place_roster(workshop: Workshop, table: RosterTable) -> list[Placed]:
    """What taking the table over would do, row by row, with what goes wrong; changes nothing.

    A number leads to that kit, the same number for two makes a pair; without one the next kit that nobody has, of the
    row's project where it names one. Missing kits are made, of the row's project or the only one of the workshop.
    """
    return _Placing(workshop).place(table)


def import_roster(workshop: Workshop, table: RosterTable) -> list[Placed]:
    """Take the table over in one piece and return what was done.

    Raises ValueError, with nothing changed, if a row is wrong: look at `place_roster` first.
    """
    with transaction.atomic():
        held = Workshop.objects.select_for_update().get(pk=workshop.pk)
        placing = _Placing(held)
        placed = placing.place(table)
        if not table.sound or not all(one.sound for one in placed):
            raise ValueError("A row is wrong.")
        kits = {kit.number: kit for kit in held.kits.only("pk", "number")}
        for one in placed:
            if one.new_kit and one.kit not in kits:
                kits[one.kit or 0] = _new_kit(held, one, placing.revisions)
            if not one.known:
                name, left = one.row.name, one.row.left_handed
                learner = Learner.objects.create(workshop=held, display_name=name, left_handed=left)
                KitLearner.objects.create(kit=kits[one.kit or 0], learner=learner)
    return placed


def _new_kit(workshop: Workshop, one: Placed, revisions: Mapping[str, Revision]) -> Kit:
    revision = revisions[one.title.casefold()]
    return Kit.objects.create(
        workshop=workshop, number=one.kit or 0, revision=revision, stages=planned_stages(revision.read())
    )


class _Placing:
    """The kits of a workshop while rows are given their places."""

    def __init__(self, workshop: Workshop) -> None:
        kits = workshop.kits.select_related("revision__project").defer("document", "layout", "revision__document")
        self.titles: dict[int, str] = {}
        self.revisions: dict[str, Revision] = {}
        for kit in kits.order_by("number"):
            self.titles[kit.number] = kit.revision.project.title
            self.revisions[kit.revision.project.title.casefold()] = kit.revision
        taken = KitLearner.objects.filter(kit__workshop=workshop).values_list("kit__number", flat=True)
        spare = set(workshop.kits.filter(spare=True).values_list("number", flat=True))
        self.free = [number for number in self.titles if number not in {*taken} and number not in spare]
        self.names = {name.casefold() for name in workshop.learners.values_list("display_name", flat=True) if name}
        self.made: dict[int, str] = {}

    def place(self, table: RosterTable) -> list[Placed]:
        # Whoever names a kit comes first, so that nobody else is given it.
        named = {row.kit for row in table.rows if row.kit is not None}
        self.free = [number for number in self.free if number not in named]
        return [self._place(row) for row in table.rows]

    def _place(self, row: RosterRow) -> Placed:
        if row.errors:
            return Placed(row)  # what else may be wrong is said once this is right
        if row.name.casefold() in self.names:
            return Placed(row, known=True)
        project, wrong = self._project(row.project)
        if wrong:
            return _wrong(row, wrong)
        if row.kit is None:
            return self._next_free(row, project)
        there = self.titles.get(row.kit) or self.made.get(row.kit)
        if there is None:
            return self._make(row, row.kit, project)
        if project and there != project:
            text = msg("Kit {kit} is of “{there}”, not of “{project}”.", kit=row.kit, there=there, project=project)
            return _wrong(row, text)
        return Placed(row, row.kit, there, row.kit in self.made)

    def _project(self, typed: str) -> tuple[str, Message | None]:
        """The title as the workshop has it; empty where none is typed."""
        if not typed:
            return "", None
        if revision := self.revisions.get(typed.casefold()):
            return revision.project.title, None
        titles = ", ".join(sorted({one.project.title for one in self.revisions.values()}))
        return "", msg("The workshop has no project “{typed}”. It has: {titles}.", typed=typed, titles=titles or "–")

    def _next_free(self, row: RosterRow, project: str) -> Placed:
        number = next((one for one in self.free if not project or self.titles[one] == project), None)
        if number is not None:
            self.free.remove(number)
            return Placed(row, number, self.titles[number])
        return self._make(row, max([0, *self.titles, *self.made]) + 1, project)

    def _make(self, row: RosterRow, number: int, project: str) -> Placed:
        if not project and len(self.revisions) == 1:
            project = next(iter(self.revisions.values())).project.title
        if not project:
            return _wrong(row, msg("A kit must be made for this row: write its project too."))
        if len(self.titles) + len(self.made) >= MOST_KITS:
            return _wrong(row, msg("A workshop has at most {most} kits.", most=MOST_KITS))
        self.made[number] = project
        return Placed(row, number, project, new_kit=True)


def _wrong(row: RosterRow, text: Message) -> Placed:
    return Placed(replace(row, errors=(*row.errors, text)))
