"""Sound layouts: each scheme places parts from the catalogue with room, each connection in a channel of its own.

No light shares a way with one of another colour, so that all are lit; every line keeps 6 mm or more to what it must not
touch, before it is drawn a little wavy.
"""

from __future__ import annotations

import cmath
import itertools
import math
import random
from collections.abc import Callable

from projects.circuit.catalogue import catalogue
from tests.generated.draft import Draft, Put

__all__ = ["SCHEMES", "sound"]

CELLS = ("coin-holder", "coin-holder-switch", "aaa-pack")
LIGHTS = ("light-white", "light-red", "light-yellow", "light-green", "light-blue")
SWITCHES = ("slide-switch", "push-button", "tilt-switch", "snap")
RESISTORS = ("resistor-100",)
USES = {"output": "digital", "fade": "pwm", "input-pull-up": "digital", "analog": "analog", "touch": "touch"}
"""What a pin may be used for, and the ability that it needs."""
ON_INPUTS = {
    "input-pull-up": ("push-button", "tilt-switch"),
    "analog": ("light-sensor", "temperature-sensor"),
    "touch": ("touch-pad",),
}
WAVE_MM = 0.4


def sound(seed: int) -> Draft:
    """A sound layout; the same seed gives the same one."""
    rng = random.Random(seed)
    draft = SCHEMES[seed % len(SCHEMES)](rng)
    spacing = rng.choice((3.0, 4.0, 5.0))
    draft.project = {
        "spacing": spacing,
        "contact": rng.choice((1.0, 2.0, 2.5)),
        "thread": {
            "ohms_per_metre": rng.choice((10.0, 20.0, 30.0, 40.0)),
            "strands": rng.choice((1, 2)),
            "take_up": rng.choice((1.0, 1.1, 1.25)),
            "contact_ohms": rng.choice((0.0, 0.5, 1.0)),
            "crossing_ohms": rng.choice((0.0, 0.3)),
        },
    }
    for piece in dict.fromkeys(put.piece for put in draft.puts.values()):
        draft.outlines.setdefault(piece, _around(draft, piece))
    _see_through(draft, rng)
    _wave(draft, rng)
    return draft.moved(rng)


def _around(draft: Draft, piece: str, margin: float = 30.0) -> list[complex]:
    """A rectangle round all that lies on a piece."""
    points = [at for ref, put in draft.puts.items() if put.piece == piece and "." not in ref for at in draft.body(ref)]
    points += [at for name, line in draft.lines.items() if line.piece == piece for at in draft.course(name)]
    left, right = min(p.real for p in points) - margin, max(p.real for p in points) + margin
    top, bottom = min(p.imag for p in points) - margin, max(p.imag for p in points) + margin
    return [complex(left, top), complex(right, top), complex(right, bottom), complex(left, bottom)]


def _see_through(draft: Draft, rng: random.Random) -> None:
    """Put some parts on the inside; half round, those with two terminals on one axis lie as they did."""
    for ref, put in draft.puts.items():
        terminals = catalogue()[draft.types[ref.partition(".")[0]]].terminals
        if "." not in ref and len(terminals) == 2 and rng.random() < 0.2:
            put.inside, put.turn = True, put.turn + 180.0


def _wave(draft: Draft, rng: random.Random) -> None:
    """Bends beside long straight stretches, as a hand draws them."""
    for name, line in draft.lines.items():
        if not line.wave or rng.random() < 0.4:
            continue
        course = draft.course(name)
        bends: list[complex] = []
        for start, end in itertools.pairwise(course):
            way = (end - start) / abs(end - start)
            for number in range(1, int(abs(end - start) // 12)):
                bends.append(start + way * 12 * number + way * 1j * rng.uniform(-WAVE_MM, WAVE_MM))
            bends.append(end)
        line.via = bends[:-1]


def _cell(draft: Draft, rng: random.Random, at: complex, turn: float, kind: str | None = None) -> None:
    """A holder, its terminals of one sign joined round it: straight along its rim or in a bow."""
    draft.part("B1", kind or rng.choice(CELLS), at, turn, piece="front")
    for net, a, b in (("plus", "B1.p1", "B1.p2"), ("minus", "B1.n1", "B1.n2")):
        middle = (draft.spot(a) + draft.spot(b)) / 2
        bow = [middle + (middle - at) / abs(middle - at) * rng.uniform(3.0, 6.0)] if rng.random() < 0.5 else []
        draft.line(net, a, b, *bow, wave=False)


def rails(rng: random.Random) -> Draft:
    """A row of lights between two rails; perhaps switches or a resistor in either line, perhaps a buzzer at the end."""
    draft = Draft("Row of lights")
    _cell(draft, rng, 0j, 90.0)
    ends: dict[str, str] = {}
    nets: dict[str, str] = {}
    reach = {"plus": 30.0, "minus": 30.0}
    in_lines = rng.choice(((), (SWITCHES,), (RESISTORS,), (SWITCHES, SWITCHES))), rng.choice(((), (SWITCHES,)))
    for net, y, kinds_in_line in zip(("plus", "minus"), (-40.0, 40.0), in_lines, strict=True):
        start, via = _rightmost(draft, net), [complex(22, y)]
        nets[net] = net
        for kinds in kinds_in_line:
            reach[net] += 30.0
            ref = f"S{sum(one.startswith('S') for one in draft.types) + 1}"
            draft.part(ref, rng.choice(kinds), complex(reach[net], y))
            draft.line(nets[net], start, f"{ref}.a", *via)
            start, via, nets[net] = f"{ref}.b", [], f"after-{ref}"
        ends[net] = draft.join(complex(reach[net] + 22, y))
        draft.line(nets[net], start, ends[net], *via)
    x, pitch, chained = max(reach.values()) + 40.0, rng.uniform(22, 40), rng.random() < 0.5
    number, colour, buzzer = rng.randint(1, 8), rng.choice(LIGHTS), RESISTORS not in in_lines[0] and rng.random() < 0.2
    for n in range(number):
        ref, here = f"L{n + 1}", x + n * pitch
        draft.part(ref, "buzzer" if buzzer and n == number - 1 else colour, complex(here, 0), 90.0)
        for net, y in (("plus", -40.0), ("minus", 40.0)):
            terminal, corner = f"{ref}.{net}", complex(here, y)
            if chained:
                draft.line(nets[net], ends[net], terminal, *([] if n else [corner]))
                ends[net] = terminal
            else:
                join = draft.join(corner)
                draft.line(nets[net], ends[net], join)
                draft.line(nets[net], join, terminal)
                ends[net] = join
    return draft


def _rightmost(draft: Draft, net: str) -> str:
    return max(draft.connections[net], key=lambda end: draft.spot(end).real)


def small_controller(rng: random.Random) -> Draft:
    """A controller whose three pins each lead to something in a column of its own; a holder below it."""
    draft = Draft("Three columns")
    draft.part("M1", "controller-5", 0j, 270.0)
    _cell(draft, rng, 100j, 90.0)
    pitch, fed = rng.uniform(26, 40), min(("B1.p1", "B1.p2"), key=lambda end: draft.spot(end).real)
    if rng.random() < 0.5:
        draft.part("S1", rng.choice(SWITCHES), complex(-20, 44), 90.0)
        draft.line("plus", fed, "S1.b")
        draft.line("supply", "S1.a", "M1.plus")
    else:
        draft.line("plus", fed, "M1.plus")
    columns = [("a1", -pitch, []), ("a2", 0.0, []), ("a3", pitch, [])]
    rail = _columns(draft, rng, rng.sample(columns, rng.randint(1, 3)), -70.0, -100.0)
    right = pitch + rng.uniform(30, 50)
    gather = draft.join(complex(right, 30))
    if rail:
        draft.line("minus", rail[-1], gather, complex(right, -100))
    draft.line("minus", "M1.minus", gather)
    last = max(("B1.n1", "B1.n2"), key=lambda end: draft.spot(end).real)
    draft.line("minus", gather, last, complex(right, draft.spot(last).imag + 12))
    return draft


def large_controller(rng: random.Random) -> Draft:
    """A board with pins above and beside, up to six columns; a holder beside it."""
    draft = Draft("Board and columns")
    kind = rng.choice(("controller-8", "controller-12"))
    draft.part("M1", kind, 0j)
    _cell(draft, rng, -110 + 0j, 180.0)
    above, beside = (("a1", "a2"), ("a3", "a4")) if kind == "controller-8" else (("a1", "a2", "a3"), ("a4", "a5", "a6"))
    columns: list[Column] = [(pin, (n - (len(above) - 1) / 2) * 45.0, []) for n, pin in enumerate(above)]
    for n, pin in enumerate(beside):
        x = columns[len(above) - 1][1] + 40.0 * (n + 1)
        columns.append((pin, x, [complex(x, draft.spot(f"M1.{pin}").imag)]))
    upper = {net: min(ends, key=lambda end: draft.spot(end).imag) for net, ends in draft.connections.items()}
    lower = max(draft.connections["minus"], key=lambda end: draft.spot(end).imag)
    if rng.random() < 0.5:
        draft.part("S1", rng.choice(SWITCHES), complex(-56, -12))
        draft.line("plus", upper["plus"], "S1.a")
        draft.line("supply", "S1.b", "M1.plus")
    else:
        draft.line("plus", upper["plus"], "M1.plus")
    rail = _columns(draft, rng, rng.sample(columns, rng.randint(1, len(columns))), -80.0, -115.0)
    if rail:
        draft.line("minus", rail[0], upper["minus"], complex(-170, -115))
    draft.line("minus", "M1.minus", lower, complex(-45, 50), complex(-170, 50))
    return draft


Column = tuple[str, float, list[complex]]
"""A pin, where its column lies, and the bends on the way there."""


def _columns(draft: Draft, rng: random.Random, columns: list[Column], y: float, top: float) -> list[str]:
    """Something for each pin that the pin can do, its far end on the rail of minus; gives the rail's ends in order."""
    rail: list[str] = []
    colour = rng.choice(LIGHTS)
    for pin, x, bends in sorted(columns, key=lambda column: column[1]):
        able = catalogue()[draft.types["M1"]].terminal(pin).can
        use = rng.choice([use for use, needs in USES.items() if needs in able])
        kind = colour if use in ("output", "fade") else rng.choice(ON_INPUTS[use])
        ref = f"{'L' if kind in LIGHTS else 'T'}{pin[1:]}"
        draft.pins[f"M1.{pin}"] = use
        if kind == "touch-pad":
            draft.part(ref, kind, complex(x, y - 6))
            draft.line(f"pin-{pin}", f"M1.{pin}", f"{ref}.pad", *bends)
            continue
        draft.part(ref, kind, complex(x, y), 270.0)
        near, far = (one.name for one in catalogue()[kind].terminals)
        draft.line(f"pin-{pin}", f"M1.{pin}", f"{ref}.{near}", *bends)
        join = draft.join(complex(x, top))
        draft.line("minus", join, f"{ref}.{far}")
        if rail:
            draft.line("minus", rail[-1], join)
        rail.append(join)
    return rail


def seam(rng: random.Random) -> Draft:
    """Two pieces: the holder on the back, lights on the front, two seam crossings between."""
    draft = Draft("Front and back")
    _cell(draft, rng, -90 + 0j, 90.0)
    for put in draft.puts.values():
        put.piece = "back"
    for line in draft.lines.values():
        line.piece = "back"
    number, pitch, colour = rng.randint(1, 6), rng.uniform(22, 40), rng.choice(LIGHTS)
    for n in range(number):
        draft.part(f"L{n + 1}", colour, complex(60 + n * pitch, 0), 90.0)
    for net, ref, y in (("plus", "X1", -30.0), ("minus", "X2", 30.0)):
        draft.types[ref] = "seam-crossing"
        draft.puts[f"{ref}.a"] = Put("front", complex(rng.uniform(0, 3), y))
        draft.puts[f"{ref}.b"] = Put("back", complex(rng.uniform(-3, 0), y))
        draft.line(net, _rightmost(draft, net), f"{ref}.b", complex(-60, 1.5 * y), piece="back")
        ends = [f"{ref}.a", *(f"L{n + 1}.{net}" for n in range(number))]
        for start, end in itertools.pairwise(ends):
            draft.line(net, start, end)
    right, height = 60 + number * pitch + 20, 80.0
    draft.outlines = {"front": _box(0, right, height), "back": _box(-190, 0, height)}
    return draft


def _box(left: float, right: float, height: float) -> list[complex]:
    return [complex(left, -height), complex(right, -height), complex(right, height), complex(left, height)]


def ring(rng: random.Random) -> Draft:
    """Lights round a holder, + inward: an inner and an outer arc, both open where minus goes out."""
    draft = Draft("Ring")
    _cell(draft, rng, 0j, 0.0)
    number, colour = rng.randint(3, 10), rng.choice(LIGHTS)
    angles = [40.0 + 280.0 * n / (number - 1) for n in range(number)]
    radius = max(64.0, 8 + 24 * (number - 1) / math.radians(280)) + rng.uniform(0, 20)
    for n, angle in enumerate(angles):
        draft.part(f"L{n + 1}", colour, _polar(radius, angle), angle)
    for n in range(1, number):
        steps = int((angles[n] - angles[n - 1]) // 30) + 1
        between = [angles[n - 1] + (angles[n] - angles[n - 1]) * k / steps for k in range(1, steps)]
        for net, reach in (("plus", radius - 8), ("minus", radius + 8)):
            draft.line(net, f"L{n}.{net}", f"L{n + 1}.{net}", *(_polar(reach, angle) for angle in between))
    opposite = min(range(number), key=lambda n: (abs(angles[n] - 180), n)) + 1
    draft.line("plus", rng.choice(("B1.p1", "B1.p2")), f"L{opposite}.plus")
    upper = min(("B1.n1", "B1.n2"), key=lambda end: draft.spot(end).imag)
    draft.line("minus", upper, f"L{number}.minus", complex(radius + 30, draft.spot(upper).imag))
    return draft


def _polar(radius: float, degrees: float) -> complex:
    return cmath.rect(radius, math.radians(degrees))


def covered(rng: random.Random) -> Draft:
    """A second row of lights below the first: each line of its + crosses the first row's minus over a cover."""
    draft = Draft("Two rows")
    _cell(draft, rng, 0j, 90.0)
    left = min(draft.connections["minus"], key=lambda end: draft.spot(end).real)
    number, pitch, colour = rng.randint(2, 5), rng.uniform(36, 48), rng.choice(LIGHTS)
    starts = {net: _rightmost(draft, net) for net in ("plus", "minus")}
    for n in range(number):
        draft.part(f"L{n + 1}", colour, complex(70 + n * pitch, 0), 90.0)
        for net, y in (("plus", -40.0), ("minus", 40.0)):
            bends = [] if n else [complex(22, y), complex(70, y)]
            draft.line(net, starts[net], f"L{n + 1}.{net}", *bends)
            starts[net] = f"L{n + 1}.{net}"
    end = left
    for n in sorted(rng.sample(range(number - 1), rng.randint(1, number - 1))):
        ref, x = f"E{n + 1}", 70 + (n + 0.5) * pitch
        draft.part(ref, colour, complex(x, 60), 90.0)
        draft.line("plus", f"L{n + 1}.plus", f"{ref}.plus", complex(x, -2))
        draft.covers.append(("front", complex(x, 8), rng.uniform(7, 9)))
        join = draft.join(complex(x, 90))
        draft.line("minus", end, join, *([complex(-40, 90)] if end == left else []))
        draft.line("minus", join, f"{ref}.minus")
        end = join
    return draft


SCHEMES: tuple[Callable[[random.Random], Draft], ...] = (rails, small_controller, large_controller, seam, ring, covered)
