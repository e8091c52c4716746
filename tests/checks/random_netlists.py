"""Netlists made at random from a seed: sewn circuits such as a class makes, and hostile ones that nobody would."""

import random

from checks.netlist import Draw, Element, Led, Netlist, Resistor, Source

# The fits of the design's check values: (saturation amps, ideality, ohms) of a red, a yellow and a white light.
LIGHTS = ((1.07e-19, 1.848, 5.0), (1.32e-20, 1.848, 5.0), (4.62e-16, 3.696, 10.0))
CELLS = ((3.0, 15.0), (2.7, 30.0), (3.0, 2.0), (4.5, 0.3))


def sewn(seed: int, *, nodes: int = 40, lights: int = 6) -> Netlist:
    """A cell, two trees of thread with some loops, lights and perhaps a controller across, perhaps a short."""
    rng = random.Random(seed)
    volts, ohms = rng.choice(CELLS)
    elements: list[Element] = [Source("B1", "p0", "n0", volts, ohms)]
    half = nodes // 2
    for side in "pn":
        for at in range(1, half):
            stretch = rng.uniform(0.3, 12.0) if rng.random() < 0.9 else 0.0
            elements.append(Resistor(f"{side}t{at}", f"{side}{rng.randrange(at)}", f"{side}{at}", stretch))
        for at in range(rng.randrange(3)):
            a, b = rng.sample(range(half), 2)
            elements.append(Resistor(f"{side}loop{at}", f"{side}{a}", f"{side}{b}", rng.uniform(0.3, 5.0)))
    for at in range(lights):
        ends = [f"p{rng.randrange(half)}", f"n{rng.randrange(half)}"]
        if rng.random() < 0.15:
            ends.reverse()
        if rng.random() < 0.2:
            middle = f"m{at}"
            elements.append(Resistor(f"R{at}", ends[0], middle, rng.choice((0.0, 47.0, 220.0))))
            ends[0] = middle
        saturation, ideality, series = rng.choice(LIGHTS)
        series = 0.0 if rng.random() < 0.1 else series
        elements.append(Led(f"L{at}", ends[0], ends[1], saturation, ideality, series))
    if rng.random() < 0.4:
        elements.append(Draw("M1", f"p{half - 1}", f"n{half - 1}", rng.uniform(0.001, 0.02), 1.8))
    if rng.random() < 0.2:
        elements.append(Resistor("short", f"p{rng.randrange(half)}", f"n{rng.randrange(half)}", 0.3))
    if rng.random() < 0.2:
        elements.append(Resistor("island", "i0", "i1", 3.0))
    return Netlist(tuple(elements), "n0")


def hostile(seed: int) -> Netlist:
    """Any elements between any few nodes: zero ohm, islands, lights in a ring, shorted cells, 1e-9 to 1e9 ohm."""
    rng = random.Random(seed)
    nodes = [f"x{at}" for at in range(rng.randint(1, 12))]

    def ohms() -> float:
        return 0.0 if rng.random() < 0.15 else 10.0 ** rng.uniform(-9.0, 9.0)

    elements: list[Element] = []
    for at in range(rng.randint(1, 24)):
        first, second = rng.choice(nodes), rng.choice(nodes)
        kind = rng.random()
        if kind < 0.5:
            elements.append(Resistor(f"R{at}", first, second, ohms()))
        elif kind < 0.8:
            saturation, ideality, series = rng.choice((*LIGHTS, (1e-14, 1.0, 0.0), (1e-9, 2.0, 1e-6)))
            series = rng.choice((0.0, series, ohms()))
            elements.append(Led(f"L{at}", first, second, saturation, ideality, series))
        elif kind < 0.92:
            elements.append(Source(f"B{at}", first, second, rng.choice((0.0, 1.5, 3.0, 9.0)), ohms()))
        else:
            elements.append(Draw(f"M{at}", first, second, rng.uniform(0.0, 0.1), rng.choice((0.01, 1.8, 5.0))))
    return Netlist(tuple(elements))
