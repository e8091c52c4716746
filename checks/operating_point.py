"""The DC operating point of a netlist: volts at every node, amps through every element.

Modified nodal analysis (Ho, Ruehli and Brennan 1975; citation from memory), Newton's method with limited junctions,
and conductances to ground stepped down decade by decade where Newton alone finds nothing. Units are volts, amps,
ohms, siemens, kelvin.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy.linalg.lapack import dgesv

from checks.junction import Draws, Floats, Leds
from checks.netlist import GROUND_SIEMENS, Draw, Led, Netlist, Resistor, Source, ends
from checks.resistance import resistance_matrix, two_terminal_ohms

__all__ = [
    "ROOM_KELVIN",
    "Imbalance",
    "OperatingPoint",
    "residuals",
    "resistance_matrix",
    "solve",
    "two_terminal_ohms",
]

ROOM_KELVIN = 300.15
STEPS_AT_EACH = 50
CLOSE_VOLTS = 1e-7
CLOSE_SHARE = 1e-8
MOST_AMPS = 1e12
"""Not a current but a circuit that asks for none, such as a cell of no resistance across a bare junction."""
# From a shunt that swamps everything to one that the 1 gigohm swamps, then none.
SHUNTS = (*(10.0**-decade for decade in range(1, 12)), 0.0)


@dataclass(frozen=True)
class OperatingPoint:
    """What `solve` found.

    `volts` holds every node of the netlist, `amps` every element (into the plus, anode or first terminal; out of
    the plus of a source). `steps` counts Newton's steps. Unless `converged`, the circuit has no solution, and the
    numbers, though finite, mean nothing.
    """

    volts: dict[str, float]
    amps: dict[str, float]
    steps: int
    converged: bool


class Imbalance(NamedTuple):
    """The sum of all currents out of a node, and the largest single one, in amps."""

    amps: float
    largest: float


class _Newton(NamedTuple):
    unknowns: Floats
    steps: int
    converged: bool


class _System:
    """The netlist as matrices: unknowns are the merged nodes' volts, ground left out, then the sources' amps.

    A branch matrix has a row for each unknown and a column for each element, +1 at its first node and −1 at its
    second: its transpose turns node volts into volts across, itself amps into sums at nodes.
    """

    def __init__(self, netlist: Netlist, kelvin: float, ground_siemens: float) -> None:
        self.netlist = netlist
        self.resistors = [one for one in netlist.elements if isinstance(one, Resistor) and not one.is_zero]
        self.sources = [one for one in netlist.elements if isinstance(one, Source)]
        leds = [one for one in netlist.elements if isinstance(one, Led)]
        draws = [one for one in netlist.elements if isinstance(one, Draw)]
        self.curved: list[Led | Draw] = [*leds, *draws]
        self.laws: list[tuple[slice, Leds | Draws]] = []
        if leds:
            self.laws.append((slice(0, len(leds)), Leds(leds, kelvin)))
        if draws:
            self.laws.append((slice(len(leds), len(self.curved)), Draws(draws)))
        own_row = {node: at for at, node in enumerate(dict.fromkeys(netlist.merged.values()))}
        self.row = {node: own_row[stand_in] for node, stand_in in netlist.merged.items()}
        self.nodes = len(own_row) - 1
        self.size = self.nodes + len(self.sources)
        self.straight = self._branches(self.resistors)
        self.siemens = 1.0 / np.array([resistor.ohms for resistor in self.resistors])
        self.across = self._branches(self.curved)
        self.right = np.array([0.0] * self.nodes + [source.volts for source in self.sources])
        self.ground_siemens = ground_siemens
        self.is_node = np.array([1.0] * self.nodes + [0.0] * len(self.sources))
        feed = self._branches(self.sources)
        self.cells = np.zeros((self.size, self.size))
        self.cells[:, self.nodes :] = -feed
        self.cells[self.nodes :] = feed.T
        cells = np.arange(self.nodes, self.size)
        self.cells[cells, cells] = [source.ohms for source in self.sources]
        self.matrix = (self.straight * self.siemens) @ self.straight.T + self.cells

    def _branches(self, elements: Sequence[Resistor | Source | Led | Draw]) -> Floats:
        """Row 0 is ground's, and is cut off."""
        matrix = np.zeros((self.size + 1, len(elements)))
        for column, element in enumerate(elements):
            first, second = ends(element)
            matrix[self.row[first], column] += 1.0
            matrix[self.row[second], column] -= 1.0
        return matrix[1:]

    def curved_amps(self, volts: Floats) -> tuple[Floats, Floats]:
        """Amps and slopes of LEDs and draws at the volts across each."""
        amps, siemens = np.empty_like(volts), np.empty_like(volts)
        for part, law in self.laws:
            amps[part], siemens[part] = law.amps(volts[part])
        return amps, siemens

    def limit(self, volts: Floats, before: Floats) -> Floats:
        """The volts at which the next tangents are taken."""
        limited = np.empty_like(volts)
        for part, law in self.laws:
            limited[part] = law.limit(volts[part], before[part])
        return limited

    def newton(self, start: Floats, tangent_at: Floats, shunt: float) -> _Newton:
        """At most STEPS_AT_EACH steps from `start`, with `shunt` siemens more from each node to ground.

        The first tangents are taken at the volts `tangent_at` across LEDs and draws.

        Each step solves for the change from what is left over at the nodes, summed branch by branch: so rounding
        stays as small as the currents, even on an island that only 1 gigohm ties to ground.
        """
        leak = self.is_node * (self.ground_siemens + shunt)
        linear = self.matrix + np.diag(leak)
        across = self.across
        now = start
        for step in range(1, STEPS_AT_EACH + 1):
            amps, siemens = self.curved_amps(tangent_at)
            curved = amps + siemens * (now @ across - tangent_at)
            wrong, _ = self._left_over(now, curved, leak)
            change = _linear(linear + (across * siemens) @ across.T, -wrong)
            then = now + change
            if not np.isfinite(then).all():
                return _Newton(now, step, False)
            volts = then @ across
            allowed = self.is_node * (CLOSE_VOLTS + CLOSE_SHARE * np.abs(then))
            settled = (np.abs(change) <= allowed)[: self.nodes].all()
            # A tangent serves only where it was taken: neither a limited step nor the first may pass for the last.
            on_tangent = (np.abs(volts - tangent_at) <= allowed @ np.abs(across)).all()
            if settled and on_tangent:
                return _Newton(then, step, self._holds(then, leak))
            now, tangent_at = then, self.limit(volts, tangent_at)
        return _Newton(now, STEPS_AT_EACH, False)

    def _left_over(self, unknowns: Floats, curved: Floats, leak: Floats) -> tuple[Floats, Floats]:
        """What is wrong in each equation, and the resistors' amps."""
        amps = self.siemens * (unknowns @ self.straight)
        held = self.straight @ amps + self.across @ curved + leak * unknowns
        return held + self.cells @ unknowns - self.right, amps

    def _holds(self, unknowns: Floats, leak: Floats) -> bool:
        """Whether the equations hold at all: least squares also answers where there is no solution."""
        curved, _ = self.curved_amps(unknowns @ self.across)
        wrong, amps = self._left_over(unknowns, curved, leak)
        if (np.abs(wrong) <= 1e-9).all():
            return True
        terms = np.abs(self.straight) @ np.abs(amps) + np.abs(self.across) @ np.abs(curved)
        terms += np.abs(self.cells) @ np.abs(unknowns) + np.abs(self.right)
        return bool((np.abs(wrong) <= 1e-9 + 1e-6 * terms).all())


def _linear(matrix: Floats, right: Floats) -> Floats:
    """The solution; where there is none or more than one (cells of 0 ohm in a ring), the least-squares one."""
    if not right.size:
        return right
    _, _, solution, trouble = dgesv(matrix, right)
    if trouble and np.isfinite(matrix).all():
        solution = np.linalg.lstsq(matrix, right, rcond=None)[0]
    return np.asarray(solution, dtype=np.float64)


def solve(
    netlist: Netlist, *, kelvin: float = ROOM_KELVIN, extra_ground_siemens: float = GROUND_SIEMENS
) -> OperatingPoint:
    """Find the DC operating point of `netlist` at the junction temperature `kelvin`.

    Each node, those joined by zero ohms counted as one, has `extra_ground_siemens` to ground. Never raises on a
    circuit, never returns a NaN, and takes a bounded number of steps: see `OperatingPoint.converged`.

    >>> from checks.netlist import Resistor, Source
    >>> point = solve(Netlist((Source("B1", "p", "n", 12.0, 0.1), Resistor("R1", "p", "n", 10.0))))
    >>> round(point.amps["B1"], 3), round(point.volts["p"], 2)
    (1.188, 11.88)
    """
    with np.errstate(all="ignore"):
        system = _System(netlist, kelvin, extra_ground_siemens)
        start = np.zeros(system.size)
        first = np.concatenate([np.empty(0), *(law.first for _, law in system.laws)])
        found = system.newton(start, first, 0.0)
        if system.curved and not found.converged:
            found = _stepped(system, start, found.steps)
        return _point(system, found)


def _stepped(system: _System, start: Floats, steps: int) -> _Newton:
    """Newton from one shunt to the next smaller, each from where the last one ended."""
    found = _Newton(start, 0, False)
    for shunt in SHUNTS:
        found = system.newton(found.unknowns, found.unknowns @ system.across, shunt)
        steps += found.steps
    return found._replace(steps=steps)


def _point(system: _System, found: _Newton) -> OperatingPoint:
    by_row = [0.0, *found.unknowns.tolist()]
    volts = {node: by_row[row] for node, row in system.row.items()}
    amps = {one.name: by_row[at] for at, one in enumerate(system.sources, start=1 + system.nodes)}
    curved, _ = system.curved_amps(found.unknowns @ system.across)
    amps.update(zip((one.name for one in system.curved), curved.tolist(), strict=True))
    for resistor in system.resistors:
        amps[resistor.name] = (volts[resistor.a] - volts[resistor.b]) / resistor.ohms
    sane = all(abs(flow) < MOST_AMPS for flow in amps.values())
    if not sane:
        amps = {name: flow if abs(flow) < MOST_AMPS else 0.0 for name, flow in amps.items()}
    amps.update(_zero_ohm_amps(system.netlist, volts, amps, system.ground_siemens))
    return OperatingPoint(volts, amps, found.steps, found.converged and sane)


def _zero_ohm_amps(
    netlist: Netlist, volts: dict[str, float], amps: dict[str, float], ground_siemens: float
) -> dict[str, float]:
    """What the zero-ohm resistors must carry so that each node's currents sum to zero; in a ring, the least."""
    groups: dict[str, list[Resistor]] = {}
    for one in netlist.elements:
        if isinstance(one, Resistor) and one.is_zero:
            groups.setdefault(netlist.merged[one.a], []).append(one)
    if not groups:
        return {}
    rest = _flows(netlist, volts, amps, ground_siemens)
    found: dict[str, float] = {}
    for group in groups.values():
        place = {node: at for at, node in enumerate(dict.fromkeys(node for one in group for node in ends(one)))}
        carried = np.zeros((len(place), len(group)))
        for column, resistor in enumerate(group):
            carried[place[resistor.a], column] += 1.0
            carried[place[resistor.b], column] -= 1.0
        missing = np.array([-math.fsum(rest[node]) for node in place])
        through = np.linalg.lstsq(carried, missing, rcond=None)[0]
        found.update(zip((one.name for one in group), through.tolist(), strict=True))
    return found


def _flows(
    netlist: Netlist, volts: dict[str, float], amps: dict[str, float], ground_siemens: float
) -> dict[str, list[float]]:
    """Node → its currents outward; merged nodes leak to ground from the one that stands for them."""
    flows: dict[str, list[float]] = {node: [] for node in netlist.nodes}
    for element in netlist.elements:
        first, second = ends(element)
        if first != second and element.name in amps:
            flow = amps[element.name]
            outward = -flow if isinstance(element, Source) else flow
            flows[first].append(outward)
            flows[second].append(-outward)
    for node in dict.fromkeys(netlist.merged.values()):
        flows[node].append(volts[node] * ground_siemens)
        flows[netlist.zero_volts].append(-volts[node] * ground_siemens)
    return flows


def residuals(
    netlist: Netlist, point: OperatingPoint, *, extra_ground_siemens: float = GROUND_SIEMENS
) -> dict[str, Imbalance]:
    """Kirchhoff's current law at every node, from the amps of `point`: node → what is left over, and the largest."""
    flows = _flows(netlist, point.volts, point.amps, extra_ground_siemens)
    return {node: Imbalance(math.fsum(out), max(map(abs, out), default=0.0)) for node, out in flows.items()}
