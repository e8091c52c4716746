"""The steps of the stages that sew no thread of the circuit: mark, try, test, finish, care."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from kits.plan.stages import StageOutline
from kits.plan.values import StageKind, Step
from kits.plan.words import place_words
from projects.circuit.fabric import LaidOut, Spot
from projects.circuit.layout import Place
from projects.circuit.part_types import Cell, Controller, Led, Link, Load, Pad, Sensor, Switch
from projects.circuit.sewing import Habits
from projects.circuit.text import Message, msg

__all__ = ["OTHER_STEPS", "Scene", "cell_in_words", "cell_out", "look_step", "own_stage_step", "put_before_cell_out"]


@dataclass(frozen=True)
class Scene:
    """What these steps are about."""

    laid: LaidOut
    habits: Habits

    @property
    def seconds_of_look(self) -> float:
        return self.habits.look_seconds / 60

    def refs(self, *kinds: type) -> list[str]:
        """Refs of the parts whose model is of one of these kinds, in the project's order."""
        return [part.ref for part in self.laid.project.parts if isinstance(self.laid.types[part.ref].model, kinds)]

    def spots(self, ref: str) -> tuple[Spot, ...]:
        """Where a part lies: its place, or the places of its terminals where they stand apart."""
        return tuple(Spot(p.piece, p.x, p.y) for (one, _), p in self.laid.places.items() if one == ref)


def look_step(scene: Scene, stage: StageOutline) -> Step:
    """The teacher's look, just before the needle, the cell, or the next stage."""
    words = msg("Show your work to your teacher.")
    if "light" in stage.kinds or "test" in stage.kinds:
        words = msg("Show your work to your teacher. Wait for a yes before the battery goes in.")
    elif "mark" in stage.kinds:
        words = msg("Show your plan to your teacher. Wait for a yes before you sew.")
    return Step(f"look:{stage.name}", "look", words, minutes=scene.seconds_of_look)


def own_stage_step(scene: Scene, stage: StageOutline) -> Step:
    """The one step of a stage that only the teacher knows more about."""
    return Step(f"own:{stage.name}", "look", msg("{name}: do what your teacher shows you.", name=stage.name))


def _mark(scene: Scene) -> Iterator[Step]:
    habits = scene.habits
    for piece in scene.laid.project.pieces:
        words = msg("Lay the template on the {piece}. Mark each hole and each line.", piece=piece.name)
        yield Step(f"mark:piece:{piece.name}", "mark", words, minutes=habits.mark_part_minutes)
    for part in scene.laid.project.parts:
        for (ref, terminal), place in scene.laid.places.items():
            if ref == part.ref:
                name = ref if terminal is None else f"{ref}.{terminal}"
                words = _where_it_goes(scene, ref if terminal is None else place_words(scene.laid, name), place)
                at = (Spot(place.piece, place.x, place.y),)
                minutes = habits.mark_part_minutes
                yield Step(f"mark:part:{name}", "mark", words, at=at, side=place.side, minutes=minutes)
    words = msg("Put the fabric in a hoop. Keep it flat and snug.")
    yield Step("hoop", "hoop", words, minutes=habits.hoop_minutes)


def _where_it_goes(scene: Scene, what: str | Message, place: Place) -> Message:
    """Distances from the left and top edges of the piece's outline, for fabric that cannot be traced."""
    outline = scene.laid.pieces[place.piece].outline
    values = {
        "what": what,
        "piece": place.piece,
        "left": f"{(place.x - min(x for x, _ in outline)) / 10:.1f}",
        "top": f"{(place.y - min(y for _, y in outline)) / 10:.1f}",
    }
    if place.side == "inside":
        return msg(
            "{what} goes on the inside of the {piece}. Seen from the outside, its middle is {left} cm from the left "
            "edge and {top} cm from the top.",
            **values,
        )
    return msg(
        "{what} goes on the {piece}. Its middle is {left} cm from the left edge and {top} cm from the top.", **values
    )


def _try(scene: Scene) -> Iterator[Step]:
    for part in scene.laid.project.parts:
        words = _try_words(scene, part.ref)
        if words is not None:
            yield Step(f"try:{part.ref}", "try", words, minutes=scene.habits.try_part_minutes)
    for cell in scene.refs(Cell):
        yield cell_out(scene, f"try:cell-out:{cell}", cell)


def _try_words(scene: Scene, ref: str) -> Message | None:
    """How a part is tried with clip leads, with parts of this very kit; None for what clips tell nothing about."""
    model = scene.laid.types[ref].model
    shines = scene.refs(Led)
    works = [*shines, *scene.refs(Load)]
    values = {"ref": ref, "light": works[0] if works else ""}
    if isinstance(model, Cell):
        if shines:
            return msg("Put the battery in {ref}. Clip {light} to it, + to +. Does {light} shine?", **values)
        if works:
            return msg("Put the battery in {ref}. Clip {light} to it, + to +. Does {light} work?", **values)
        return msg("Put the battery in {ref}. Clip a light to it, + to +. Does the light shine?", ref=ref)
    if isinstance(model, Switch):
        if works:
            return msg(
                "Clip {ref}, {light} and the battery in a ring. Work {ref}. Does {light} go on and off?", **values
            )
        return msg("Clip {ref} in a ring with the battery and a light. Work it. Does the light go on and off?", ref=ref)
    if isinstance(model, Controller):
        return _try_controller(scene, ref)
    words: dict[type, Message] = {
        Led: msg("Clip {ref} to the battery, + to +. Does it shine?", ref=ref),
        Load: msg("Clip {ref} to the battery, + to +. Does it work?", ref=ref),
        Sensor: msg("Clip {ref} to the meter. Does the number change?", ref=ref),
    }
    return words.get(type(model))


def _try_controller(scene: Scene, ref: str) -> Message:
    """With all that its pins turn on."""
    project = scene.laid.project
    turned_on = {pin for pin, use in project.pins.items() if use in ("output", "fade")}
    joined = {
        terminal.partition(".")[0]
        for one in project.connections
        if any(terminal in turned_on and terminal.startswith(f"{ref}.") for terminal in one.terminals)
        for terminal in one.terminals
    }
    parts = [one for one in scene.refs(Led, Load) if one in joined]
    if not parts:
        return msg("Clip {ref} to the battery, + to +. Run its test. Does it start?", ref=ref)
    return msg(
        "Clip {ref} to the battery, + to +. Clip {parts} to its pins. Run its test. Does each one work?",
        ref=ref,
        parts=", ".join(parts),
    )


def cell_out(scene: Scene, key: str, cell: str) -> Step:
    words = msg("Take the battery out of {ref}. Put it in the battery tray.", ref=cell)
    return Step(key, "close", words, at=scene.spots(cell), minutes=scene.seconds_of_look)


def cell_in_words(cell: str) -> Message:
    return msg("Put the battery in {ref}, + to +. If it gets warm, take it out at once.", ref=cell)


def put_before_cell_out(steps: Iterable[Step], more: Iterable[Step]) -> list[Step]:
    """Steps of the test with some more that need the cell in, before it comes out again."""
    given = list(steps)
    at = next((at for at, step in enumerate(given) if step.key.startswith("test:cell-out:")), len(given))
    return [*given[:at], *more, *given[at:]]


def _test(scene: Scene) -> Iterator[Step]:
    minutes = scene.habits.test_part_minutes
    for cell in scene.refs(Cell):
        words = cell_in_words(cell)
        yield Step(f"test:cell-in:{cell}", "test", words, at=scene.spots(cell), minutes=minutes)
    words_of: list[tuple[tuple[type, ...], Callable[[str], Message]]] = [
        ((Switch,), lambda ref: msg("Work {ref}. Does the right thing go on and off?", ref=ref)),
        ((Sensor, Pad), lambda ref: msg("Try {ref}. Does the right thing change?", ref=ref)),
        ((Led,), lambda ref: msg("Look at {ref}. Does it shine when it should?", ref=ref)),
        ((Load,), lambda ref: msg("Try {ref}. Does it work when it should?", ref=ref)),
    ]
    for kinds, words_for in words_of:
        for ref in scene.refs(*kinds):
            yield Step(f"test:{ref}", "test", words_for(ref), at=scene.spots(ref), minutes=minutes)
    for cell in scene.refs(Cell):
        yield cell_out(scene, f"test:cell-out:{cell}", cell)


def _finish(scene: Scene) -> Iterator[Step]:
    habits = scene.habits
    sewn = {end for course in scene.laid.courses for end in (course.line.start, course.line.end)}
    for part in scene.laid.project.parts:
        free = [f"{part.ref}.{one.name}" for one in scene.laid.types[part.ref].terminals]
        free = [one for one in free if one in scene.laid.spots and one not in sewn]
        if free:
            labels = ", ".join(scene.laid.label(one) for one in free)
            words = msg("Tack the free holes of {ref} with plain thread: {labels}.", ref=part.ref, labels=labels)
            at = tuple(scene.laid.spots[one] for one in free)
            yield Step(f"tack:{part.ref}", "tack", words, at=at, minutes=habits.tack_minutes)
    words = msg("Put a small drop of glue on each knot. Let it dry.")
    yield Step("seal", "seal", words, side="inside", minutes=habits.seal_minutes)
    yield Step("close", "close", _close_words(scene), minutes=habits.close_minutes)
    words = msg("Count your needles and scissors. Give them all back.")
    yield Step("count", "close", words, minutes=habits.count_minutes)


def _close_words(scene: Scene) -> Message:
    if len(scene.laid.project.pieces) > 1 or scene.refs(Link):
        return msg("Sew the pieces shut with plain thread. Leave a gap so that a hand can reach the battery.")
    return msg("Finish the edge with plain thread. Keep the battery within reach.")


def _care(scene: Scene) -> Iterator[Step]:
    texts: Mapping[str, Message] = {
        "care:cell": msg("Keep the battery away from small children. It can hurt badly if someone swallows it."),
        "care:help": msg("Did someone swallow it? Tell an adult and get a doctor at once."),
        "care:wash": msg("Take the battery out first. Wash by hand. Let it dry. Then test it again."),
    }
    for key, words in texts.items():
        yield Step(key, "care", words, minutes=scene.habits.care_minutes)


OTHER_STEPS: Mapping[StageKind, Callable[[Scene], Iterator[Step]]] = {
    "mark": _mark,
    "try": _try,
    "test": _test,
    "finish": _finish,
    "care": _care,
}
"""The steps of each stage that sews no thread, without its look and its readings."""
