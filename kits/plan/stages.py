"""Which stages a plan has, in which order: our own, or the teacher's."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import chain, count
from typing import cast

from kits.plan.order import Order
from kits.plan.values import StageKind
from projects.circuit.project import Project, Stage, StageWork
from projects.circuit.text import Message, msg

__all__ = ["WORK_OF", "StageOutline", "outline_stages"]


@dataclass(frozen=True)
class StageOutline:
    """A stage before its steps are written. `kinds`: what it does, in that order; none: only the teacher knows."""

    name: str
    title: Message
    kinds: tuple[StageKind, ...]
    connections: tuple[str, ...] = ()
    look: bool = False


# Two looks by default: the layout before the needle, the circuit before the cell.
BEFORE = (
    StageOutline("mark", msg("Mark your plan"), ("mark",), look=True),
    StageOutline("try it out", msg("Try it out"), ("try",)),
)
AFTER = (
    StageOutline("test", msg("Test it"), ("test",), look=True),
    StageOutline("close and finish", msg("Close and finish"), ("finish",)),
    StageOutline("care", msg("Take care of it"), ("care",)),
)
WORK_OF: Mapping[StageKind, StageWork] = {
    kind: cast(StageWork, ours.name) for ours in (*BEFORE, *AFTER) for kind in ours.kinds
}
"""By what such a stage does, the name under which a project file speaks of it."""


def outline_stages(project: Project, order: Order, with_lines: Collection[str]) -> list[StageOutline]:
    """The stages in order; `with_lines` names the connections that have lines ("": lines that are for none).

    A teacher's stage that names connections sews them, merged; one that does what a stage of ours does, or has its
    name, takes its place and its look; any other is kept as it is. What the teacher does not name keeps its usual
    place, and connections that no stage of the teacher's names come right after those that one does.
    """
    named: set[str] = set()
    taught: set[str] = set()
    own: list[StageOutline] = []
    for one in project.stages:
        fresh = tuple(name for name in order.all if name in one.connections and name not in taught)
        taught.update(fresh)
        own.append(_teachers(one, fresh, named))
        named.update(_works(one))
    rest = _sewing_stages(project, order, with_lines, taught)
    if "" in with_lines:
        rest.append(StageOutline("other lines", msg("Sew the other lines"), ("sew",), ("",)))
    after = _after_sewing(own)
    stages = [
        *_unnamed(BEFORE, named),
        *own[:after],
        *rest,
        *own[after:],
        *_unnamed(AFTER, named),
    ]
    return _own_names(stages)


def _after_sewing(own: list[StageOutline]) -> int:
    """Where the sewing that no stage of the teacher's names comes: after the rest of it, and before what tests it."""
    sewing = [at for at, stage in enumerate(own) if "sew" in stage.kinds]
    if sewing:
        return sewing[-1] if own[sewing[-1]].kinds[-1] != "sew" else sewing[-1] + 1
    return len([stage for stage in own if stage.kinds and {"mark", "try"}.issuperset(stage.kinds)])


def _unnamed(stages: Iterable[StageOutline], named: set[str]) -> list[StageOutline]:
    return [stage for stage in stages if stage.name not in named]


def _works(stage: Stage) -> tuple[str, ...]:
    """Names of the stages of ours that the teacher's stage stands for."""
    return stage.does or (() if stage.connections else (stage.name.casefold(),))


def _teachers(stage: Stage, connections: tuple[str, ...], named: Collection[str]) -> StageOutline:
    """The teacher's stage; only the first that does what a stage of ours does takes its place."""
    works = set(_works(stage)) - set(named)
    before, after = ([ours for ours in some if ours.name in works] for some in (BEFORE, AFTER))
    sewing: tuple[StageKind, ...] = ("sew",) if stage.connections else ()
    kinds = (*_kinds(before), *sewing, *_kinds(after))
    # Under our very name it keeps our words; in the teacher's own letters it is the teacher's title.
    title = next((ours.title for ours in (*before, *after) if ours.name == stage.name), msg("{name}", name=stage.name))
    return StageOutline(stage.name, title, kinds, connections, stage.look)


def _kinds(stages: Iterable[StageOutline]) -> tuple[StageKind, ...]:
    return tuple(kind for stage in stages for kind in stage.kinds)


def _sewing_stages(project: Project, order: Order, with_lines: Collection[str], taught: set[str]) -> list[StageOutline]:
    """Our own sewing stages, for the connections that no stage of the teacher's has and that are worth one."""
    worth = {one.name for one in project.connections if len(one.terminals) > 1 or one.name in with_lines} - taught

    def left(names: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(name for name in names if name in worth)

    stages = [
        StageOutline("positive side", msg("Sew the + side"), ("sew",), left(order.positive)),
        StageOutline("negative side", msg("Sew the − side"), ("sew",), left(order.negative)),
        *(
            StageOutline(name, msg("Sew the line {connection}", connection=name), ("sew",), (name,))
            for name in left(order.further)
        ),
    ]
    return [stage for stage in stages if stage.connections]


def _own_names(stages: list[StageOutline]) -> list[StageOutline]:
    """The same stages, a repeated name with a number, so that a name means one stage."""
    taken: set[str] = set()
    unique = []
    for stage in stages:
        names = chain([stage.name], (f"{stage.name} {number}" for number in count(2)))
        name = next(name for name in names if name not in taken)
        taken.add(name)
        unique.append(replace(stage, name=name))
    return unique
