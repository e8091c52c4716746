"""Parts that sit the wrong way round, and which opens and shorts come from that alone."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import networkx as nx

from checks.compare import Comparison, Intent
from checks.direction import flow, part_nodes, thread_bridges
from checks.pins import driven_pins
from checks.setting import Setting, settings
from checks.sewn import SewnGraph
from checks.switching import cell_of
from projects.circuit.fabric import LaidOut
from projects.circuit.part_types import Controller, Led, Load, Model

__all__ = ["Reversal", "find_reversal"]

_LEAST_AMPS = 1e-6


@dataclass(frozen=True)
class Reversal:
    """`parts` are the wrong way round; `opens` (connections) and `shorts` (pairs) come from that alone.

    `in_circuit`: those among the parts that the circuit itself has the wrong way round.
    """

    parts: tuple[str, ...] = ()
    opens: frozenset[str] = frozenset()
    shorts: frozenset[tuple[str, str]] = frozenset()
    in_circuit: frozenset[str] = frozenset()


@dataclass(frozen=True)
class _Issues:
    opens: frozenset[str]
    shorts: frozenset[tuple[str, str]]

    @property
    def count(self) -> int:
        return len(self.opens) + len(self.shorts)

    def __lt__(self, other: _Issues) -> bool:
        return self.opens <= other.opens and self.shorts <= other.shorts and self != other


def find_reversal(sewn: SewnGraph, intent: Intent, comparison: Comparison) -> Reversal:
    """Lights whose current only ever runs from − to +, controllers with negative supply, and the cause of it.

    If exchanging the two sides of some of them, or of the cell, would leave only some of the opens and shorts and
    bring no new ones, those parts are the cause, and the opens and shorts that would go are put down to it.
    """
    suspects = _backwards(sewn)
    if not suspects:
        return Reversal()
    if comparison.agrees:
        return Reversal(suspects, in_circuit=frozenset(suspects))
    before = _issues(sewn, intent, frozenset())
    best: tuple[int, frozenset[str]] | None = None
    for swapped in _candidates(sewn, suspects):
        after = _issues(sewn, intent, swapped)
        if after < before and (best is None or after.count < best[0]):
            best = (after.count, swapped)
    swapped_lines = _swapped(sewn, intent, suspects)
    as_meant = frozenset(_backwards(_as_meant(sewn))) if len(swapped_lines) < len(suspects) else frozenset()
    genuine = [ref for ref in suspects if ref in swapped_lines or ref in as_meant]
    if best is None:
        return Reversal(tuple(genuine), in_circuit=as_meant.intersection(genuine))
    cause = best[1]
    after = _issues(sewn, intent, cause)
    left = _backwards(sewn, cause) if set(suspects) - cause else ()
    left = tuple(ref for ref in left if ref in genuine)
    parts = tuple(part.ref for part in sewn.laid_out.project.parts if part.ref in cause or part.ref in left)
    return Reversal(parts, before.opens - after.opens, before.shorts - after.shorts)


def _swapped(sewn: SewnGraph, intent: Intent, suspects: Sequence[str]) -> set[str]:
    """The suspects of which a drawn line leads from one side to what the other side should be joined to.

    Opens and shorts elsewhere let a little current run backwards through parts that sit the right way round. So what
    only touches does not count here, nor do the terminals of other lights, which may be swapped themselves.
    """
    laid_out = sewn.laid_out
    graph: nx.Graph[str] = nx.Graph()
    graph.add_edges_from(intent.drawn.edges())
    for group in laid_out.groups():
        nx.add_path(graph, (end for end in group if end in laid_out.spots))
    lights = {ref for ref, part_type in laid_out.types.items() if isinstance(part_type.model, Led | Load)}
    joined: dict[str, frozenset[str]] = {}
    for nodes in nx.connected_components(graph):
        no_lights = frozenset(end for end in nodes if end.partition(".")[0] not in lights)
        joined.update((node, no_lights) for node in nodes)
    found: set[str] = set()
    for ref in suspects:
        ends = part_nodes(laid_out, ref)
        for end, other in (ends, ends[::-1]):
            strangers = (node for node in joined.get(end, ()) if node.partition(".")[0] != ref)
            met = {intent.net_of[node] for node in strangers if node in intent.net_of}
            if intent.net_of.get(other) in met and intent.net_of.get(end) not in met:
                found.add(ref)
    return found


def _as_meant(sewn: SewnGraph) -> SewnGraph:
    """The graph that the circuit wants: each connection's terminals joined, and no thread."""
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from(sewn.laid_out.spots)
    wanted = [*(connection.terminals for connection in sewn.laid_out.project.connections), *sewn.laid_out.groups()]
    for ends in wanted:
        for first, second in itertools.pairwise(end for end in ends if end in sewn.laid_out.spots):
            graph.add_edge(first, second, kind="joined", part="")
    return SewnGraph(sewn.laid_out, graph, (), {})


def _candidates(sewn: SewnGraph, suspects: tuple[str, ...]) -> Iterator[frozenset[str]]:
    """What to exchange, the likeliest single cause first: one light; else a controller or the cell; else several."""
    controllers = [ref for ref in suspects if isinstance(sewn.laid_out.types[ref].model, Controller)]
    lights = [ref for ref in suspects if ref not in controllers]
    cell = cell_of(sewn.laid_out)
    alone = [cell] if cell is not None else []
    first = [*controllers, *lights, *alone] if len(suspects) == 1 else [*controllers, *alone, *lights]
    yield from (frozenset((ref,)) for ref in first)
    if len(lights) > 1:
        yield frozenset(lights)
    if controllers and lights:
        yield frozenset(suspects)
        yield from (frozenset((one, *lights)) for one in controllers)


def _backwards(sewn: SewnGraph, swapped: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """Refs of lights and controllers through which current runs backwards, in the order of `parts`."""
    laid_out = sewn.laid_out
    cell = cell_of(laid_out)
    models = {part.ref: laid_out.types[part.ref].model for part in laid_out.project.parts}
    polarised = [
        ref for ref, model in models.items() if isinstance(model, Led | Controller) or _has_sides(laid_out, ref)
    ]
    if cell is None or not polarised:
        return ()
    thread = thread_bridges(sewn)
    states, _ = settings(laid_out, cells=("fresh",))
    flows = [flow(sewn, state, thread, swapped).amps for state in states]
    found = [ref for ref in polarised if _runs_back(models[ref], [amps[ref] for amps in flows])]
    between_pins = (
        _one_pin_high(laid_out, states) if any(not isinstance(models[ref], Controller) for ref in found) else []
    )
    if between_pins:
        # A light between two pins shines only while they differ, which all low and all high never show. In thread
        # a little runs either way, so it is right only if more runs so than runs back in the usual states.
        more = [flow(sewn, state, thread, swapped).amps for state in between_pins]
        found = [
            ref
            for ref in found
            if isinstance(models[ref], Controller)
            or max(amps[ref] for amps in more) < -min(amps[ref] for amps in flows)
        ]
    return tuple(found)


def _runs_back(model: Model, amps: Sequence[float]) -> bool:
    """Whether current runs from − to + in some state; and, but for a controller, in none the right way."""
    back, forth = min(amps) < -_LEAST_AMPS, max(amps) > _LEAST_AMPS
    return back and (isinstance(model, Controller) or not forth)


def _one_pin_high(laid_out: LaidOut, states: Sequence[Setting]) -> list[Setting]:
    """For each setting with all outputs high, those in which one of several alone is."""
    driven = driven_pins(laid_out)
    if len(driven) < 2:
        return []
    low = dict.fromkeys(driven, "low")
    high = [state for state in states if state.choices[driven[0]] == "high"]
    return [replace(state, choices={**state.choices, **low, pin: "high"}) for state in high for pin in driven]


def _has_sides(laid_out: LaidOut, ref: str) -> bool:
    """Whether it is a light, a controller, or a load that is marked + and − (a buzzer, a light of another kind)."""
    part_type = laid_out.types[ref]
    return isinstance(part_type.model, Led | Controller | Load) and bool(
        part_type.with_role("positive") and part_type.with_role("negative")
    )


def _issues(sewn: SewnGraph, intent: Intent, swapped: frozenset[str]) -> _Issues:
    """Opens and shorts if the sides of these parts were exchanged: every pair of connections in one component."""
    component = {terminal: sewn.component_of[terminal] for terminal in sewn.laid_out.spots}
    for ref in swapped:
        part_type = sewn.laid_out.types[ref]
        plus, minus = (sewn.component_of[node] for node in part_nodes(sewn.laid_out, ref))
        component.update((f"{ref}.{name}", minus) for name in part_type.with_role("positive"))
        component.update((f"{ref}.{name}", plus) for name in part_type.with_role("negative"))
    opens = {
        connection.name
        for connection in sewn.laid_out.project.connections
        if len({component[terminal] for terminal in connection.terminals if terminal in component}) > 1
    }
    nets: dict[int, set[str]] = {}
    for terminal, number in component.items():
        if terminal in intent.net_of:
            nets.setdefault(number, set()).add(intent.net_of[terminal])
    pairs = (pair for some in nets.values() for pair in itertools.combinations(sorted(some), 2))
    return _Issues(frozenset(opens), frozenset(pairs))
