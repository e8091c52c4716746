"""A kit's own circuit: what its learners may change, and that plan, readings, stages and sheet follow it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from checks.engine import check
from kits.demo.examples import examples
from kits.models import Kit
from kits.plan.make import make_plan
from kits.plan.values import Material
from kits.services.publish import publish
from kits.sheets.content import Heading, step_sheet
from kits.sheets.render import pdf
from projects.circuit.document import Document
from projects.circuit.editing import checked
from projects.circuit.editing.learners import set_learner_may, set_swaps
from projects.circuit.layout import Layout, Line, Place
from projects.circuit.project import LearnerMay
from projects.circuit.variation import put_switch
from projects.importing import import_project
from projects.stored import layout_json
from tests.kits.factories import lantern, learner_client, make_user, make_workshop, sewing, teacher_client, with_layout
from tests.kits.pdf_reading import words

pytestmark = pytest.mark.django_db

MadeKit = Callable[[LearnerMay], Kit]


@pytest.fixture
def kit_of() -> MadeKit:
    def made(may: LearnerMay) -> Kit:
        owner = make_user("teacher")
        publish(import_project(owner, checked(set_swaps(set_learner_may(lantern(), may), "L1", ["light-red"]))))
        return make_workshop(owner, kits=1, names=("Ayo",)).kits.get()

    return made


def vary(client: Client, kit: Kit, action: str, **data: Any) -> Any:
    kit.refresh_from_db()
    data = {"version": kit.layout_version, **data, "action": action}
    answer = client.post(reverse("kits:circuit", args=[kit.pk]), data, follow=True)
    kit.refresh_from_db()
    return answer.content.decode()


def types(kit: Kit) -> dict[str, str]:
    return {part.ref: part.type for part in kit.read().project.parts}


def test_a_learner_takes_a_light_from_the_list_and_no_other(kit_of: MadeKit) -> None:
    kit = with_layout(kit_of("choose"))
    learner = learner_client(kit)
    vary(learner, kit, "swap", part="L1", choice="light-red")
    assert types(kit)["L1"] == "light-red"
    assert kit.read().layout == lantern().layout
    page = vary(learner, kit, "swap", part="L1", choice="light-blue")
    assert "Your teacher does not allow that" in page
    assert types(kit)["L1"] == "light-red"
    assert "L1 is Sew-on light, red, not Sew-on light, white" in page
    vary(learner, kit, "swap", part="L1", choice="light-white")
    assert kit.document is None


@pytest.mark.parametrize("may", ["nothing", "layout", "choose"])
def test_a_learner_puts_no_switch_in_unless_all_is_theirs(kit_of: MadeKit, may: LearnerMay) -> None:
    kit = kit_of(may)
    learner = learner_client(kit)
    assert "Put a switch" not in learner.get(reverse("kits:circuit", args=[kit.pk])).content.decode()
    vary(learner, kit, "switch", choice="B1.n1")
    vary(learner, kit, "leave-out", part="L1")
    assert kit.document is None
    teacher = teacher_client(kit.workshop.owner)
    vary(teacher, kit, "switch", choice="B1.n1")
    assert types(kit)["S2"] == "slide-switch"


def test_a_learners_switch_goes_in_and_out(kit_of: MadeKit) -> None:
    kit = with_layout(kit_of("all"))
    learner = learner_client(kit)
    page = vary(learner, kit, "switch", choice="B1.n1")
    assert "S2 (Sew-on slide switch) is added" in page
    lines = [row["values"].get("connection") for row in kit.stages]
    assert ("minus" in lines, "minus-S2" in lines) == (True, False), "the cell's own side is the negative side"
    vary(learner, kit, "no-switch", part="S2")
    assert "S2" not in types(kit)
    assert kit.read().layout == lantern().layout


def lights_in(materials: Sequence[Material]) -> float:
    return sum(one.amount for one in materials if "light, yellow" in str(one.name))


def test_a_learner_leaves_a_light_out_and_takes_it_back(kit_of: MadeKit) -> None:
    kit = kit_of("all")
    learner = learner_client(kit)
    assert "Use fewer lights" not in learner.get(reverse("kits:circuit", args=[kit.pk])).content.decode()
    assert "the only light" in vary(learner, kit, "leave-out", part="L1")
    two = set_swaps(set_learner_may(examples()["firefly-jar"], "all"), "L2", ["light-red"])
    publish(import_project(kit.workshop.owner, checked(two)))
    revision = kit.workshop.owner.projects.latest("pk").newest()
    kit.revision, kit.layout = revision, layout_json(two.layout)
    kit.save()
    page = vary(learner, kit, "leave-out", part="L2")
    assert "L2 (Sew-on light, yellow) is left out" in page
    own = kit.read()
    assert "L2" not in types(kit)
    assert own.project.connection_of("M1.a5") is None, "the pin that drove it is free"
    assert "M1.a5" not in own.project.pins
    assert not any(end.startswith("L2.") for line in own.layout.lines for end in (line.start, line.end))
    assert lights_in(make_plan(own).materials) == lights_in(make_plan(two).materials) - 1
    assert "is no light" in vary(learner, kit, "leave-out", part="B1")
    vary(learner, kit, "take-back", part="L2")
    assert kit.document is None, "it is the project's own circuit again"
    assert kit.read().project == revision.read().project


def test_a_learner_builds_on_where_all_is_theirs(kit_of: MadeKit) -> None:
    """A second light beside the first: put in, joined, and what it is joined to is set free again."""
    kit = with_layout(kit_of("all"))
    learner = learner_client(kit)
    vary(learner, kit, "add", choice="light-red")
    assert types(kit)["L2"] == "light-red"
    vary(learner, kit, "join", part="L1.plus", choice="L2.plus")
    page = vary(learner, kit, "join", part="L1.minus", choice="L2.minus")
    joined = {one.name: one.terminals for one in kit.read().project.connections}
    assert "L2.plus" in joined["plus"]
    assert "L2.minus" in joined["middle"]
    assert "L2 (Sew-on light, red) is added" in page
    assert {one.rule for one in check(kit.read()).findings if one.level == "stop"} == {"not-placed"}
    vary(learner, kit, "apart", part="L2.minus")
    assert "L2.minus" not in {one for named in kit.read().project.connections for one in named.terminals}
    vary(learner, kit, "remove", part="L2")
    assert kit.document is None, "the project's own circuit again"


def test_pins_are_used_where_all_is_theirs(kit_of: MadeKit) -> None:
    kit = with_layout(kit_of("all"))
    learner = learner_client(kit)
    vary(learner, kit, "add", choice="controller-5")
    for use in ("fade", "output", ""):
        vary(learner, kit, "pin", part="M1.a1", choice=use)
        assert kit.read().project.pins.get("M1.a1", "") == use


def test_a_list_to_choose_from_is_no_leave_to_build(kit_of: MadeKit) -> None:
    kit = with_layout(kit_of("choose"))
    learner = learner_client(kit)
    assert "Make it your own" not in learner.get(reverse("kits:circuit", args=[kit.pk])).content.decode()
    assert "Your teacher does not allow that" in vary(learner, kit, "add", choice="light-red")
    assert "Your teacher does not allow that" in vary(learner, kit, "apart", part="L1.plus")
    assert kit.document is None


def test_what_was_saved_elsewhere_is_not_overwritten(kit_of: MadeKit) -> None:
    kit = with_layout(kit_of("all"))
    page = vary(learner_client(kit), kit, "switch", choice="B1.n1", version=kit.layout_version - 1)
    assert "changed on another page" in page
    assert kit.document is None


@pytest.mark.parametrize(
    "data",
    [
        {"action": "switch", "choice": "X9.a"},
        {"action": "switch", "choice": ""},
        {"action": "swap", "part": "X9", "choice": "light-red"},
        {"action": "swap", "part": "L1", "choice": "\x00"},
        {"action": "no-switch", "part": "X9"},
        {"action": "nothing"},
        {"action": "add", "choice": "x9"},
        {"action": "add", "choice": "aaa-pack"},
        {"action": "remove", "part": "X9"},
        {"action": "join", "part": "X9.a", "choice": "L1.plus"},
        {"action": "join", "part": "L1.plus", "choice": "L1.plus"},
        {"action": "join", "part": "B1.p1", "choice": "L1.plus"},
        {"action": "apart", "part": "X9.a"},
        {"action": "pin", "part": "L1.plus", "choice": "dance"},
        {"action": "switch", "choice": "B1.n1", "version": "x"},
    ],
)
def test_odd_wishes_are_answered_in_words(kit_of: MadeKit, data: dict[str, str]) -> None:
    kit = kit_of("all")
    assert "<h1>" in vary(learner_client(kit), kit, **data)
    assert kit.document is None


def test_the_circuit_is_fixed_once_it_is_sewn(kit_of: MadeKit) -> None:
    kit = sewing(kit_of("all"))
    stages = kit.stages
    vary(learner_client(kit), kit, "switch", choice="B1.n1")
    assert kit.document is None
    vary(teacher_client(kit.workshop.owner), kit, "switch", choice="B1.n1")
    assert kit.document is not None
    assert kit.stages == stages, "what is sewn by is the accepted plan"


# --- Everything follows the circuit -------------------------------------------------------------------------
def with_switch_in_the_negative_line() -> Document:
    """The lantern with a switch between S1 and the cell's negative side, and the lines drawn for it."""
    own = checked(put_switch(set_learner_may(lantern(), "all"), "B1.n1"))
    layout = own.layout
    lines = [line for line in layout.lines if line.name != "s5"]
    lines.append(Line(name="s7", piece="front", start="S1.a", end="S2.a", via=((92.0, 85.0),)))
    lines.append(Line(name="s8", piece="front", start="S2.b", end="B1.n2", via=((60.0, 104.0), (60.0, 75.0))))
    place = Place(ref="S2", piece="front", x=84.0, y=104.0, turn=180.0)
    return own.with_layout(Layout(places=(*layout.places, place), joins=layout.joins, lines=tuple(lines)))


def test_a_switch_in_the_negative_line_passes_and_changes_runs_stages_and_readings() -> None:
    before, after = lantern(), with_switch_in_the_negative_line()
    report = check(after)
    assert [finding.rule for finding in report.findings if finding.level == "stop"] == []
    old, new = make_plan(before), make_plan(after)
    assert len(new.runs) == len(old.runs) + 1
    assert {run.connection for run in new.runs} - {run.connection for run in old.runs} == {"minus-S2"}
    assert {stage.name for stage in new.stages} != {stage.name for stage in old.stages}
    assert {(one.start, one.end) for one in new.readings} != {(one.start, one.end) for one in old.readings}
    assert any("S2" in one.start + one.end for one in new.readings)
    assert {row.part_type: row.amount for row in new.materials if row.part_type}["slide-switch"] == 2
    assert {situation.name for situation in report.situations} != {one.name for one in check(before).situations}


def test_the_sheet_says_what_is_sewn_here() -> None:
    own = with_switch_in_the_negative_line()
    sheet = step_sheet(own, make_plan(own), check(own), heading=Heading(project="Lantern patch", kit="1", revision="1"))
    text = words(pdf([sheet]))
    assert "S2" in text
    assert "S2" not in words(
        pdf([step_sheet(lantern(), make_plan(lantern()), check(lantern()), heading=Heading(project="Lantern patch"))])
    )
