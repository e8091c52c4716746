"""The operating point of a sewn circuit of 44 unknowns and 8 LEDs, against an ngspice process on the same.

Run by itself with `python -m tests.bench.operating_point`.
"""

import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from checks.netlist import Draw, Element, Led, Netlist, Resistor, Source
from checks.operating_point import ROOM_KELVIN, solve
from tests.bench.measure import Measure
from tests.published.ngspice import operating_points, run, same_kelvin, write_decks

__all__ = ["eight_lights", "measure"]

TIMES_FASTER = 8.0
VOLTS_OFF = 1e-6


def eight_lights() -> Netlist:
    """A coin cell, a controller and eight white lights on their own pins; 43 nodes and the current of the cell."""
    elements: list[Element] = [
        Source("B1", "cell+", "cell-", 3.0, 15.0),
        Resistor("plus", "cell+", "M1+", 4.5),
        Resistor("minus", "cell-", "M1-", 3.8),
        Draw("M1", "M1+", "M1-", 0.004, 1.8),
    ]
    for at in range(8):
        elements += [
            Resistor(f"pin{at}", "M1+", f"pin{at}", 85.0),
            Resistor(f"out{at}", f"pin{at}", f"bend{at}", 2.0 + 0.3 * at),
            Resistor(f"on{at}", f"bend{at}", f"anode{at}", 1.5 + 0.2 * at),
            Led(f"L{at}", f"anode{at}", f"cathode{at}", 4.62e-16, 3.696, 10.0),
            Resistor(f"back{at}", f"cathode{at}", f"rail{at}", 1.1 + 0.1 * at),
            Resistor(f"rail{at}", f"rail{at}", f"rail{at - 1}" if at else "M1-", 2.2),
        ]
    elements.append(Resistor("ring", "rail7", "cell-", 6.0))
    return Netlist(tuple(elements), "cell-")


def _seconds(work: Callable[[], object], times: int) -> float:
    start = time.perf_counter()
    for _ in range(times):
        work()
    return (time.perf_counter() - start) / times


def measure(*, rounds: int = 15) -> list[Measure]:
    """The two programs take turns, and the median of the ratios counts."""
    ratios = []
    with tempfile.TemporaryDirectory() as folder:
        control = write_decks(Path(folder), [eight_lights()], ROOM_KELVIN)
        for _ in range(rounds):
            theirs = _seconds(lambda: run(control), 1)
            # A netlist anew each time, so that nothing it remembers of itself is saved.
            ours = _seconds(lambda: solve(eight_lights()), 10)
            ratios.append(theirs / ours)
    reference = operating_points([eight_lights()], ROOM_KELVIN)[0]
    point = solve(eight_lights(), kelvin=same_kelvin(ROOM_KELVIN))
    off = max(abs(point.volts[node] - volts) for node, volts in reference.items())
    return [
        Measure(
            "operating point, 8 lights: an ngspice process takes", statistics.median(ratios), TIMES_FASTER, "×", True
        ),
        Measure("operating point, 8 lights: furthest node from ngspice", off, VOLTS_OFF, "V"),
    ]


if __name__ == "__main__":
    for figure in measure():
        print(f"{figure.what}: {figure.value:.3g} {figure.unit} (budget {figure.budget:g})")
