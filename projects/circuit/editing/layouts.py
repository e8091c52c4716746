"""What an edit of the circuit or the fabric means for the layout: what it names is renamed, or goes with it."""

from __future__ import annotations

from collections.abc import Callable

from projects.circuit.layout import Layout, Line

__all__ = ["with_ends", "with_piece_name", "without_parts", "without_piece", "without_terminals"]


def with_ends(layout: Layout, renamed: Callable[[str], str]) -> Layout:
    """Each end of each line renamed."""
    lines = tuple(
        line.model_copy(update={"start": renamed(line.start), "end": renamed(line.end)}) for line in layout.lines
    )
    return layout.model_copy(update={"lines": lines})


def with_piece_name(layout: Layout, old: str, new: str) -> Layout:
    """The layout with a piece under a new name."""
    changes = {
        key: tuple(one.model_copy(update={"piece": new}) if one.piece == old else one for one in getattr(layout, key))
        for key in ("places", "joins", "lines", "covers")
    }
    return layout.model_copy(update=changes)


def without_parts(layout: Layout, refs: frozenset[str]) -> Layout:
    """The layout without those parts, and without the lines that end on them."""
    places = tuple(place for place in layout.places if place.ref not in refs)
    kept = layout.model_copy(update={"places": places})
    return _without_lines(kept, lambda line: _ref(line.start) in refs or _ref(line.end) in refs)


def without_terminals(layout: Layout, gone: frozenset[str]) -> Layout:
    """The layout without lines that end on those terminals (`B1.p1`), and without places of theirs."""
    places = tuple(
        place for place in layout.places if place.terminal is None or f"{place.ref}.{place.terminal}" not in gone
    )
    kept = layout.model_copy(update={"places": places})
    return _without_lines(kept, lambda line: line.start in gone or line.end in gone)


def without_piece(layout: Layout, piece: str) -> Layout:
    """The layout without what lies on a piece; lines elsewhere that end on a join of it go too."""
    joins = {f"@{join.name}" for join in layout.joins if join.piece == piece}
    kept = {
        key: tuple(one for one in getattr(layout, key) if one.piece != piece)
        for key in ("places", "joins", "lines", "covers")
    }
    return _without_lines(layout.model_copy(update=kept), lambda line: line.start in joins or line.end in joins)


def _without_lines(layout: Layout, gone: Callable[[Line], bool]) -> Layout:
    return layout.model_copy(update={"lines": tuple(line for line in layout.lines if not gone(line))})


def _ref(end: str) -> str:
    return end.partition(".")[0]
