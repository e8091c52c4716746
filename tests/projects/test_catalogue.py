"""The generic catalogue: complete, sound, marked with its sources, and fit to be sewn."""

import itertools
import json
import math
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import shapely
from scipy.constants import Boltzmann, elementary_charge
from scipy.special import lambertw
from shapely.geometry import LineString, Point, Polygon

from projects.circuit import catalogue as catalogue_module
from projects.circuit.catalogue import catalogue
from projects.circuit.fabric import body_points
from projects.circuit.part_type_rules import check_part_type
from projects.circuit.part_types import Cell, Circle, Controller, Led, Link, Load, PartType, Resistor, Sensor, Switch

FOLDER = Path(catalogue_module.__file__).parent
SOURCES: dict[str, dict[str, str]] = json.loads((FOLDER / "catalogue_sources.json").read_text(encoding="utf-8"))
MARK = re.compile(r"(source: .+|derived: .+|common practice, no published source( \(.+\))?|from memory( \(.+\))?)")
TYPES = list(catalogue().values())
LIGHTS = [part_type for part_type in TYPES if isinstance(part_type.model, Led)]

# As the contract of the file format prints it.
COIN_HOLDER = """
{"type": "coin-holder", "name": "Sew-on holder, 20 mm coin cell",
 "body": {"shape": "circle", "diameter": 26},
 "terminals": [{"name": "p1", "label": "+", "x": -13, "y": -6, "role": "positive"}, {"name": "p2", "label": "+", "x": -13, "y": 6, "role": "positive"},
               {"name": "n1", "label": "−", "x": 13, "y": -6, "role": "negative"}, {"name": "n2", "label": "−", "x": 13, "y": 6, "role": "negative"}],
 "terminal_radius": 2.0, "joined": [["p1", "p2"], ["n1", "n2"]], "no_sew": true, "colour": "black",
 "model": {"kind": "cell", "volts": 3.0, "ohms": 15.0, "mah": 200, "end_volts": 2.0},
 "price": 12.0, "pack": 10, "loss": 0.05}
"""  # noqa: E501

every_type = pytest.mark.parametrize("part_type", TYPES, ids=lambda part_type: part_type.type)


def body(part_type: PartType) -> Polygon:
    return Polygon(body_points(part_type, steps=512))


def numbers(value: object, path: str) -> Iterator[str]:
    """Paths of all numbers in a value; entries of a list go by their name."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from numbers(inner, f"{path}.{key}")
    elif isinstance(value, list):
        for inner in value:
            yield from numbers(inner, f"{path}.{inner['name']}" if isinstance(inner, dict) else path)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path


def test_there_is_a_part_type_for_each_need() -> None:
    assert len(TYPES) >= 24
    written = json.loads((FOLDER / "catalogue.json").read_text(encoding="utf-8"))
    assert [one["type"] for one in written] == list(catalogue())
    kinds = {part_type.model.kind for part_type in TYPES}
    assert kinds == {"cell", "led", "resistor", "switch", "load", "sensor", "controller", "pad", "link"}


def test_the_coin_holder_is_the_one_of_the_contract() -> None:
    assert catalogue()["coin-holder"] == PartType.model_validate_json(COIN_HOLDER)


@every_type
def test_part_type_is_sound(part_type: PartType) -> None:
    check_part_type(part_type, part_type.type)


@every_type
def test_each_terminal_lies_on_the_rim_or_just_outside(part_type: PartType) -> None:
    shape = body(part_type)
    for terminal in part_type.terminals:
        spot = Point(terminal.x, terminal.y)
        assert not shape.buffer(-0.05).contains(spot)
        assert shape.distance(spot) <= part_type.terminal_radius


@every_type
def test_a_line_can_leave_each_terminal_without_running_beneath_the_body(part_type: PartType) -> None:
    shape = body(part_type)
    for terminal in part_type.terminals:
        away = math.hypot(terminal.x, terminal.y)
        outward = (terminal.x * (1 + 30 / away), terminal.y * (1 + 30 / away))
        assert LineString([(terminal.x, terminal.y), outward]).intersection(shape).length <= 0.1


@every_type
def test_terminals_are_far_enough_apart_to_sew_between(part_type: PartType) -> None:
    spots = [(terminal.x, terminal.y) for terminal in part_type.terminals]
    assert all(math.dist(a, b) >= 8 for a, b in itertools.combinations(spots, 2))


@every_type
def test_bodies_of_holders_and_controllers_allow_no_thread_beneath(part_type: PartType) -> None:
    assert part_type.no_sew == isinstance(part_type.model, Cell | Controller)


@every_type
def test_each_number_has_a_source_or_a_mark(part_type: PartType) -> None:
    written = part_type.model_dump(mode="json", exclude_none=True)
    needed = {"price", *numbers(written["body"], "body"), *numbers(written["model"], "model")}
    assert set(SOURCES[part_type.type]) == needed
    for field, mark in SOURCES[part_type.type].items():
        assert MARK.fullmatch(mark), (field, mark)


def test_no_source_is_left_over() -> None:
    assert list(SOURCES) == list(catalogue())


def light_amps(light: Led, volts: float, more_ohms: float) -> float:
    """Amps through a light: a Shockley diode in series with resistance, in closed form by Lambert's W.

    Source of the form: the diode rows of the published check values; k and q of SI 2019, 300.15 K.
    """
    slope = light.ideality * Boltzmann * 300.15 / elementary_charge
    ohms = light.ohms + more_ohms
    grown = light.saturation_amps * ohms / slope * math.exp((volts + light.saturation_amps * ohms) / slope)
    return float(slope / ohms * lambertw(grown).real) - light.saturation_amps


def test_the_closed_form_gives_the_published_amps() -> None:
    # (V, R, Is, n) = (3, 100, 1e-18, 2) at V_T 0.025852 gives 10.906669 mA: derived, Lambert's W.
    scale = 0.025852 / (Boltzmann * 300.15 / elementary_charge)
    light = Led(saturation_amps=1e-18, ideality=2 * scale, ohms=100, max_amps=0.02)
    assert light_amps(light, 3.0, 0.0) == pytest.approx(10.906669e-3, rel=1e-6)


@pytest.mark.parametrize("light", LIGHTS, ids=lambda light: light.type)
def test_lights_stay_under_their_limit_on_a_fresh_pack_and_shine_on_a_coin_cell(light: PartType) -> None:
    pack, coin = catalogue()["aaa-pack"].model, catalogue()["coin-holder"].model
    assert isinstance(light.model, Led)
    assert isinstance(pack, Cell)
    assert isinstance(coin, Cell)
    assert pack.volts == 3.2
    assert light_amps(light.model, pack.volts, pack.ohms) < light.model.max_amps
    # 0.5 m of doubled thread of 30 ohm a metre and four sewn terminals, against the default dim_amps.
    assert light_amps(light.model, coin.volts, coin.ohms + 9 + 2) > 0.001


@pytest.mark.parametrize(
    ("colour", "die_ohms", "volts"),
    [("red", 5, 2.0), ("yellow", 5, 2.11), *((c, 10, 3.2) for c in ("green", "blue", "white"))],
)
def test_lights_have_the_forward_volts_of_their_colour(colour: str, die_ohms: float, volts: float) -> None:
    """Forward volts at 20 mA: red 2.0, yellow 2.1, InGaN 3.2 (seen on a page that quotes them)."""
    model = catalogue()[f"light-{colour}"].model
    assert isinstance(model, Led)
    forward = model.ideality * 0.025852 * math.log(0.02 / model.saturation_amps) + 0.02 * die_ohms
    assert forward == pytest.approx(volts, abs=0.05)


def test_the_pack_is_two_cells_of_size_lr03() -> None:
    pack = catalogue()["aaa-pack"].model
    assert isinstance(pack, Cell)
    assert pack.volts == pytest.approx(2 * 1.60)
    assert 2 * 1.60 / 11 <= pack.ohms <= 2 * 1.60 / 6
    assert pack.end_volts == pytest.approx(2 * 0.8)


def test_controllers_come_with_5_8_and_12_terminals_that_can_do_all() -> None:
    boards = [part_type for part_type in TYPES if isinstance(part_type.model, Controller)]
    assert [len(board.terminals) for board in boards] == [5, 8, 12]
    for board in boards:
        assert len(board.with_role("positive")) == len(board.with_role("negative")) == 1
        pins = [terminal for terminal in board.terminals if terminal.role == "pin"]
        assert len(pins) == len(board.terminals) - 2
        assert {ability for pin in pins for ability in pin.can} == {"digital", "pwm", "analog", "touch"}


def test_resistors_are_of_the_e12_series() -> None:
    e12 = {10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82}  # IEC 60063, from memory
    ohms = [part_type.model.ohms for part_type in TYPES if isinstance(part_type.model, Resistor)]
    assert ohms == [100, 220, 1000, 10000]
    assert all(int(f"{one:.0f}"[:2]) in e12 for one in ohms)


def test_the_temperature_sensor_follows_its_law() -> None:
    """R = 10 kilohm × exp(B (1/T − 1/298.15 K)), B 3,950 K: both from memory."""
    model = catalogue()["temperature-sensor"].model
    assert isinstance(model, Sensor)
    for level, celsius in zip(model.levels, (5, 20, 33), strict=True):
        law = 10_000 * math.exp(3950 * (1 / (celsius + 273.15) - 1 / 298.15))
        assert level.ohms == pytest.approx(law, rel=0.01)


def test_switches_rest_open_and_close_between_their_two_terminals() -> None:
    switches = {one.type: one.model for one in TYPES if isinstance(one.model, Switch)}
    assert [name for name, model in switches.items() if model.momentary] == ["push-button"]
    for model in switches.values():
        assert [position.joins for position in model.positions] == [(), (("a", "b"),)]


def test_seam_crossing_and_the_light_that_changes_by_itself() -> None:
    crossing = catalogue()["seam-crossing"]
    assert isinstance(crossing.model, Link)
    assert len(crossing.terminals) == 2
    changing = catalogue()["light-changing"]
    assert isinstance(changing.model, Load)
    assert changing.with_role("positive") == ("plus",)


def test_round_bodies_are_tested_as_round() -> None:
    round_body = catalogue()["coin-holder"]
    assert isinstance(round_body.body, Circle)
    assert shapely.area(body(round_body)) == pytest.approx(math.pi * 13**2, rel=1e-3)
