"""Random documents for property tests: each is valid, many are half done or make no sense to sew."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_letters, digits
from typing import get_args

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from projects.circuit.catalogue import catalogue
from projects.circuit.document import FORMAT, Document
from projects.circuit.fabric import can_stand_apart
from projects.circuit.layout import Cover, Join, Layout, Line, Place
from projects.circuit.part_types import (
    Body,
    Cell,
    Circle,
    Controller,
    Led,
    Level,
    Link,
    Load,
    Model,
    Pad,
    PartType,
    Polygon,
    Position,
    Rectangle,
    Resistor,
    Role,
    Sensor,
    Switch,
    Terminal,
    UsedCell,
)
from projects.circuit.project import (
    Connection,
    Criterion,
    Part,
    Piece,
    Project,
    Settings,
    Stage,
    StageWork,
    Supply,
    Thread,
)

__all__ = ["coordinates", "documents", "names", "part_types"]

Terminals = dict[str, tuple[str, ...]]
"""Terminal names by part ref."""

names: SearchStrategy[str] = st.builds(
    str.__add__, st.sampled_from(ascii_letters), st.text(ascii_letters + digits + "_-", max_size=5)
)
coordinates: SearchStrategy[float] = st.one_of(st.integers(-200, 400).map(float), st.floats(-10_000, 10_000))
positive = st.one_of(st.sampled_from([0.5, 1.0, 20.0]), st.floats(0, 1e12, exclude_min=True))
not_negative = st.one_of(st.just(0.0), positive)
points = st.tuples(coordinates, coordinates)
texts = st.text(
    st.characters(exclude_categories=["Cs"], exclude_characters=[*map(chr, range(32)), "\x7f"]), min_size=1, max_size=12
)
labels = st.sampled_from(["", "+", "−", "1", "A"])


def unique_names(least: int, most: int) -> SearchStrategy[list[str]]:
    return st.lists(names, min_size=least, max_size=most, unique=True)


def some_of(values: Sequence[str]) -> SearchStrategy[tuple[str, ...]]:
    """A few of these, each at most once."""
    if not values:
        return st.just(())
    return st.lists(st.sampled_from(values), unique=True, max_size=4).map(tuple)


@st.composite
def boxes(draw: DrawFn, least: float) -> tuple[tuple[float, float], ...]:
    """A rectangle of at least so many mm each way, with its corner anywhere near."""
    x, y = draw(st.integers(-500, 500)), draw(st.integers(-500, 500))
    width, height = (draw(st.floats(least, least + 300)) for _ in range(2))
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


@st.composite
def pieces(draw: DrawFn, name: str) -> Piece:
    allowance = draw(st.sampled_from([0.0, 5.0, 8.0]))
    return Piece(name=name, outline=draw(boxes(2 * allowance + 10)), seam_allowance=allowance)


def bodies() -> SearchStrategy[Body]:
    sizes = st.floats(1, 100)
    return st.one_of(
        st.builds(Circle, diameter=sizes),
        st.builds(Rectangle, width=sizes, height=sizes),
        st.builds(Polygon, points=boxes(5)),
    )


def models(one: str, other: str) -> SearchStrategy[Model]:
    """A model for a part of two nodes, `one` and `other` terminals of them."""
    value = positive
    positions = unique_names(1, 3).flatmap(
        lambda found: st.tuples(
            *(st.builds(Position, name=st.just(name), joins=st.sampled_from([(), ((one, other),)])) for name in found)
        )
    )
    levels = unique_names(1, 3).flatmap(
        lambda found: st.tuples(*(st.builds(Level, name=st.just(name), ohms=value) for name in found))
    )
    used = st.none() | st.builds(UsedCell, volts=value, ohms=value)
    return st.one_of(
        st.builds(Cell, volts=value, ohms=value, mah=value, end_volts=value, used=used),
        st.builds(Led, saturation_amps=value, ideality=value, ohms=value, max_amps=value),
        st.builds(Resistor, ohms=value),
        st.builds(Switch, positions=positions, momentary=st.booleans()),
        st.builds(Load, ohms=value, min_volts=value),
        st.builds(Sensor, levels=levels),
        st.builds(
            Controller,
            amps=value,
            min_volts=value,
            max_volts=value,
            pin_ohms=value,
            pin_max_amps=value,
            total_max_amps=value,
        ),
        st.just(Link()),
    )


def terminals(name: str, role: Role | None) -> SearchStrategy[Terminal]:
    abilities = st.sampled_from([(), ("digital",), ("digital", "pwm", "analog", "touch")])
    return st.builds(
        Terminal,
        name=st.just(name),
        label=labels,
        x=coordinates,
        y=coordinates,
        role=st.just(role),
        can=abilities if role == "pin" else st.just(()),
    )


@st.composite
def part_types(draw: DrawFn, name: str) -> PartType:
    """A part type of one's own, of any model, with terminals joined inside where its model wants two nodes."""
    found = draw(unique_names(2, 5))
    model = draw(st.just(Pad()) | models(found[0], found[1]))
    first, second = tuple(found[::2]), tuple(found[1::2])
    roles: dict[str, Role] = {**dict.fromkeys(first, "positive"), **dict.fromkeys(second, "negative")}
    if isinstance(model, Pad):
        found = found[:1]
    if isinstance(model, Controller):
        roles |= dict.fromkeys(found[2:], "pin")
    has_roles = isinstance(model, Cell | Led | Controller) or draw(st.booleans())
    return PartType(
        type=name,
        name=draw(texts),
        body=draw(bodies()),
        terminals=tuple(draw(terminals(one, roles[one] if has_roles else None)) for one in found),
        terminal_radius=draw(st.floats(0.5, 5)),
        joined=() if isinstance(model, Pad | Controller | Link) else (first, second),
        no_sew=draw(st.booleans()),
        colour=draw(st.sampled_from(["black", "white", "#00fFa1"])),
        model=model,
        price=draw(not_negative),
        pack=draw(st.integers(1, 100_000)),
        loss=draw(st.floats(0.001, 0.5)),
    )


@st.composite
def circuits(draw: DrawFn, own: tuple[PartType, ...]) -> tuple[tuple[Part, ...], dict[str, PartType]]:
    """Parts of the catalogue and of one's own types, with one cell at most, and part type by ref."""
    known = {**catalogue(), **{part_type.type: part_type for part_type in own}}
    cells = [name for name, part_type in known.items() if isinstance(part_type.model, Cell)]
    others = [name for name in known if name not in cells]
    own_names = [part_type.type for part_type in own if part_type.type not in cells]
    chosen = [*own_names, *draw(st.lists(st.sampled_from(others), max_size=4))]
    if draw(st.booleans()):
        chosen.append(draw(st.sampled_from(cells)))
    refs = draw(unique_names(len(chosen), len(chosen)))
    parts = tuple(Part(ref=ref, type=name) for ref, name in zip(refs, chosen, strict=True))
    return parts, {part.ref: known[part.type] for part in parts}


@st.composite
def projects(draw: DrawFn) -> tuple[Project, dict[str, PartType]]:
    own_names = draw(st.lists(names | st.just("light-red"), max_size=3, unique=True))
    own = tuple(draw(part_types(name)) for name in own_names)
    parts, types = draw(circuits(own))
    ends = [f"{ref}.{one.name}" for ref, part_type in types.items() for one in part_type.terminals]
    connections = tuple(Connection(name=name, terminals=draw(some_of(ends))) for name in draw(unique_names(0, 4)))
    stages = tuple(
        Stage(
            name=name,
            connections=draw(some_of([connection.name for connection in connections])),
            does=draw(some_of(get_args(StageWork))),
            look=draw(st.booleans()),
        )
        for name in draw(st.lists(texts, max_size=3, unique=True))
    )
    stage_names = st.sampled_from([stage.name for stage in stages]) if stages else texts
    spacing = draw(positive)
    piece_names = draw(unique_names(1, 3))
    project = Project(
        title=draw(texts),
        pieces=tuple(draw(pieces(name)) for name in piece_names),
        faces=draw(st.sampled_from([(), ((piece_names[0], piece_names[-1]),)])),
        thread=draw(st.just(Thread()) | st.builds(Thread, ohms_per_metre=positive, spool_price=not_negative)),
        spacing=spacing,
        contact=draw(st.sampled_from([spacing, spacing / 2 or spacing])),
        settings=draw(st.just(Settings()) | st.builds(Settings, stitch_mm=positive, hours=positive)),
        part_types=own,
        parts=parts,
        pins={
            pin: draw(st.sampled_from(["output", "fade", "input", "input-pull-up", "analog", "touch"]))
            for pin in draw(some_of(ends))
        },
        connections=connections,
        stages=stages,
        supplies=tuple(draw(st.lists(st.builds(Supply, name=texts, amount=positive, price=not_negative), max_size=2))),
        criteria=tuple(draw(st.lists(st.builds(Criterion, stage=stage_names, text=texts), max_size=2))),
        learner_may=draw(st.sampled_from(["nothing", "layout", "choose", "all"])),
        swaps={ref: draw(some_of(list(catalogue()))) for ref in draw(some_of(list(types)))},
    )
    return project, types


@st.composite
def places(draw: DrawFn, ref: str, part_type: PartType, piece_names: Sequence[str]) -> list[Place]:
    """No place, one for the whole part, or one for some of the terminals of a part that can stand apart."""
    ways = ["none", "whole", "whole", *(["apart"] if can_stand_apart(part_type) else [])]
    way = draw(st.sampled_from(ways))
    if way == "none":
        return []
    parts_of_it = [one.name for one in part_type.terminals] if way == "apart" else [None]
    return [
        Place(
            ref=ref,
            piece=draw(st.sampled_from(piece_names)),
            x=draw(coordinates),
            y=draw(coordinates),
            turn=draw(st.sampled_from([0.0, 90.0, 217.5])),
            side=draw(st.sampled_from(["outside", "inside"])),
            terminal=terminal,
        )
        for terminal in parts_of_it
    ]


@st.composite
def layouts(draw: DrawFn, project: Project, types: dict[str, PartType]) -> Layout:
    piece_names = [piece.name for piece in project.pieces]
    on_a_piece = st.sampled_from(piece_names)
    joins = tuple(
        Join(name=name, piece=draw(on_a_piece), x=draw(coordinates), y=draw(coordinates))
        for name in draw(unique_names(0, 3))
    )
    ends = [f"{ref}.{one.name}" for ref, part_type in types.items() for one in part_type.terminals]
    ends += [f"@{join.name}" for join in joins]
    end = st.sampled_from(ends or ["@none"])
    vias = st.lists(points, max_size=4).map(tuple)
    lines = tuple(
        Line(name=name, piece=draw(on_a_piece), start=draw(end), end=draw(end), via=draw(vias))
        for name in draw(unique_names(0, 5) if ends else st.just([]))
    )
    radii = st.floats(0.1, 100)
    covers = st.lists(st.builds(Cover, piece=on_a_piece, x=coordinates, y=coordinates, radius=radii), max_size=2)
    return Layout(
        places=tuple(place for ref, part_type in types.items() for place in draw(places(ref, part_type, piece_names))),
        joins=joins,
        lines=lines,
        covers=tuple(draw(covers)),
    )


@st.composite
def documents(draw: DrawFn) -> Document:
    """Valid documents: pieces, parts of built-in and own types, connections, stages, and a layout of them."""
    project, types = draw(projects())
    return Document(format=FORMAT, project=project, layout=draw(layouts(project, types)))
