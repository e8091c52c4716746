"""What differs between two layouts of one kit: lines and parts that came, went or moved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from projects.circuit.layout import Layout, Line, Place

__all__ = ["LayoutChanges", "layout_changes"]


@dataclass(frozen=True)
class LayoutChanges:
    """Names of lines and refs of parts, in the order of the layouts; `moved` are lines drawn another way."""

    added: tuple[str, ...]
    removed: tuple[str, ...]
    moved: tuple[str, ...]
    parts_added: tuple[str, ...]
    parts_removed: tuple[str, ...]
    parts_moved: tuple[str, ...]

    @property
    def none(self) -> bool:
        return not (
            self.added or self.removed or self.moved or self.parts_added or self.parts_removed or self.parts_moved
        )


def layout_changes(old: Layout, new: Layout) -> LayoutChanges:
    """Compare by name, and by course: a line whose part has moved has moved as well.

    >>> layout_changes(Layout(), Layout()).none
    True
    """
    was, now = _lines(old), _lines(new)
    lay, lies = _places(old), _places(new)
    parts_moved = tuple(dict.fromkeys(ref for ref, _ in lies if ref in {r for r, _ in lay} and _moved(ref, lay, lies)))
    moved = tuple(
        name for name, line in now.items() if name in was and (was[name] != line or _ends_at(line, parts_moved))
    )
    return LayoutChanges(
        added=tuple(name for name in now if name not in was),
        removed=tuple(name for name in was if name not in now),
        moved=moved,
        parts_added=_only_in(lies, lay),
        parts_removed=_only_in(lay, lies),
        parts_moved=parts_moved,
    )


_Places = Mapping[tuple[str, str | None], Place]


def _lines(layout: Layout) -> dict[str, Line]:
    return {line.name: line for line in layout.lines}


def _places(layout: Layout) -> _Places:
    return {(place.ref, place.terminal): place for place in layout.places}


def _only_in(here: _Places, there: _Places) -> tuple[str, ...]:
    known = {ref for ref, _ in there}
    return tuple(dict.fromkeys(ref for ref, _ in here if ref not in known))


def _moved(ref: str, was: _Places, now: _Places) -> bool:
    return {key: place for key, place in was.items() if key[0] == ref} != {
        key: place for key, place in now.items() if key[0] == ref
    }


def _ends_at(line: Line, refs: tuple[str, ...]) -> bool:
    return any(end.partition(".")[0] in refs for end in (line.start, line.end))
