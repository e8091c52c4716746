"""ngspice, a general-purpose circuit simulator (a Debian package), run as a process on our netlists.

What makes the two comparable to a microvolt:
- ngspice states its own k and q (version 39 holds CODATA 2014, whose k/q is 3.4e-7 below that of SI 2019): so our
  solver is given `same_kelvin`, at which its kT/q is ngspice's.
- saturation currents are taken at the circuit's own temperature (`tnom` = `temp`);
- its own conductance beside each junction (`gmin`) is made negligible, and our 1 gigohm from each node to ground
  is written out as a resistor; what counts as one node in our netlist is one node in its deck.
"""

import re
import subprocess
import tempfile
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from checks.junction import BOLTZMANN, ELEMENTARY_CHARGE
from checks.netlist import GROUND_SIEMENS, Draw, Led, Netlist, Resistor, Source

__all__ = ["deck", "operating_points", "run", "same_kelvin", "write_decks"]

ZERO_CELSIUS_KELVIN = 273.15
OPTIONS = "gmin=1e-20 reltol=1e-9 vntol=1e-10 abstol=1e-15 itl1=500"


@cache
def _volts_per_kelvin() -> float:
    """k/q of the ngspice that is installed."""
    with tempfile.TemporaryDirectory() as folder:
        control = Path(folder) / "constants.cir"
        control.write_text("* constants\n.control\nset numdgt=16\nprint boltz echarge\n.endc\n.end\n")
        found = dict(re.findall(r"^(boltz|echarge) = (\S+)$", run(control), re.M))
    return float(found["boltz"]) / float(found["echarge"])


def same_kelvin(kelvin: float) -> float:
    """The kelvin at which our kT/q is what ngspice takes for `kelvin`."""
    return kelvin * _volts_per_kelvin() / (BOLTZMANN / ELEMENTARY_CHARGE)


def _numbers(netlist: Netlist) -> dict[str, int]:
    number = {node: at for at, node in enumerate(dict.fromkeys(netlist.merged.values()))}
    return {node: number[stand_in] for node, stand_in in netlist.merged.items()}


def deck(netlist: Netlist, kelvin: float, *, options: str = OPTIONS) -> str:
    """The netlist as a deck; nodes are numbered in our order, ground 0."""
    number = _numbers(netlist)
    lines = ["* a netlist of ours"]
    for at, one in enumerate(netlist.elements):
        match one:
            case Resistor() if not one.is_zero:
                lines.append(f"R{at} {number[one.a]} {number[one.b]} {one.ohms!r}")
            case Source():
                lines.append(f"V{at} s{at} {number[one.minus]} {one.volts!r}")
                lines.append(f"RV{at} s{at} {number[one.plus]} {one.ohms!r}")
            case Led():
                lines.append(f"D{at} {number[one.anode]} {number[one.cathode]} m{at}")
                lines.append(f".model m{at} d(is={one.saturation_amps!r} n={one.ideality!r} rs={one.ohms!r})")
            case Draw():
                across = f"v({number[one.plus]},{number[one.minus]})/{one.min_volts!r}"
                lines.append(f"B{at} {number[one.plus]} {number[one.minus]} i={one.amps!r}*min(max({across},0),1)")
            case _:
                pass
    leaks = sorted(set(number.values()) - {0})
    lines += [f"RG{node} {node} 0 {1.0 / GROUND_SIEMENS!r}" for node in leaks]
    celsius = kelvin - ZERO_CELSIUS_KELVIN
    lines += [f".options temp={celsius!r} tnom={celsius!r} {options}", ".end", ""]
    return "\n".join(lines)


def write_decks(folder: Path, netlists: Sequence[Netlist], kelvin: float) -> Path:
    """Write a deck for each netlist and one control file that solves them all in turn; give the latter's path."""
    control = ["* all decks in turn", ".control", "set numdgt=16"]
    for at, netlist in enumerate(netlists):
        path = folder / f"deck{at}.cir"
        path.write_text(deck(netlist, kelvin))
        control += [f"source {path}", "op", f"echo deck {at}", "print all", "destroy all", "remcirc"]
    control += [".endc", ".end", ""]
    path = folder / "control.cir"
    path.write_text("\n".join(control))
    return path


def run(control: Path) -> str:
    """One ngspice process on a control file; its output."""
    done = subprocess.run(
        ["ngspice", "-n", "-b", control.name],
        cwd=control.parent,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    return done.stdout


def operating_points(netlists: Sequence[Netlist], kelvin: float) -> list[dict[str, float]]:
    """Volts at every node of each netlist, by one ngspice process."""
    with tempfile.TemporaryDirectory() as folder:
        output = run(write_decks(Path(folder), netlists, kelvin))
    answers = re.split(r"^deck \d+$", output, flags=re.MULTILINE)[1:]
    if len(answers) != len(netlists):
        raise RuntimeError(f"ngspice answered {len(answers)} of {len(netlists)} decks:\n{output[-2000:]}")
    return [_volts(netlist, answer) for netlist, answer in zip(netlists, answers, strict=True)]


def _volts(netlist: Netlist, answer: str) -> dict[str, float]:
    found = {int(node): float(volts) for node, volts in re.findall(r"^V?\(?(\d+)\)? = (\S+)$", answer, re.M | re.I)}
    found[0] = 0.0
    return {node: found[number] for node, number in _numbers(netlist).items()}
