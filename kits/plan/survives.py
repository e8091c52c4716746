"""Which sewn lines are still right when a layout changes, and why the others must come out."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

import shapely

from checks.compare import Short, compare, intent_of
from checks.sewn import sew
from kits.plan.so_far import sewn_so_far
from kits.plan.words import place_words
from projects.circuit.fabric import Course, LaidOut, Spot, lay_out
from projects.circuit.sewing import line_connections
from projects.circuit.text import Message, msg

__all__ = ["Survival", "Unpick", "changed_connections", "what_survives"]

MOVED_MM = 1.0
"""A line that nowhere lies farther than this from where it was has not moved: no hand sews finer."""


@dataclass(frozen=True)
class Unpick:
    """A sewn line, by its name in the old layout, that must come out; why, in a short sentence; where it runs."""

    line: str
    why: Message
    at: tuple[Spot, ...]


@dataclass(frozen=True)
class Survival:
    """`stays`: old name → new name of each sewn line that is still right; `unpick`: the others."""

    stays: Mapping[str, str]
    unpick: tuple[Unpick, ...]


def what_survives(old: LaidOut, new: LaidOut, sewn: Collection[str]) -> Survival:
    """Compare the lines `sewn` in the old layout with the new one; a line that was only renamed is still the same."""
    stays: dict[str, str] = {}
    unpick: list[Unpick] = []
    for course in old.courses:
        if course.name in sewn:
            same = _same_line(course, new)
            if same is None or same.name in stays.values():
                unpick.append(Unpick(course.name, _why(course, old, new), _along(course)))
            else:
                stays[course.name] = same.name
    courses = {course.name: course for course in old.courses}
    back = {name: was for was, name in stays.items()}
    for name, why in _wrong(old, new, stays):
        was = back[name]
        del stays[was]
        unpick.append(Unpick(was, why, _along(courses[was])))
    return Survival(stays, tuple(unpick))


def _along(course: Course) -> tuple[Spot, ...]:
    return tuple(Spot(course.piece, x, y) for x, y in course.points)


def _same_line(course: Course, new: LaidOut) -> Course | None:
    """The line of the new layout that is this one, of the same name if it can be."""
    alike = [other for other in new.courses if _is_same(course, other)]
    return next((other for other in alike if other.name == course.name), alike[0] if alike else None)


def _is_same(course: Course, other: Course) -> bool:
    """Same piece, same ends, and nowhere farther apart than MOVED_MM."""
    ends, others = {course.line.start, course.line.end}, {other.line.start, other.line.end}
    if course.piece != other.piece or ends != others:
        return False
    if course.points in (other.points, other.points[::-1]):
        return True
    # Both ways: points in between need not match, but each must lie on the other's line.
    first, second = shapely.LineString(course.points), shapely.LineString(other.points)
    return bool(shapely.hausdorff_distance(first, second, densify=0.05) <= MOVED_MM)


def _why(course: Course, old: LaidOut, new: LaidOut) -> Message:
    other = next((one for one in new.document.layout.lines if one.name == course.name), None)
    if other is None:
        return msg("It is not on the new plan.")
    for end in (course.line.start, course.line.end):
        if end not in (other.start, other.end):
            there = other.end if other.start in (course.line.start, course.line.end) else other.start
            known = "." not in there or there.partition(".")[0] in new.types
            where: str | Message = place_words(new, there) if known else there
            return msg("It goes to {where} now.", where=where)
    for end in (course.line.start, course.line.end):
        was = old.joins.get(end[1:]) if end.startswith("@") else old.spots.get(end)
        now = new.joins.get(end[1:]) if end.startswith("@") else new.spots.get(end)
        if was != now:
            return msg("{part} has moved.", part=_part_words(end))
    return msg("It goes another way now.")


def _part_words(end: str) -> str | Message:
    return msg("Meeting point {name}", name=end[1:]) if end.startswith("@") else end.partition(".")[0]


def _wrong(old: LaidOut, new: LaidOut, stays: Mapping[str, str]) -> Iterator[tuple[str, Message]]:
    """Lines of the new layout, sewn and unmoved, that join what the new circuit keeps apart and the old did not."""
    before = {frozenset(one.connections) for one in _shorts(old, stays.keys())}
    lengths = {course.name: course.length_mm for course in new.courses}
    found: dict[str, Message] = {}
    for short in _shorts(new, stays.values()):
        if frozenset(short.connections) in before:
            continue
        first, second = short.connections
        why = msg("It joins {first} and {second}, which must not touch now.", first=first, second=second)
        found.update(dict.fromkeys(short.lines, why))
        for contact in short.contacts:
            if not found.keys() & set(contact.lines):
                found[min(contact.lines, key=lambda line: lengths[line])] = why
    return iter(found.items())


def _shorts(laid: LaidOut, lines: Collection[str]) -> tuple[Short, ...]:
    real = lay_out(sewn_so_far(laid.document, lines))
    return compare(sew(real), intent_of(real)).shorts


def changed_connections(old: LaidOut, new: LaidOut, unpicked: Collection[str]) -> frozenset[str]:
    """Connections whose lines differ in name, ends or course, or lose a sewn line."""
    was, now = _lines_of(old), _lines_of(new)
    meant_for = line_connections(old)
    changed = {meant_for[line] for line in unpicked if line in meant_for}
    for connection in {*was, *now}:
        before, after = was.get(connection, []), now.get(connection, [])
        names = [course.name for course in before] == [course.name for course in after]
        if not names or not all(_is_same(a, b) for a, b in zip(before, after, strict=True)):
            changed.add(connection)
    return frozenset(changed)


def _lines_of(laid: LaidOut) -> dict[str, list[Course]]:
    meant_for = line_connections(laid)
    found: dict[str, list[Course]] = {}
    for course in sorted(laid.courses, key=lambda one: one.name):
        found.setdefault(meant_for[course.name], []).append(course)
    return found
