"""The laws of the elements whose current is no straight line: LEDs and supply draws, many at a time.

Each law takes the volts across k elements and gives their amps and siemens (the slope), both of shape (k,).
`first` are the volts of the first tangents, and `limit` keeps a Newton step where a tangent still says something.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.special import wrightomega

from checks.netlist import Draw, Led

__all__ = ["BOLTZMANN", "ELEMENTARY_CHARGE", "Draws", "Floats", "Leds"]

Floats = NDArray[np.float64]

BOLTZMANN = 1.380649e-23
"""J/K, exact; source: the SI, 9th edition (2019)."""

ELEMENTARY_CHARGE = 1.602176634e-19
"""C, exact; source: the SI, 9th edition (2019)."""

FIRST_AMPS = 1e-3
"""Where an LED's first tangent is taken: a lit light's is nearer to most answers than a dark one's."""


class Leds:
    """Shockley junctions, each with its series resistance.

    With a series resistance the current at given terminal volts has a closed form, by the Wright omega function
    (Lawrence, Corless and Jeffrey 2012), so the point between junction and resistance is no unknown of the circuit,
    and the slope never exceeds 1/ohms. A bare junction (0 ohm) is the plain exponential, and is limited as in
    SPICE2 (Nagel 1975; citation from memory).
    """

    def __init__(self, leds: Sequence[Led], kelvin: float) -> None:
        thermal = BOLTZMANN * kelvin / ELEMENTARY_CHARGE
        self.saturation = np.array([led.saturation_amps for led in leds])
        self.scale = np.array([led.ideality for led in leds]) * thermal
        ohms = np.array([led.ohms for led in leds])
        self.bare = ohms == 0.0
        self.any_bare = bool(self.bare.any())
        # A bare junction gets a stand-in resistance here; its own law overwrites what comes of it.
        self.ohms = np.where(self.bare, 1.0, ohms)
        drop = self.saturation * self.ohms
        self.offset = np.log(drop) - np.log(self.scale) + drop / self.scale
        self.first = self.scale * np.log(FIRST_AMPS / self.saturation) + np.where(self.bare, 0.0, ohms) * FIRST_AMPS
        self.critical = self.scale * (np.log(self.scale / np.sqrt(2.0)) - np.log(self.saturation))

    def amps(self, volts: Floats) -> tuple[Floats, Floats]:
        """Amps from anode to cathode, and their slope in siemens, at terminal `volts`."""
        omega = wrightomega(volts / self.scale + self.offset)
        amps = self.scale / self.ohms * omega - self.saturation
        siemens = omega / (self.ohms * (1.0 + omega))
        if self.any_bare:
            # 700 keeps the exponential finite; the limit keeps Newton's steps far below it.
            power = np.exp(np.minimum(volts / self.scale, 700.0))
            amps = np.where(self.bare, self.saturation * (power - 1.0), amps)
            siemens = np.where(self.bare, self.saturation * power / self.scale, siemens)
        return amps, siemens

    def limit(self, volts: Floats, before: Floats) -> Floats:
        """`volts`, but for a bare junction no further from the volts `before` than its tangent is worth."""
        if not self.any_bare:
            return volts
        stretch = (volts - before) / self.scale
        up = before + self.scale * np.log(np.maximum(1.0 + stretch, 1e-300))
        from_off = self.scale * np.log(np.maximum(volts / self.scale, 1e-300))
        from_on = np.where(stretch > -1.0, up, self.critical)
        limited = np.where(before > 0.0, from_on, from_off)
        too_far = self.bare & (volts > self.critical) & (np.abs(stretch) > 2.0)
        return np.where(too_far, limited, volts)


class Draws:
    """Supply currents: flat from `min_volts` upward, a straight slope below it, none below 0 V."""

    def __init__(self, draws: Sequence[Draw]) -> None:
        self.full = np.array([draw.amps for draw in draws])
        self.knee = np.array([draw.min_volts for draw in draws])
        self.first = self.knee

    def amps(self, volts: Floats) -> tuple[Floats, Floats]:
        """Amps from plus to minus, and their slope in siemens, at `volts` across."""
        amps = self.full * np.clip(volts / self.knee, 0.0, 1.0)
        siemens = np.where((volts >= 0.0) & (volts < self.knee), self.full / self.knee, 0.0)
        return amps, siemens

    def limit(self, volts: Floats, before: Floats) -> Floats:
        """`volts`, but never from one flat end of the law to the other: there Newton would go to and fro."""
        across = ((before >= self.knee) & (volts < 0.0)) | ((before < 0.0) & (volts >= self.knee))
        return np.where(across, self.knee / 2.0, volts)
