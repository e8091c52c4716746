"""Each bad file is refused in one line, at its place, in plain words."""

import pytest

from projects.circuit.project_file import Refusal, read
from tests.projects.bad_files import BAD, CELL, CONTROLLER, LANTERN, LED, SWITCH, changed, own


@pytest.mark.parametrize(("data", "place"), BAD.values(), ids=BAD.keys())
def test_a_bad_file_is_refused_in_one_line_that_names_the_place(data: str | bytes, place: str) -> None:
    with pytest.raises(Refusal) as caught:
        read(data if isinstance(data, bytes) else data.encode("utf-8"))
    said = str(caught.value)
    assert caught.value.place == place or (place in ("line", "line 1, column") and caught.value.place.startswith(place))
    assert said.startswith(f"{caught.value.place}: ")
    assert "; allowed: " in said
    assert len(said.splitlines()) == 1


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (
            changed("layout.lines.2.colour", "red"),
            "layout.lines[2].colour: this key is unknown; allowed: name, piece, from, to, via",
        ),
        (
            own(body={"shape": "circle", "diameter": 9, "width": 3}),
            "project.part_types[0].body.width: this key is unknown; allowed: shape, diameter",
        ),
        (
            own(CELL | {"used": {"volts": 1, "ohms": 2, "amps": 3}}),
            "project.part_types[0].model.used.amps: this key is unknown; allowed: volts, ohms",
        ),
        (changed("project.spacing", 0), "project.spacing: 0 is out of range; allowed: more than 0"),
        (changed("project.parts.0.ref", "1B"), 'project.parts[0].ref: "1B" is not allowed; allowed: '
         "a letter, then up to 31 letters, digits, _ or -"),
        (changed("layout.lines.0.to", "@j2"), 'layout.lines[0].to: there is no join "j2"; allowed: j1'),
        (
            changed("layout.lines.0.from", "L1.n"),
            'layout.lines[0].from: L1 has no terminal "n"; allowed: L1.plus, L1.minus',
        ),
        (own({"kind": "radio"}), 'project.part_types[0].model: kind "radio" is not known; allowed: '
         "'cell', 'led', 'resistor', 'switch', 'load', 'sensor', 'controller', 'pad', 'link'"),
        (changed("project.contact", 6), "project.contact: 6 is more than spacing; allowed: at most 5 (spacing)"),
    ],
)  # fmt: skip
def test_a_refusal_says_what_is_wrong_and_what_is_allowed(data: str, said: str) -> None:
    with pytest.raises(Refusal) as caught:
        read(data.encode())
    assert str(caught.value) == said


def test_the_example_changed_in_nothing_is_read() -> None:
    """Else the table could pass for a reason of its own."""
    assert read(LANTERN.encode()) == read(changed("project.title", "Lantern patch").encode())
    for sound in (own(), own(LED), own(SWITCH), own(CONTROLLER), own({"kind": "link"})):
        assert read(sound.encode()).project.part_types[0].type == "own"
