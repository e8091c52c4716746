"""What rules share: everything computed once for one check of one document."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

from checks.beneath import Beneath, lines_beneath
from checks.bodies import body_overlaps, terminal_overlaps
from checks.compare import Comparison, Intent, compare, intent_of
from checks.diagram import Diagram
from checks.polarity import Reversal, find_reversal
from checks.sewn import CloseLines, SewnGraph, sew
from checks.situations import Situations
from checks.switching import DeadShort, find_dead_short
from checks.touching import TooTangledError
from checks.working import Working
from projects.circuit.document import Document
from projects.circuit.fabric import LaidOut, Spot, lay_out
from projects.circuit.holes import hole_words
from projects.circuit.project import Project
from projects.circuit.text import Message, listed, msg
from projects.drawing.labels import connection_labels

__all__ = ["Facts"]


class Facts:
    """Lazy: what no rule asks for is never computed; what two rules ask for is computed once."""

    def __init__(self, document: Document) -> None:
        self.document = document

    @property
    def project(self) -> Project:
        return self.document.project

    @cached_property
    def laid_out(self) -> LaidOut:
        """Where everything lies."""
        return lay_out(self.document)

    @property
    def sewn(self) -> SewnGraph:
        """What the thread joins. Raises TooTangledError, again for each rule, but works it out once."""
        if isinstance(self._sewn, TooTangledError):
            raise self._sewn
        return self._sewn

    @cached_property
    def _sewn(self) -> SewnGraph | TooTangledError:
        try:
            return sew(self.laid_out)
        except TooTangledError as why:
            return why

    @cached_property
    def intent(self) -> Intent:
        """What the circuit and the drawn lines mean to join."""
        return intent_of(self.laid_out)

    @cached_property
    def comparison(self) -> Comparison:
        """Opens and shorts."""
        return compare(self.sewn, self.intent)

    @cached_property
    def reversal(self) -> Reversal:
        """Parts the wrong way round."""
        return find_reversal(self.sewn, self.intent, self.comparison)

    @cached_property
    def dead_short(self) -> DeadShort | None:
        """How the cell is shorted, if it is."""
        return find_dead_short(self.sewn)

    @cached_property
    def diagram(self) -> Diagram:
        """What the circuit itself joins."""
        return Diagram(self.laid_out)

    @cached_property
    def situations(self) -> Situations:
        """Every state of the working circuit, solved."""
        return Situations(self.sewn)

    @cached_property
    def working(self) -> Working:
        """What parts get in these situations."""
        return Working(self.situations, self.diagram.idle)

    @cached_property
    def close_lines(self) -> Sequence[CloseLines]:
        """Stretches along which two lines are closer than `spacing`."""
        return self.sewn.close_lines(self.project.spacing)

    @cached_property
    def ends_of(self) -> dict[str, tuple[str, str]]:
        """The two ends of each line."""
        return {line.name: (line.start, line.end) for line in self.document.layout.lines}

    @cached_property
    def parts_of(self) -> dict[str, frozenset[str]]:
        """Refs of the parts that each line ends at."""
        return {
            line: frozenset(end.partition(".")[0] for end in ends if not end.startswith("@"))
            for line, ends in self.ends_of.items()
        }

    @cached_property
    def terminals_of(self) -> dict[str, tuple[str, ...]]:
        """The terminals that each line ends at or passes over."""
        found: dict[str, list[str]] = {line: [] for line in self.ends_of}
        for terminal, lines in self.sewn.threads_at.items():
            for line in lines:
                found[line].append(terminal)
        return {line: tuple(terminals) for line, terminals in found.items()}

    @cached_property
    def overlaps(self) -> dict[tuple[str, str], Spot]:
        """Pairs of parts that share area on one side, or whose terminals do, and where."""
        return {**terminal_overlaps(self.laid_out), **body_overlaps(self.laid_out, same_side=True)}

    @cached_property
    def back_to_back(self) -> dict[tuple[str, str], Spot]:
        """Pairs of parts that share area on the two sides of the fabric, and where."""
        return body_overlaps(self.laid_out, same_side=False)

    @cached_property
    def beneath(self) -> Sequence[Beneath]:
        """Lines beneath bodies; not those of a part that overlaps that body, for that is the cause."""
        return [
            found
            for found in lines_beneath(self.laid_out)
            if not any(
                frozenset((ref, found.body.ref)) == frozenset(pair)
                for ref in self.parts_of[found.line]
                for pair in self.overlaps
            )
        ]

    def label(self, terminal: str) -> Message:
        """A terminal as people read it: the part and what is printed beside the hole, `L1 (+)`."""
        return hole_words(self.laid_out, terminal)

    def labels(self, terminals: Iterable[str]) -> Message:
        """Terminals as `label` says them, one after another."""
        return listed([self.label(terminal) for terminal in terminals])

    def connection(self, name: str) -> str:
        """A connection by its name and the label that the drawing repeats along its lines: `“middle” (1)`."""
        return f"“{name}” ({self._labels[name]})"

    @cached_property
    def _labels(self) -> Mapping[str, str]:
        return connection_labels(self.project)

    def line(self, name: str) -> Message:
        """A line as people find it on the drawing, by its ends: `from B1 (+) to L1 (+)`, to follow "the line"."""
        ends = self.ends_of[name]
        holes = [self.label(end) for end in ends if not end.startswith("@")]
        if not holes:
            return msg("between two meeting points")
        if len(holes) == 1:
            return msg("from {hole} to a meeting point", hole=holes[0])
        return msg("from {one} to {other}", one=holes[0], other=holes[1])

    def lines(self, names: Sequence[str]) -> Message:
        """One or more lines as `line` says them, to follow "the line" or "the lines"."""
        *before, last = (self.line(name) for name in names)
        if not before:
            return last
        return msg("{some} and {one}", some=listed(before), one=last)

    def spot_of(self, ref: str) -> Spot | None:
        """Where a part lies: its place, else its first placed terminal."""
        place = self.laid_out.places.get((ref, None))
        if place is not None:
            return Spot(place.piece, place.x, place.y)
        return next((spot for name, spot in self.laid_out.spots.items() if name.partition(".")[0] == ref), None)

    def spots_of(self, ref: str) -> tuple[Spot, ...]:
        """Where to mark a part; nothing for one without a place."""
        spot = self.spot_of(ref)
        return () if spot is None else (spot,)
