"""A netlist of general elements, independent of any layout; nodes are plain strings.

Elements are values: ohms, volts and amps, never parts. An LED or a cell knows its plus side, so the sign of a
current has one meaning throughout: into the first terminal of an element, but out of the plus of a source.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from networkx.utils import UnionFind

__all__ = ["GROUND_SIEMENS", "ZERO_OHMS", "Draw", "Element", "Led", "Netlist", "Resistor", "Source", "ends"]

GROUND_SIEMENS = 1e-9
"""Every node has this conductance (1 gigohm) to ground, so that no node is undefined."""

ZERO_OHMS = 1e-3
"""A resistor below this is no resistance at all: its two nodes are one."""


def _require_finite(name: str, *, positive: bool = False, **values: float) -> None:
    for label, value in values.items():
        if not math.isfinite(value) or value < 0 or (positive and value == 0):
            allowed = "above zero" if positive else "zero or more"
            raise ValueError(f"{name}: {label} is {value!r}; it must be a finite number, {allowed}.")


@dataclass(frozen=True, slots=True)
class Resistor:
    """`ohms` between nodes `a` and `b`; thread, a contact, a sensor, a pin; 0 for a closed switch."""

    name: str
    a: str
    b: str
    ohms: float

    def __post_init__(self) -> None:
        _require_finite(self.name, ohms=self.ohms)

    @property
    def is_zero(self) -> bool:
        """Whether it makes its two nodes one."""
        return self.ohms < ZERO_OHMS


@dataclass(frozen=True, slots=True)
class Source:
    """A cell: `volts` behind an internal resistance of `ohms`, which may be 0. Its current counts out of plus."""

    name: str
    plus: str
    minus: str
    volts: float
    ohms: float

    def __post_init__(self) -> None:
        _require_finite(self.name, volts=self.volts, ohms=self.ohms)


@dataclass(frozen=True, slots=True)
class Led:
    """A Shockley junction, `saturation_amps` × (exp(volts / (ideality × kT/q)) − 1), in series with `ohms` ≥ 0."""

    name: str
    anode: str
    cathode: str
    saturation_amps: float
    ideality: float
    ohms: float

    def __post_init__(self) -> None:
        _require_finite(self.name, ohms=self.ohms)
        _require_finite(self.name, positive=True, saturation_amps=self.saturation_amps, ideality=self.ideality)


@dataclass(frozen=True, slots=True)
class Draw:
    """A supply current: `amps` from `min_volts` upward, falling linearly to zero at 0 V, none below 0 V."""

    name: str
    plus: str
    minus: str
    amps: float
    min_volts: float

    def __post_init__(self) -> None:
        _require_finite(self.name, amps=self.amps)
        _require_finite(self.name, positive=True, min_volts=self.min_volts)


Element = Resistor | Source | Led | Draw


def ends(element: Element) -> tuple[str, str]:
    """The two nodes of an element, in the order in which its class names them."""
    if isinstance(element, Resistor):
        return element.a, element.b
    if isinstance(element, Led):
        return element.anode, element.cathode
    return element.plus, element.minus


@dataclass(frozen=True)
class Netlist:
    """Elements and the node that counts as 0 V.

    Without a `ground` it is the minus of the first source, else the first node of the first element.
    Raises ValueError if two elements have one name.

    >>> loop = Netlist((Source("B1", "p", "n", 3.0, 15.0), Resistor("R1", "p", "n", 100.0)))
    >>> loop.zero_volts, loop.nodes
    ('n', ('n', 'p'))
    """

    elements: tuple[Element, ...]
    ground: str | None = None

    def __post_init__(self) -> None:
        names: set[str] = set()
        for element in self.elements:
            if element.name in names:
                raise ValueError(f"{element.name}: two elements have this name; each needs its own.")
            names.add(element.name)

    @cached_property
    def zero_volts(self) -> str:
        """The node at 0 V; empty for a netlist of nothing."""
        if self.ground is not None:
            return self.ground
        for element in self.elements:
            if isinstance(element, Source):
                return element.minus
        return ends(self.elements[0])[0] if self.elements else ""

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        """All nodes, ground first, then in the order in which the elements name them."""
        found = {self.zero_volts: None}
        for element in self.elements:
            found.update(dict.fromkeys(ends(element)))
        return tuple(found)

    @cached_property
    def merged(self) -> dict[str, str]:
        """Node → the node that stands for all those that zero-ohm resistors make one with it.

        The one that stands for the others is the first of them in `nodes`, so ground stands for itself.
        """
        joined: UnionFind[str] = UnionFind()
        for first, second in self.zero_ohm_pairs():
            joined.union(first, second)
        if not joined.parents:
            return {node: node for node in self.nodes}
        stands_for: dict[str, str] = {}
        return {node: stands_for.setdefault(joined[node], node) for node in self.nodes}

    def zero_ohm_pairs(self) -> Iterator[tuple[str, str]]:
        """The pairs of nodes that a zero-ohm resistor joins."""
        for element in self.elements:
            if isinstance(element, Resistor) and element.is_zero:
                yield element.a, element.b
