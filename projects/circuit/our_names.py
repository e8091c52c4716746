"""Names that are ours, and so said in the reader's language.

Those of built-in part types, of what every kit takes, and of the unit that stands where none is given. The names of the
catalogue are data; they stand here once more so that translators find them.
"""

from __future__ import annotations

from projects.circuit.text import Message, msg

__all__ = ["OUR_NAMES", "called"]

_ALL = (
    msg("Sew-on holder, 20 mm coin cell"),
    msg("Sew-on holder with its own switch, 20 mm coin cell"),
    msg("Sew-on pack, two AAA cells"),
    msg("Sew-on controller, 5 terminals"),
    msg("Sew-on controller, 8 terminals"),
    msg("Sew-on controller, 12 terminals"),
    msg("Sew-on light, white"),
    msg("Sew-on light, red"),
    msg("Sew-on light, yellow"),
    msg("Sew-on light, green"),
    msg("Sew-on light, blue"),
    msg("Sew-on light, changes colour by itself"),
    msg("Sew-on slide switch"),
    msg("Sew-on push button"),
    msg("Sew-on tilt switch"),
    msg("Metal snap in two halves, 10 mm"),
    msg("Sew-on buzzer"),
    msg("Sew-on vibration motor"),
    msg("Sew-on light sensor"),
    msg("Sew-on temperature sensor"),
    msg("Sew-on resistor, 100 ohms"),
    msg("Sew-on resistor, 220 ohms"),
    msg("Sew-on resistor, 1 kilohm"),
    msg("Sew-on resistor, 10 kilohms"),
    msg("Touch pad of conductive fabric, 25 mm"),
    msg("Seam crossing"),
    msg("conductive thread"),
    msg("coin battery, 20 mm, 3 V"),
    msg("AAA battery, 1.5 V"),
    msg("piece"),
)
OUR_NAMES = frozenset(one.text for one in _ALL)


def called(name: str) -> Message:
    """What a thing is called: a name of ours as a text to translate, any other just as a teacher typed it.

    >>> called("Sew-on buzzer").text, called("Bell {old}").text
    ('Sew-on buzzer', '{name}')
    """
    return Message(name) if name in OUR_NAMES else msg("{name}", name=name)
