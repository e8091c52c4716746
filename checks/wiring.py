"""The netlist of a sewn graph in one setting of its switches, outputs and sensors, with a fresh or a used cell.

Nodes are those of the sewn graph. Elements bear the name of what they stand for: `L1` a part, `M1.a2` a pin,
`S1 0` the first contact that a switch closes; `thread 0`, `joined 0` … number what is sewn.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from checks.direction import PULL_UP_OHMS, closed_contacts, part_nodes, thread_bridges
from checks.netlist import Draw, Element, Led, Netlist, Resistor, Source
from checks.pins import DRIVEN, uses_of
from checks.setting import CellState, Setting
from checks.sewn import SewnGraph
from projects.circuit.part_types import Cell, Controller, Load, PartType, Sensor, Switch
from projects.circuit.part_types import Led as LedModel
from projects.circuit.part_types import Resistor as ResistorModel

__all__ = ["Wiring"]


class Wiring:
    """A sewn graph's netlists: what is sewn and what never changes, made once; the rest by `setting`."""

    def __init__(self, sewn: SewnGraph) -> None:
        self.sewn = sewn
        self._made: dict[tuple[str, str, CellState], tuple[Resistor | Source, ...]] = {}

    def netlist(self, setting: Setting) -> Netlist:
        """The whole circuit in a setting; parts without a place hang on nodes of their own."""
        return Netlist((*self.fixed, *self.changing(setting)))

    @cached_property
    def fixed(self) -> tuple[Element, ...]:
        """Thread, contacts, terminals joined inside parts; lights, what controllers draw, resistors and loads."""
        graph = self.sewn.graph
        thread = (Resistor(f"thread {n}", one.a, one.b, one.ohms) for n, one in enumerate(thread_bridges(self.sewn)))
        pairs = ((a, b) for a, b, edge in graph.edges(data=True) if edge["kind"] == "joined")
        joined = (Resistor(f"joined {n}", a, b, 0.0) for n, (a, b) in enumerate(pairs))
        parts = (element for ref, part_type in self._types() for element in self._curved(ref, part_type))
        return (*thread, *joined, *parts, *self.measured)

    @cached_property
    def measured(self) -> tuple[Resistor, ...]:
        """Resistors and loads, but those of zero ohm: their amps are asked for, though no setting changes them."""
        found = (
            Resistor(ref, *part_nodes(self.sewn.laid_out, ref), part_type.model.ohms)
            for ref, part_type in self._types()
            if isinstance(part_type.model, ResistorModel | Load)
        )
        return tuple(one for one in found if not one.is_zero)

    def changing(self, setting: Setting) -> tuple[Resistor | Source, ...]:
        """The cell, switches, sensors, pins; and resistors of zero ohm."""
        found: list[Resistor | Source] = []
        for what in self._varying:
            key = (what, setting.choices.get(what, ""), setting.cell)
            if key not in self._made:
                # The same few elements come back in many settings.
                self._made[key] = tuple(self._pin(*key[:2]) if "." in what else self._part(*key))
            found += self._made[key]
        return tuple(found)

    @cached_property
    def _varying(self) -> tuple[str, ...]:
        """Parts and controllers' pins whose elements a setting may change, in the order of parts."""
        pins = uses_of(self.sewn.laid_out)
        measured = {one.name for one in self.measured}
        found: list[str] = []
        for ref, part_type in self._types():
            if ref in measured:
                continue
            if isinstance(part_type.model, Controller):
                found += [pin for pin in pins if pin.partition(".")[0] == ref]
            elif not isinstance(part_type.model, LedModel) and len(part_type.groups()) > 1:
                found.append(ref)
        return tuple(found)

    def _types(self) -> Iterator[tuple[str, PartType]]:
        laid_out = self.sewn.laid_out
        return ((part.ref, laid_out.types[part.ref]) for part in laid_out.project.parts)

    def _curved(self, ref: str, part_type: PartType) -> Iterator[Element]:
        match part_type.model:
            case LedModel() as led:
                nodes = part_nodes(self.sewn.laid_out, ref)
                yield Led(ref, *nodes, led.saturation_amps, led.ideality, led.ohms)
            case Controller() as board:
                yield Draw(ref, *part_nodes(self.sewn.laid_out, ref), board.amps, board.min_volts)
            case _:
                pass

    def _part(self, ref: str, choice: str, cell: CellState) -> Iterator[Resistor | Source]:
        part_type = self.sewn.laid_out.types[ref]
        nodes = part_nodes(self.sewn.laid_out, ref)
        match part_type.model:
            case Cell() as model:
                state = model if cell == "fresh" else model.aged()
                yield Source(ref, *nodes, state.volts, state.ohms)
            case Switch():
                for number, pair in enumerate(closed_contacts(part_type, ref, choice)):
                    yield Resistor(f"{ref} {number}", *pair, 0.0)
            case Sensor() as model:
                level = next((one for one in model.levels if one.name == choice), model.levels[0])
                yield Resistor(ref, *nodes, level.ohms)
            case ResistorModel() | Load() as model:
                yield Resistor(ref, *nodes, model.ohms)
            case _:
                pass

    def _pin(self, pin: str, choice: str) -> Iterator[Resistor]:
        """A driven pin on plus or minus, a pull-up on plus; amps count out of the pin."""
        ref = pin.partition(".")[0]
        plus, minus = part_nodes(self.sewn.laid_out, ref)
        model = self.sewn.laid_out.types[ref].model
        use = self.sewn.laid_out.project.pins[pin]
        if isinstance(model, Controller) and use in DRIVEN:
            yield Resistor(pin, plus if choice == "high" else minus, pin, model.pin_ohms)
        elif use == "input-pull-up":
            yield Resistor(pin, plus, pin, PULL_UP_OHMS)
