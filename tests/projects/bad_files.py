"""Bad project files of every kind, and the place that the refusal of each names."""

import copy
import json
from pathlib import Path
from typing import Any

from projects.circuit.json_text import MAX_BYTES

__all__ = ["BAD", "CELL", "CONTROLLER", "LANTERN", "LED", "SWITCH", "changed", "own"]

LANTERN = (Path(__file__).parent.parent / "cases" / "lantern-patch.json").read_text(encoding="utf-8")
CELL = {"kind": "cell", "volts": 3.0, "ohms": 15.0, "mah": 200, "end_volts": 2.0}
LED = {"kind": "led", "saturation_amps": 1e-18, "ideality": 2.0, "ohms": 100, "max_amps": 0.02}
CONTROLLER = {
    "kind": "controller",
    "amps": 0.005,
    "min_volts": 1.8,
    "max_volts": 6,
    "pin_ohms": 85,
    "pin_max_amps": 0.01,
    "total_max_amps": 0.05,
}
DELETED = object()
WORST = "9" * 5000


def changed(path: str, value: object) -> str:
    """The example with one value put at a path such as `layout.lines.2.via`; `+` appends, DELETED takes away."""
    document = json.loads(LANTERN)
    *steps, last = path.split(".")
    here: Any = document
    for step in steps:
        here = here[int(step)] if isinstance(here, list) else here[step]
    if last == "+":
        here.append(value)
    elif value is DELETED:
        del here[int(last) if isinstance(here, list) else last]
    else:
        here[int(last) if isinstance(here, list) else last] = copy.deepcopy(value)
    return json.dumps(document)


def own(model: object = CELL, **more: object) -> str:
    """The example with a part type of its own: two terminals a and b, positive and negative."""
    part_type = {
        "type": "own",
        "name": "My own",
        "body": {"shape": "circle", "diameter": 20},
        "terminals": [
            {"name": "a", "x": -12, "y": 0, "role": "positive"},
            {"name": "b", "x": 12, "y": 0, "role": "negative"},
        ],
        "model": model,
    }
    return changed("project.part_types", [part_type | more])


def terminals(*roles: str | None) -> list[dict[str, object]]:
    return [
        {"name": "abcde"[i], "x": 10 * i, "y": 0, **({"role": role} if role else {})} for i, role in enumerate(roles)
    ]


def on(ref: str, **more: object) -> dict[str, object]:
    return {"ref": ref, "piece": "front", "x": 10, "y": 10, **more}


def twice(key: str, where: str) -> str:
    """The example with a key written a second time, after the text `where`."""
    return LANTERN.replace(where, f'{where} "{key}": 1,', 1)


LINE = {"name": "s9", "piece": "front", "from": "B1.p1", "to": "L1.plus"}
SWITCH = {"kind": "switch", "positions": [{"name": "off"}, {"name": "on", "joins": [["a", "b"]]}]}

BAD: dict[str, tuple[str | bytes, str]] = {
    # what is no JSON object at all
    "nothing": (b"", "line 1, column 1"),
    "not JSON": ('{"format": "tieoff/1",\n "project": }', "line 2, column 13"),
    "cut short": (LANTERN[:900], "line"),
    "a list": ("[]", "file"),
    "a number": ("3", "file"),
    "not UTF-8": (b'{"format": "\xe9"}', "file"),
    "UTF-16": (LANTERN.encode("utf-16"), "file"),
    "too large": (LANTERN + " " * MAX_BYTES, "file"),
    "too deep": (changed("project.title", json.loads("[" * 31 + "]" * 31)), "line 1, column"),
    "too deep by far": ("[" * 100_000, "line 1, column 33"),
    "too deep where it is dropped": ('{"suggestion": ' + "[" * 32 + "]" * 32 + "}", "line 1, column 47"),
    "a control character": ('{"project": {"title": "a\tb"}}', "line 1, column 25"),
    "half a surrogate pair": (changed("project.title", "\ud800"), "project.title"),
    "half a surrogate pair in a key": ('{"project": {"\\udc00": 1}}', 'project["\\udc00"]'),
    # keys
    "unknown key at the top": (changed("colour", 1), "colour"),
    "unknown key of a project": (changed("project.seam_allowance", 8), "project.seam_allowance"),
    "unknown key of a line": (changed("layout.lines.2.colour", "red"), "layout.lines[2].colour"),
    "the name in our code for from": (changed("layout.lines.2.start", "B1.p1"), "layout.lines[2].start"),
    "a key that would start a second line": (changed("project.a\nb", 1), 'project["a\\nb"]'),
    "repeated key": (twice("title", '"title": "Lantern patch",'), "project.title"),
    "repeated key of a place": (twice("ref", '{"ref": "L1", "piece": "front",'), "layout.places[1].ref"),
    "repeated pin": ('{"project": {"pins": {"M1.a": "input", "M1.a": "input"}}}', 'project.pins["M1.a"]'),
    "missing format": (changed("format", DELETED), "format"),
    "missing key": (changed("project.title", DELETED), "project.title"),
    "missing connections": (changed("project.connections", DELETED), "project.connections"),
    "missing x": (changed("layout.joins.0.x", DELETED), "layout.joins[0].x"),
    "missing kind of a model": (own({"volts": 3}), "project.part_types[0].model"),
    "missing value of a model": (own({"kind": "resistor"}), "project.part_types[0].model.ohms"),
    "too many keys": (changed("project.pins", {f"M1.p{i}": "input" for i in range(2001)}), "project.pins"),
    # kinds of values
    "another format": (changed("format", "tieoff/2"), "format"),
    "a text for a number": (changed("project.spacing", "5"), "project.spacing"),
    "a truth for a number": (changed("project.spacing", True), "project.spacing"),
    "null for a number": (changed("project.spacing", None), "project.spacing"),
    "a fraction for a whole number": (changed("project.thread.strands", 1.5), "project.thread.strands"),
    "a number for a text": (changed("project.title", 3), "project.title"),
    "an object for a list": (changed("layout.lines", {}), "layout.lines"),
    "a list for an object": (changed("layout", []), "layout"),
    "NaN": (changed("layout.places.0.x", float("nan")), "layout.places[0].x"),
    "infinity": (changed("layout.places.0.x", float("-inf")), "layout.places[0].x"),
    "a number beyond floats": (LANTERN.replace('"x": 40', '"x": 1e999'), "layout.places[0].x"),
    "a whole number beyond all": (LANTERN.replace('"x": 40', f'"x": {WORST}'), "layout.places[0].x"),
    "a point of three": (changed("layout.lines.2.via.0", [1, 2, 3]), "layout.lines[2].via[0]"),
    "a point of one": (changed("layout.lines.2.via.0", [1]), "layout.lines[2].via[0][1]"),
    "a point of texts": (changed("layout.lines.2.via.0", [1, "2"]), "layout.lines[2].via[0][1]"),
    "an unknown side": (changed("layout.places.0.side", "top"), "layout.places[0].side"),
    "an unknown learner_may": (changed("project.learner_may", "everything"), "project.learner_may"),
    "an unknown pin use": (changed("project.pins", {"B1.p1": "serial"}), 'project.pins["B1.p1"]'),
    "an unknown shape": (own(body={"shape": "star"}), "project.part_types[0].body"),
    "an unknown kind": (own({"kind": "radio"}), "project.part_types[0].model"),
    # names
    "a name with a space": (changed("project.pieces.0.name", "the front"), "project.pieces[0].name"),
    "a name that starts with a digit": (changed("project.parts.0.ref", "1B"), "project.parts[0].ref"),
    "a name too long": (changed("layout.joins.0.name", "j" * 33), "layout.joins[0].name"),
    "a name with a line break at its end": (changed("layout.joins.0.name", "j1\n"), "layout.joins[0].name"),
    "an end without a dot": (changed("layout.lines.0.to", "L1"), "layout.lines[0].to"),
    "a pin without a dot": (changed("project.pins", {"M1": "input"}), "project.pins.M1"),
    "a title of two lines": (changed("project.title", "a\nb"), "project.title"),
    "no title": (changed("project.title", ""), "project.title"),
    # how many
    "201 parts": (
        changed("project.parts", [{"ref": f"R{i}", "type": "resistor-1k"} for i in range(201)]),
        "project.parts",
    ),
    "1,001 lines": (changed("layout.lines", [LINE | {"name": f"s{i}"} for i in range(1001)]), "layout.lines"),
    "201 points": (changed("layout.lines.0.via", [[1, 1]] * 199), "layout.lines[0].via"),
    "no piece": (changed("project.pieces", []), "project.pieces"),
    "an outline of two points": (changed("project.pieces.0.outline", [[0, 0], [9, 9]]), "project.pieces[0].outline"),
    # how much
    "a coordinate too far": (changed("layout.covers.0.x", 10_000.5), "layout.covers[0].x"),
    "a bend too far": (changed("layout.lines.2.via", [[1, 1], [1, -10_001]]), "layout.lines[2].via[1][1]"),
    "no spacing": (changed("project.spacing", 0), "project.spacing"),
    "no ohms": (changed("project.thread.ohms_per_metre", 0), "project.thread.ohms_per_metre"),
    "negative tolerance": (changed("project.thread.tolerance", -0.1), "project.thread.tolerance"),
    "negative contact_ohms": (changed("project.thread.contact_ohms", -0.1), "project.thread.contact_ohms"),
    "negative crossing_ohms": (changed("project.thread.crossing_ohms", -1), "project.thread.crossing_ohms"),
    "negative price": (changed("project.supplies.0.price", -1), "project.supplies[0].price"),
    "negative seam allowance": (changed("project.pieces.0.seam_allowance", -1), "project.pieces[0].seam_allowance"),
    "no radius": (changed("layout.covers.0.radius", 0), "layout.covers[0].radius"),
    "a face that is no piece": (changed("project.faces", [["front", "lid"]]), "project.faces[0][1]"),
    "three faces": (changed("project.faces", [["front", "front", "front"]]), "project.faces[0]"),
    "faces twice": (changed("project.faces", [["front", "front"], ["front", "front"]]), "project.faces[1]"),
    "contact above spacing": (changed("project.contact", 5.1), "project.contact"),
    # outlines
    "an outline that crosses itself": (
        changed("project.pieces.0.outline", [[0, 0], [99, 99], [99, 0], [0, 99]]),
        "project.pieces[0].outline",
    ),
    "an outline on one straight line": (
        changed("project.pieces.0.outline", [[0, 0], [50, 50], [99, 99]]),
        "project.pieces[0].outline",
    ),
    "nothing inside the seam allowance": (
        changed("project.pieces.0.outline", [[0, 0], [16, 0], [16, 90], [0, 90]]),
        "project.pieces[0].outline",
    ),
    "a body that crosses itself": (
        own(body={"shape": "polygon", "points": [[0, 0], [9, 9], [9, 0], [0, 9]]}),
        "project.part_types[0].body.points",
    ),
    # repeated
    "repeated piece": (
        changed("project.pieces.+", {"name": "front", "outline": [[0, 0], [90, 0], [90, 90]]}),
        "project.pieces[1].name",
    ),
    "repeated ref": (changed("project.parts.1.ref", "B1"), "project.parts[1].ref"),
    "repeated connection": (changed("project.connections.2.name", "plus"), "project.connections[2].name"),
    "terminal twice in a connection": (
        changed("project.connections.0.terminals.2", "B1.p1"),
        "project.connections[0].terminals[2]",
    ),
    "stage that does what is no stage": (
        changed("project.stages", [{"name": "one", "does": ["mark", "dance"]}]),
        "project.stages[0].does[1]",
    ),
    "repeated stage": (changed("project.stages", [{"name": "one"}, {"name": "one"}]), "project.stages[1].name"),
    "repeated place": (changed("layout.places.+", on("B1")), "layout.places[3].ref"),
    "repeated place of a terminal": (
        changed("layout.places", [on("S1", terminal="a"), on("S1", terminal="a")]),
        "layout.places[1].ref",
    ),
    "placed whole and by terminal": (changed("layout.places.+", on("S1", terminal="a")), "layout.places[3].ref"),
    "repeated join": (
        changed("layout.joins.+", {"name": "j1", "piece": "front", "x": 1, "y": 1}),
        "layout.joins[1].name",
    ),
    "repeated line": (changed("layout.lines.+", LINE | {"name": "s1"}), "layout.lines[6].name"),
    "repeated terminal": (
        own(terminals=[*terminals("positive"), *terminals("negative")]),
        "project.part_types[0].terminals[1].name",
    ),
    "repeated position": (
        own({"kind": "switch", "positions": [{"name": "on"}, {"name": "on"}]}),
        "project.part_types[0].model.positions[1].name",
    ),
    "repeated level": (
        own({"kind": "sensor", "levels": [{"name": "low", "ohms": 1}, {"name": "low", "ohms": 2}]}),
        "project.part_types[0].model.levels[1].name",
    ),
    "own type twice": (
        changed("project.part_types", [json.loads(own())["project"]["part_types"][0]] * 2),
        "project.part_types[1].type",
    ),
    # not there
    "unknown part type": (changed("project.parts.1.type", "lamp"), "project.parts[1].type"),
    "unknown part in a connection": (
        changed("project.connections.1.terminals.0", "L2.minus"),
        "project.connections[1].terminals[0]",
    ),
    "unknown terminal in a connection": (
        changed("project.connections.1.terminals.0", "L1.n"),
        "project.connections[1].terminals[0]",
    ),
    "unknown terminal of a pin": (changed("project.pins", {"B1.a1": "input"}), 'project.pins["B1.a1"]'),
    "unknown connection of a stage": (
        changed("project.stages", [{"name": "one", "connections": ["plus", "earth"]}]),
        "project.stages[0].connections[1]",
    ),
    "unknown stage of a criterion": (
        changed(
            "project",
            json.loads(LANTERN)["project"] | {"stages": [{"name": "one"}], "criteria": [{"stage": "two", "text": "t"}]},
        ),
        "project.criteria[0].stage",
    ),
    "unknown ref of a swap": (changed("project.swaps", {"L9": ["light-red"]}), "project.swaps.L9"),
    "unknown type of a swap": (changed("project.swaps", {"L1": ["light-red", "lamp"]}), "project.swaps.L1[1]"),
    "unknown part of a place": (changed("layout.places.1.ref", "L9"), "layout.places[1].ref"),
    "unknown piece of a place": (changed("layout.places.1.piece", "back"), "layout.places[1].piece"),
    "unknown terminal of a place": (changed("layout.places.2.terminal", "c"), "layout.places[2].terminal"),
    "terminal of a part that cannot stand apart": (
        changed("layout.places.0.terminal", "p1"),
        "layout.places[0].terminal",
    ),
    "unknown piece of a join": (changed("layout.joins.0.piece", "back"), "layout.joins[0].piece"),
    "unknown piece of a line": (changed("layout.lines.0.piece", "back"), "layout.lines[0].piece"),
    "unknown part of a line's end": (changed("layout.lines.0.from", "B2.p1"), "layout.lines[0].from"),
    "unknown terminal of a line's end": (changed("layout.lines.0.from", "B1.p3"), "layout.lines[0].from"),
    "unknown join of a line's end": (changed("layout.lines.0.to", "@j2"), "layout.lines[0].to"),
    "unknown piece of a cover": (changed("layout.covers.0.piece", "back"), "layout.covers[0].piece"),
    "unknown name in joined": (own(joined=[["a", "c"]]), "project.part_types[0].joined[0][1]"),
    "unknown terminal of a position": (
        own({"kind": "switch", "positions": [{"name": "on", "joins": [["a", "z"]]}]}),
        "project.part_types[0].model.positions[0].joins[0][1]",
    ),
    # models
    "a resistor of three nodes": (
        own({"kind": "resistor", "ohms": 1}, terminals=terminals(None, None, None)),
        "project.part_types[0].terminals",
    ),
    "a switch of one node": (own(SWITCH, joined=[["a", "b"]]), "project.part_types[0].terminals"),
    "a pad of two terminals": (own({"kind": "pad"}), "project.part_types[0].terminals"),
    "a cell without a negative side": (own(terminals=terminals("positive", None)), "project.part_types[0].terminals"),
    "a light without roles": (own(LED, terminals=terminals(None, None)), "project.part_types[0].terminals"),
    "a light positive on both sides": (
        own(LED, terminals=terminals("positive", "positive")),
        "project.part_types[0].terminals",
    ),
    "a cell whose joined terminals disagree": (
        own(terminals=terminals("positive", "negative", "negative"), joined=[["a", "b"]]),
        "project.part_types[0].joined",
    ),
    "a controller without a supply": (
        own(CONTROLLER, terminals=terminals("positive", "pin", "pin")),
        "project.part_types[0].terminals",
    ),
    "a controller whose supply is joined": (own(CONTROLLER, joined=[["a", "b"]]), "project.part_types[0].joined"),
    "a second cell": (changed("project.parts.+", {"ref": "B2", "type": "aaa-pack"}), "project.parts[3].type"),
}
