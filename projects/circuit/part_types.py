"""Part types: a kind of part, with its body, terminals, electrical model and price."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from projects.circuit.base import Coordinate, Name, NotNegative, Point, Positive, Text, Value

__all__ = [
    "Ability",
    "Body",
    "Cell",
    "Circle",
    "Controller",
    "Led",
    "Level",
    "Link",
    "Load",
    "Model",
    "Pad",
    "PartType",
    "Polygon",
    "Position",
    "Rectangle",
    "Resistor",
    "Role",
    "Sensor",
    "Switch",
    "Terminal",
    "UsedCell",
]

Role = Literal["positive", "negative", "pin"]
Ability = Literal["digital", "pwm", "analog", "touch"]
Size = Annotated[float, Field(gt=0, le=10_000)]
Share = Annotated[float, Field(gt=0, lt=1)]
Label = Annotated[str, StringConstraints(max_length=12, pattern=r"^[^\x00-\x1f\x7f]*$")]
Colour = Annotated[str, StringConstraints(pattern=r"^([a-z]{3,20}|#[0-9a-fA-F]{6})$")]


class Circle(Value):
    """A round body, centred on the part's origin; `diameter` in mm."""

    shape: Literal["circle"] = "circle"
    diameter: Size


class Rectangle(Value):
    """A rectangular body, centred on the part's origin; mm."""

    shape: Literal["rectangle"] = "rectangle"
    width: Size
    height: Size


class Polygon(Value):
    """A body of any simple outline; points in mm from the part's origin."""

    shape: Literal["polygon"] = "polygon"
    points: tuple[Point, ...] = Field(min_length=3, max_length=200, fail_fast=True)


Body = Annotated[Circle | Rectangle | Polygon, Field(discriminator="shape")]


class Terminal(Value):
    """A place on a part where thread is anchored; x, y in mm from the part's origin.

    `label` is what is printed on the part; `can` names what a controller pin is able to do.
    """

    name: Name
    label: Label = ""
    x: Coordinate
    y: Coordinate
    role: Role | None = None
    can: tuple[Ability, ...] = Field(default=(), max_length=4, fail_fast=True)


class UsedCell(Value):
    """What a used cell still gives: volts and inner ohms."""

    volts: Positive
    ohms: Positive


class Cell(Value):
    """A coin battery or pack: open volts, inner ohms, mAh down to `end_volts`."""

    kind: Literal["cell"] = "cell"
    volts: Positive
    ohms: Positive
    mah: Positive
    end_volts: Positive
    used: UsedCell | None = None

    def aged(self) -> UsedCell:
        """The used cell: as given, else 0.9 × the volts and 2 × the ohms."""
        # Constructed, not validated: twice the most ohms that a file may give is still an answer.
        return self.used or UsedCell.model_construct(volts=0.9 * self.volts, ohms=2 * self.ohms)


class Led(Value):
    """A light: Shockley diode with series `ohms`; `max_amps` is what it bears for long."""

    kind: Literal["led"] = "led"
    saturation_amps: Positive
    ideality: Positive
    ohms: Positive
    max_amps: Positive


class Resistor(Value):
    """A resistor, ohms."""

    kind: Literal["resistor"] = "resistor"
    ohms: Positive


class Position(Value):
    """One position of a switch and the pairs of terminals that it joins."""

    name: Name
    joins: tuple[tuple[Name, Name], ...] = Field(default=(), max_length=64, fail_fast=True)


class Switch(Value):
    """A switch; `momentary` means that it springs back to its first position."""

    kind: Literal["switch"] = "switch"
    positions: tuple[Position, ...] = Field(min_length=1, max_length=16, fail_fast=True)
    momentary: bool = False


class Load(Value):
    """Something that draws as a resistor does and needs `min_volts` to work (buzzer, motor)."""

    kind: Literal["load"] = "load"
    ohms: Positive
    min_volts: Positive


class Level(Value):
    """One level of what a sensor senses, and its ohms there."""

    name: Name
    ohms: Positive


class Sensor(Value):
    """A resistive sensor with named levels."""

    kind: Literal["sensor"] = "sensor"
    levels: tuple[Level, ...] = Field(min_length=1, max_length=16, fail_fast=True)


class Controller(Value):
    """A controller board: supply amps and volts, pin source ohms and limits."""

    kind: Literal["controller"] = "controller"
    amps: Positive
    min_volts: Positive
    max_volts: Positive
    pin_ohms: Positive
    pin_max_amps: Positive
    total_max_amps: Positive


class Pad(Value):
    """A touch pad: one terminal that a finger touches."""

    kind: Literal["pad"] = "pad"


class Link(Value):
    """All terminals joined: a seam crossing from piece to piece."""

    kind: Literal["link"] = "link"


Model = Annotated[Cell | Led | Resistor | Switch | Load | Sensor | Controller | Pad | Link, Field(discriminator="kind")]


class PartType(Value):
    """A kind of part in the catalogue.

    `joined` names groups of terminals that are one node inside the part; `no_sew` means that no
    thread may pass beneath the body; `price` is for one `pack`; `loss` the share lost or broken.
    """

    type: Name
    name: Text
    body: Body
    terminals: tuple[Terminal, ...] = Field(min_length=1, max_length=64, fail_fast=True)
    terminal_radius: Size = 2.0
    joined: tuple[tuple[Name, ...], ...] = Field(default=(), max_length=64, fail_fast=True)
    no_sew: bool = False
    colour: Colour = "black"
    model: Model
    price: NotNegative = 0.0
    pack: int = Field(default=1, ge=1, le=100_000)
    loss: Share = 0.05

    def terminal(self, name: str) -> Terminal:
        """The terminal of that name; KeyError where there is none."""
        for terminal in self.terminals:
            if terminal.name == name:
                return terminal
        raise KeyError(name)

    def groups(self) -> tuple[tuple[str, ...], ...]:
        """Terminal names by inner node, in the order of `terminals`; a lone terminal is a group of one.

        A `link` is one group: all its terminals.
        """
        if isinstance(self.model, Link):
            return (tuple(terminal.name for terminal in self.terminals),)
        group = {terminal.name: {terminal.name} for terminal in self.terminals}
        for names in self.joined:
            merged = set().union(*(group[name] for name in names))
            for name in merged:
                group[name] = merged
        groups: list[tuple[str, ...]] = []
        for terminal in self.terminals:
            members = tuple(t.name for t in self.terminals if t.name in group[terminal.name])
            if members not in groups:
                groups.append(members)
        return tuple(groups)

    def with_role(self, role: Role) -> tuple[str, ...]:
        """Names of the terminals that have that role."""
        return tuple(terminal.name for terminal in self.terminals if terminal.role == role)
