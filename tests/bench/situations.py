"""All situations of a working circuit of 15 parts: how long they take, and how much faster than solved one by one.

Run by itself with `python -m tests.bench.situations`.
"""

from __future__ import annotations

from checks.engine import check
from checks.operating_point import solve
from checks.setting import MOST_SITUATIONS
from checks.sewn import SewnGraph, sew
from checks.situations import Situations
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from tests.bench.measure import Measure, median_seconds
from tests.generated.draft import Draft

__all__ = ["measure", "rows_of_lights"]


def rows_of_lights() -> Document:
    """A cell, a board, two switches, two sensors and nine lights between two rails: 64 situations."""
    draft = Draft("Rows of lights")
    draft.part("B1", "coin-holder", 0j, 90.0)
    draft.line("plus", "B1.p1", "B1.p2", -20j)
    draft.line("minus", "B1.n1", "B1.n2", 20j)
    ends = {"plus": "B1.p1", "minus": "B1.n1"}
    columns = [("S1", "slide-switch"), ("S2", "slide-switch"), ("R1", "light-sensor"), ("R2", "light-sensor")]
    for number in range(8):
        x = 80.0 + 40 * number
        light = f"L{number + 1}"
        draft.part(light, "light-red", complex(x, 20), 90.0)
        top = f"{light}.plus"
        if number < len(columns):
            ref, kind = columns[number]
            draft.part(ref, kind, complex(x, -20), 90.0)
            draft.line(f"middle-{ref}", f"{ref}.b", top)
            top = f"{ref}.a"
        for net, y, terminal in (("plus", -60, top), ("minus", 60, f"{light}.minus")):
            _on_rail(draft, ends, net, complex(x, y), terminal)
    draft.part("M1", "controller-5", 460 + 0j)
    draft.part("L9", "light-red", 520 + 40j, 90.0)
    _on_rail(draft, ends, "plus", 444 - 60j, "M1.plus")
    _on_rail(draft, ends, "minus", 444 + 60j, "M1.minus")
    draft.line("pin", "M1.a2", "L9.plus", 520 + 0j)
    _on_rail(draft, ends, "minus", 520 + 60j, "L9.minus")
    draft.pins = {"M1.a2": "output"}
    draft.outlines = {"front": [-80 - 100j, 600 - 100j, 600 + 100j, -80 + 100j]}
    return draft.document()


def _on_rail(draft: Draft, ends: dict[str, str], net: str, at: complex, terminal: str) -> None:
    join = draft.join(at)
    draft.line(net, ends[net], join, *([complex(24, at.imag)] if ends[net].startswith("B1") else []))
    draft.line(net, join, terminal)
    ends[net] = join


def _one_by_one(sewn: SewnGraph) -> None:
    situations = Situations(sewn)
    for setting in situations.settings:
        solve(situations.wiring.netlist(setting))


def measure() -> list[Measure]:
    """Milliseconds for all situations and for the whole check with all rules; the gain; how far the two ways differ."""
    document = rows_of_lights()
    sewn = sew(lay_out(document))
    situations = Situations(sewn)
    if (len(situations.settings), situations.all_of_them) != (MOST_SITUATIONS, True):
        raise RuntimeError("The circuit measured should have exactly as many situations as are solved at most.")
    together = median_seconds(lambda: Situations(sewn).solved)
    alone = median_seconds(lambda: _one_by_one(sewn), 3)
    off = max(
        abs(solved.point.volts[node] - volts)
        for solved in situations.solved
        for node, volts in solve(solved.netlist).volts.items()
        if node in solved.point.volts
    )
    return [
        Measure("situations: 64 of 15 parts", 1000 * together, 12.0, "ms"),
        Measure("situations: 64 of 15 parts, one by one takes", alone / together, 5.0, "×", True),
        Measure("situations: furthest from those solved one by one", off, 1e-6, "V"),
        Measure(
            "check: all rules and situations, 15 parts", 1000 * median_seconds(lambda: check(document)), 30.0, "ms"
        ),
    ]


if __name__ == "__main__":
    for figure in measure():
        print(f"{figure.what}: {figure.value:.3g} {figure.unit} (budget {figure.budget:g})")
