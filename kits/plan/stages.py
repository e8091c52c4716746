"""Which stages a plan has, in which order: our own, or the teacher's."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from itertools import chain, count

from kits.plan.order import Order
from kits.plan.values import StageKind
from projects.circuit.project import Project, Stage
from projects.circuit.text import Message, msg

__all__ = ["StageOutline", "outline_stages"]


@dataclass(frozen=True)
class StageOutline:
    """A stage before its steps are written. `kind` None: a stage of the teacher's own that sews nothing."""

    name: str
    title: Message
    kind: StageKind | None
    connections: tuple[str, ...] = ()
    look: bool = False


# Two looks by default: the layout before the needle, the circuit before the cell.
BEFORE = (
    StageOutline("mark", msg("Mark your plan"), "mark", look=True),
    StageOutline("try it out", msg("Try it out"), "try"),
)
AFTER = (
    StageOutline("test", msg("Test it"), "test", look=True),
    StageOutline("close and finish", msg("Close and finish"), "finish"),
    StageOutline("care", msg("Take care of it"), "care"),
)


def outline_stages(project: Project, order: Order, with_lines: Collection[str]) -> list[StageOutline]:
    """The stages in order; `with_lines` names the connections that have lines ("": lines that are for none).

    A teacher's stage that names connections sews them, merged; one with the name of a stage of ours takes its place
    and its look; any other is kept as it is. What the teacher does not name keeps its usual place, and connections
    that no stage of the teacher's names come right after those that one does.
    """
    named: set[str] = set()
    taught: set[str] = set()
    own: list[StageOutline] = []
    for one in project.stages:
        fresh = tuple(name for name in order.all if name in one.connections and name not in taught)
        taught.update(fresh)
        own.append(_teachers(one, fresh, named))
        if not one.connections:
            named.add(one.name.casefold())
    rest = _sewing_stages(project, order, with_lines, taught)
    if "" in with_lines:
        rest.append(StageOutline("other lines", msg("Sew the other lines"), "sew", ("",)))
    last_sewn = max((at for at, stage in enumerate(own) if stage.kind == "sew"), default=None)
    after = len([stage for stage in own if stage.kind in ("mark", "try")]) if last_sewn is None else last_sewn + 1
    stages = [
        *_unnamed(BEFORE, named),
        *own[:after],
        *rest,
        *own[after:],
        *_unnamed(AFTER, named),
    ]
    return _own_names(stages)


def _unnamed(stages: Iterable[StageOutline], named: set[str]) -> list[StageOutline]:
    return [stage for stage in stages if stage.name not in named]


def _teachers(stage: Stage, connections: tuple[str, ...], named: Collection[str]) -> StageOutline:
    """The teacher's stage; only the first of a name takes the place of ours."""
    title = msg("{name}", name=stage.name)
    if stage.connections:
        return StageOutline(stage.name, title, "sew", connections, stage.look)
    for ours in (*BEFORE, *AFTER):
        if ours.name == stage.name.casefold() and ours.name not in named:
            # Under our very name it keeps our words; in the teacher's own letters it is the teacher's title.
            return replace(
                ours, name=stage.name, title=ours.title if stage.name == ours.name else title, look=stage.look
            )
    return StageOutline(stage.name, title, None, (), stage.look)


def _sewing_stages(project: Project, order: Order, with_lines: Collection[str], taught: set[str]) -> list[StageOutline]:
    """Our own sewing stages, for the connections that no stage of the teacher's has and that are worth one."""
    worth = {one.name for one in project.connections if len(one.terminals) > 1 or one.name in with_lines} - taught

    def left(names: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(name for name in names if name in worth)

    stages = [
        StageOutline("positive side", msg("Sew the + side"), "sew", left(order.positive)),
        StageOutline("negative side", msg("Sew the − side"), "sew", left(order.negative)),
        *(
            StageOutline(name, msg("Sew the line {connection}", connection=name), "sew", (name,))
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
