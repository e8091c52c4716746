"""Operating points of one network with many sets of further elements, all of them at once.

What is sewn stays the same from one situation to the next, so it is reduced once to the nodes that parts hang on
(Kron 1939; citation from memory). Then each situation is a small matrix, and its lights and draws are ports of it: one
linear solve for all situations, and Newton's method on the volts across the ports alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from networkx.utils import UnionFind
from numpy.typing import NDArray
from scipy.sparse import csc_array
from scipy.sparse.linalg import splu

from checks.junction import Draws, Floats, Leds
from checks.netlist import GROUND_SIEMENS, Draw, Element, Led, Netlist, Resistor, Source, ends
from checks.operating_point import CLOSE_SHARE, CLOSE_VOLTS, ROOM_KELVIN, STEPS_AT_EACH, OperatingPoint, solve

__all__ = ["Variant", "sweep"]

Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

Variant = Sequence[Resistor | Source]

LEAST_OHMS, MOST_OHMS = 1e-3, 1e6
"""Beyond these a sum of siemens could round away what one of them brings: such circuits are solved one by one."""

MOST_ROWS = 1000
"""Larger matrices gain nothing from being solved together."""

MOST_NUMBERS = 4_000_000
"""In the matrices of one batch, so that many situations do not fill the memory: 32 MB."""


def sweep(
    fixed: Sequence[Element], variants: Sequence[Variant], nodes: Sequence[str], measured: Sequence[Resistor] = ()
) -> list[OperatingPoint]:
    """The operating point of `fixed` with each of `variants`, as `solve` finds it, within a microvolt.

    `volts` holds `nodes` alone, `amps` the lights and draws of `fixed`, those of its resistors that are `measured`
    (none of zero ohm), and all elements of the variant; a zero-ohm resistor that closes a ring of such carries none.

    >>> points = sweep([Resistor("R1", "p", "n", 10.0)], [[Source("B1", "p", "n", v, 5.0)] for v in (3.0, 1.5)], ["p"])
    >>> [round(point.volts["p"], 6) for point in points]
    [2.0, 1.0]
    """
    if not variants:
        return []
    swept: list[OperatingPoint | None] = [None] * len(variants)
    resistors = [one for some in (fixed, *variants) for one in some if isinstance(one, Resistor) and not one.is_zero]
    if all(LEAST_OHMS <= one.ohms <= MOST_OHMS for one in resistors):
        with np.errstate(all="ignore"):
            reduced = _Reduced(fixed, variants, nodes, measured)
            rows = reduced.size + 1 + max(map(len, variants))
            if rows <= MOST_ROWS:
                batch = MOST_NUMBERS // rows**2
                batches = (variants[at : at + batch] for at in range(0, len(variants), batch))
                swept = [point for some in batches for point in _swept(reduced, some, nodes)]
    return [
        point if point is not None else _alone(fixed, variant, nodes)
        for point, variant in zip(swept, variants, strict=True)
    ]


def _alone(fixed: Sequence[Element], variant: Variant, nodes: Sequence[str]) -> OperatingPoint:
    point = solve(Netlist((*fixed, *variant)))
    volts = {node: point.volts.get(node, 0.0) for node in nodes}
    return OperatingPoint(volts, point.amps, point.steps, point.converged)


class _Reduced:
    """The fixed network as siemens between its ports; `row` gives each port's row, ground the last.

    Ports are the ends of lights, draws and all elements that vary. All other nodes are eliminated; `spread` has a row
    for each node asked for, which gives its volts from those of the ports; `meters` the same for measured amps.
    """

    def __init__(
        self, fixed: Sequence[Element], variants: Sequence[Variant], nodes: Sequence[str], measured: Sequence[Resistor]
    ) -> None:
        self.ground = Netlist((*fixed, *variants[0])).zero_volts
        netlist = Netlist(tuple(fixed), self.ground)
        self.leds = [one for one in fixed if isinstance(one, Led)]
        self.draws = [one for one in fixed if isinstance(one, Draw)]
        varying = dict.fromkeys(node for variant in variants for one in variant for node in ends(one))
        merged = {**{node: node for node in (*varying, *nodes)}, **netlist.merged}
        curved = (node for one in self.curved for node in ends(one))
        kept = dict.fromkeys(merged[node] for node in (*curved, *varying))
        kept.pop(self.ground, None)
        others = [node for node in dict.fromkeys(merged.values()) if node not in kept and node != self.ground]
        number = {node: at for at, node in enumerate((*kept, self.ground, *others))}
        rows = {node: number[one] for node, one in merged.items()}
        self.size = len(kept)
        self.row = {node: row for node, row in rows.items() if row <= self.size}
        self.siemens, everywhere = self._reduce(netlist, rows, len(number))
        self.spread = everywhere[[rows[node] for node in nodes]]
        self.measured = [one.name for one in measured]
        first, second = (everywhere[[rows[ends(one)[end]] for one in measured]] for end in (0, 1))
        self.meters = (first - second) / np.array([one.ohms for one in measured])[:, None]

    @property
    def curved(self) -> list[Led | Draw]:
        return [*self.leds, *self.draws]

    def _reduce(self, netlist: Netlist, row: dict[str, int], size: int) -> tuple[Floats, Floats]:
        """Siemens between ports, ground's leak left out; and for every node what each port's volt adds to its own."""
        rest = [one for one in netlist.elements if isinstance(one, Resistor) and not one.is_zero]
        a, b = ([row[end] for end in side] for side in zip(*map(ends, rest), strict=True)) if rest else ([], [])
        g = [1.0 / one.ohms for one in rest]
        leaks = list(range(size))
        values = [*g, *g, *(-x for x in g), *(-x for x in g), *[GROUND_SIEMENS] * size]
        siemens = csc_array((values, ([*a, *b, *a, *b, *leaks], [*a, *b, *b, *a, *leaks])), shape=(size, size))
        ports = self.size + 1
        inner, outer = slice(ports, size), slice(0, ports)
        if size == ports:
            return siemens.toarray(), np.eye(ports)
        through = splu(siemens[inner, inner]).solve(siemens[inner, outer].toarray())
        reduced: Floats = siemens[outer, outer].toarray() - siemens[outer, inner] @ through
        return reduced, np.vstack([np.eye(ports), -through])

    def branches(self, elements: Sequence[Element], size: int) -> Floats:
        """A column for each element: +1 in the row of its first node, −1 in that of its second; ground cut off."""
        matrix = np.zeros((size, len(elements)))
        for column, element in enumerate(elements):
            for node, sign in zip(ends(element), (1.0, -1.0), strict=True):
                if self.row[node] != self.size:
                    matrix[self.row[node], column] += sign
        return matrix


def _stamp(matrix: Floats, a: Ints, b: Ints, siemens: Floats, *at: Ints) -> None:
    """Add conductances between rows a and b, of matrices `at` of a stack if there is one."""
    for row, column, sign in ((a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)):
        np.add.at(matrix, (*at, row, column), sign * siemens)


@dataclass
class _Stack:
    """One matrix and right-hand side a variant: node rows, a trash row for ground, then a row for each branch current.

    `column` gives, by variant, the row of the current of each source and zero-ohm resistor that has one.
    """

    matrix: Floats
    right: Floats
    column: list[dict[str, int]]


def _stack(reduced: _Reduced, variants: Sequence[Variant]) -> _Stack:
    most = max(sum(_has_current(one) for one in variant) for variant in variants)
    first = reduced.size + 1
    size = first + most
    matrix = np.zeros((len(variants), size, size))
    matrix[:, :first, :first] = reduced.siemens
    right = np.zeros((len(variants), size))
    columns: list[dict[str, int]] = []
    resistors: list[tuple[int, int, int, float]] = []
    for at, variant in enumerate(variants):
        column: dict[str, int] = {}
        one_node: UnionFind[int] = UnionFind()
        for element in variant:
            a, b = (reduced.row[node] for node in ends(element))
            if not _has_current(element):
                resistors.append((at, a, b, 1.0 / element.ohms))
                continue
            if isinstance(element, Resistor):
                if one_node[a] == one_node[b]:
                    continue
                one_node.union(a, b)
                # Nodes that are one leak to ground once.
                matrix[at, a, a] -= GROUND_SIEMENS
            own = first + len(column)
            column[element.name] = own
            sign = -1.0 if isinstance(element, Source) else 1.0
            for row, way in ((a, 1.0), (b, -1.0)):
                matrix[at, row, own] += sign * way
                matrix[at, own, row] += way
            if isinstance(element, Source):
                matrix[at, own, own] = element.ohms
                right[at, own] = element.volts
        unused = np.arange(first + len(column), size)
        matrix[at, unused, unused] = 1.0
        columns.append(column)
    if resistors:
        which, a_rows, b_rows = np.array([one[:3] for one in resistors], dtype=np.intp).T
        _stamp(matrix, a_rows, b_rows, np.array([one[3] for one in resistors]), which)
    matrix[:, reduced.size, :] = 0.0
    matrix[:, :, reduced.size] = 0.0
    matrix[:, reduced.size, reduced.size] = 1.0
    return _Stack(matrix, right, columns)


def _has_current(element: Resistor | Source) -> bool:
    """Whether its current is an unknown of its own."""
    return isinstance(element, Source) or element.is_zero


def _swept(reduced: _Reduced, variants: Sequence[Variant], nodes: Sequence[str]) -> list[OperatingPoint | None]:
    """The operating points; None for those that Newton did not find."""
    stack = _stack(reduced, variants)
    across = reduced.branches(reduced.curved, stack.matrix.shape[1])
    sides = np.concatenate([np.broadcast_to(across, (len(variants), *across.shape)), stack.right[:, :, None]], axis=2)
    try:
        answer = np.linalg.solve(stack.matrix, sides)
        per_amp, idle = answer[:, :, :-1], answer[:, :, -1]
        amps, steps, settled = _newton(reduced, across.T @ per_amp, idle @ across)
    except np.linalg.LinAlgError:
        return [None] * len(variants)
    unknowns = idle - np.einsum("sij,sj->si", per_amp, amps)
    settled = settled & np.isfinite(unknowns).all(axis=1)
    ports = unknowns[:, : reduced.size + 1]
    everywhere, metered = ports @ reduced.spread.T, ports @ reduced.meters.T
    names = [one.name for one in reduced.curved]
    found: list[OperatingPoint | None] = []
    for at, variant in enumerate(variants):
        if not settled[at]:
            found.append(None)
            continue
        values = unknowns[at].tolist()
        volts = dict(zip(nodes, everywhere[at].tolist(), strict=True))
        flows = dict(zip(names, amps[at].tolist(), strict=True))
        flows.update(zip(reduced.measured, metered[at].tolist(), strict=True))
        flows.update(_amps(reduced, variant, stack.column[at], values))
        found.append(OperatingPoint(volts, flows, steps, True))
    return found


def _amps(
    reduced: _Reduced, variant: Variant, column: dict[str, int], values: list[float]
) -> Iterator[tuple[str, float]]:
    for one in variant:
        if _has_current(one):
            yield one.name, values[column[one.name]] if one.name in column else 0.0
        else:
            a, b = ends(one)
            yield one.name, (values[reduced.row[a]] - values[reduced.row[b]]) / one.ohms


def _newton(reduced: _Reduced, ohms: Floats, idle: Floats) -> tuple[Floats, int, Bools]:
    """Amps through the ports, the steps taken, and which situations settled.

    `idle` are the volts across the ports when they carry nothing, shape (s, k); `ohms` what an amp through one takes
    off each of them, shape (s, k, k).
    """
    laws: list[tuple[slice, Leds | Draws]] = []
    if reduced.leds:
        laws.append((slice(0, len(reduced.leds)), Leds(reduced.leds, ROOM_KELVIN)))
    if reduced.draws:
        laws.append((slice(len(reduced.leds), None), Draws(reduced.draws)))
    settled = np.ones(len(idle), dtype=bool)
    if not laws:
        return np.zeros_like(idle), 1, settled
    tangent_at = np.broadcast_to(np.concatenate([law.first for _, law in laws]), idle.shape)
    unit = np.eye(idle.shape[1])
    for step in range(1, STEPS_AT_EACH + 1):
        amps, siemens = np.empty_like(idle), np.empty_like(idle)
        for part, law in laws:
            amps[:, part], siemens[:, part] = law.amps(tangent_at[:, part])
        right = idle - np.einsum("sij,sj->si", ohms, amps - siemens * tangent_at)
        volts = np.linalg.solve(unit + ohms * siemens[:, None, :], right[:, :, None])[:, :, 0]
        off = np.abs(volts - tangent_at)
        settled = (off <= CLOSE_VOLTS + CLOSE_SHARE * np.abs(volts)).all(axis=1)
        if settled.all():
            # The tangents at the answer, not the law at it: volts and amps then agree to rounding.
            return amps + siemens * (volts - tangent_at), step, settled
        limited = np.empty_like(volts)
        for part, law in laws:
            limited[:, part] = law.limit(volts[:, part], tangent_at[:, part])
        tangent_at = limited
    return amps + siemens * (volts - tangent_at), STEPS_AT_EACH, settled
