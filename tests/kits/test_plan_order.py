"""In which order connections are sewn, and how a teacher's stages change it."""

from kits.plan.make import make_plan
from kits.plan.order import sewing_order
from kits.plan.values import Plan
from projects.circuit.document import Document
from projects.circuit.fabric import lay_out
from tests.kits.plan_documents import document, line, porch


def names(plan: Plan) -> list[str]:
    return [stage.name for stage in plan.stages]


def stage(name: str, *connections: str, look: bool = False, does: tuple[str, ...] = ()) -> dict[str, object]:
    return {"name": name, "connections": list(connections), "look": look, "does": list(does)}


def keys(plan: Plan, name: str) -> list[str]:
    return [step.key for one in plan.stages if one.name == name for step in one.steps]


def test_the_cells_sides_reach_to_the_controller_over_a_switch_then_outward() -> None:
    order = sewing_order(lay_out(porch()))
    assert order.positive == ("high",)
    assert order.negative == ("cell-low", "low")
    assert order.further == ("glow", "sense", "blink")


def test_breadth_first_from_the_controller() -> None:
    """Two lights in a row: the near connections of both pins come before the far one."""
    order = sewing_order(
        lay_out(
            document(
                {"M1": "controller-5", "L1": "light-red", "R1": "resistor-220", "L2": "light-red", "B1": "coin-holder"},
                {
                    "lost": "B1.p2",
                    "far": "R1.b L1.plus",
                    "near": "M1.a1 R1.a",
                    "other": "M1.a2 L2.plus",
                    "low": "M1.minus B1.n1 L1.minus L2.minus",
                    "high": "M1.plus B1.p1",
                },
                {},
                [],
            )
        )
    )
    assert order.all == ("lost", "high", "low", "near", "other", "far")


def test_without_a_controller_the_sides_are_the_cells_own_connections() -> None:
    two = document(
        {"B1": "coin-holder", "S1": "slide-switch", "L1": "light-red"},
        {"on": "S1.b L1.plus", "minus": "L1.minus B1.n1", "plus": "B1.p1 S1.a"},
        {},
        [],
    )
    order = sewing_order(lay_out(two))
    assert (order.positive, order.negative, order.further) == (("plus",), ("minus",), ("on",))


def test_without_a_cell_the_order_is_the_projects() -> None:
    order = sewing_order(lay_out(document({"L1": "light-red", "R1": "resistor-220"}, {"a": "L1.plus R1.a"}, {}, [])))
    assert order.all == ("a",)


def test_stages_of_a_controller_project() -> None:
    assert names(make_plan(porch())) == [
        "mark",
        "try it out",
        "positive side",
        "negative side",
        "glow",
        "sense",
        "blink",
        "test",
        "close and finish",
        "care",
    ]


def test_runs_are_numbered_in_the_order_of_the_stages_from_the_controller_outward() -> None:
    runs = make_plan(porch()).runs
    assert [run.name for run in runs] == [f"t{number}" for number in range(1, 10)]
    assert [run.terminals[0] for run in runs if run.connection in ("high", "cell-low", "glow", "sense", "blink")] == [
        "B1.p1",
        "B1.n1",
        "M1.a1",
        "M1.a3",
        "M1.a2",
    ]


def starts(plan: Plan) -> dict[str, list[str]]:
    """The terminals at which the threads of each connection start."""
    found: dict[str, list[str]] = {}
    for run in plan.runs:
        found.setdefault(run.connection, []).append(run.terminals[0])
    return found


def test_beyond_a_seam_a_thread_starts_at_the_crossing_not_at_the_controller() -> None:
    """The cell lies on the front; controller and light on the back, over two crossings."""
    back = {"M1": (100, 100), "L1": (200, 100), "X1.b": (50, 50), "X2.b": (50, 150)}
    front = {"B1": (100, 100), "X1.a": (250, 50), "X2.a": (250, 150)}
    places = [
        {"ref": ref, "piece": piece, "x": x, "y": y, **({"terminal": terminal} if terminal else {})}
        for piece, spots in (("front", front), ("back", back))
        for name, (x, y) in spots.items()
        for ref, _, terminal in (name.partition("."),)
    ]
    two = document(
        {"M1": "controller-5", "B1": "coin-holder", "X1": "seam-crossing", "X2": "seam-crossing", "L1": "light-red"},
        {"high": "M1.plus X1.b X1.a B1.p1", "low": "M1.minus X2.b X2.a B1.n1", "glow": "L1.plus M1.a1"},
        {},
        [
            line("s1", "M1.plus", "X1.b", piece="back"),
            line("s2", "X1.a", "B1.p1"),
            line("s3", "M1.minus", "X2.b", piece="back"),
            line("s4", "X2.a", "B1.n1"),
            line("s5", "L1.plus", "M1.a1", piece="back"),
        ],
        {"places": places},
        pieces=[{"name": name, "outline": [[0, 0], [300, 0], [300, 200], [0, 200]]} for name in ("front", "back")],
    )
    assert starts(make_plan(two)) == {"high": ["B1.p1", "X1.b"], "low": ["B1.n1", "X2.b"], "glow": ["M1.a1"]}


def test_beyond_a_switch_a_thread_starts_at_the_switch_not_at_the_controller() -> None:
    whole = porch()
    lines = tuple(one for one in whole.layout.lines if one.name != "n5")  # else the thread goes on past the switch
    found = starts(make_plan(whole.with_layout(whole.layout.model_copy(update={"lines": lines}))))
    assert found["cell-low"] == ["B1.n1"]
    assert "S1.b" in found["low"]
    assert "M1.minus" not in found["low"]
    assert {found[name][0] for name in ("glow", "sense", "blink")} == {"M1.a1", "M1.a3", "M1.a2"}


def test_without_a_controller_a_thread_beyond_the_switch_starts_there_too() -> None:
    two = document(
        {"B1": "coin-holder", "S1": "slide-switch", "L1": "light-red"},
        {"on": "L1.plus S1.b", "minus": "L1.minus B1.n1", "plus": "B1.p1 S1.a"},
        {"B1": (100, 100), "S1": (200, 50), "L1": (300, 100)},
        [line("s1", "L1.plus", "S1.b"), line("s2", "S1.a", "B1.p1"), line("s3", "L1.minus", "B1.n1")],
    )
    assert starts(make_plan(two)) == {"plus": ["B1.p1"], "minus": ["B1.n1"], "on": ["S1.b"]}


def test_a_teachers_stages_rename_reorder_merge_and_look() -> None:
    plan = make_plan(
        porch(
            stages=[
                stage("Lights", "glow", "blink", look=True),
                stage("Decorate"),
                stage("Power", "high", "cell-low", "low"),
                stage("Test"),
            ]
        )
    )
    assert names(plan) == [
        "mark",
        "try it out",
        "Lights",
        "Decorate",
        "Power",
        "sense",
        "Test",
        "close and finish",
        "care",
    ]
    by_name = {one.name: one for one in plan.stages}
    assert (by_name["Lights"].connections, by_name["Lights"].look) == (("glow", "blink"), True)
    assert by_name["Lights"].steps[-1].key == "look:Lights"
    assert (by_name["Test"].kinds, by_name["Test"].look) == (("test",), False)
    assert [run.connection for run in plan.runs][:2] == ["glow", "blink"]
    assert str(by_name["Decorate"].steps[0].text) == "Decorate: do what your teacher shows you."
    assert by_name["Lights"].steps[0].key == "sew:ready"
    assert all(step.key != "sew:ready" for step in by_name["Power"].steps)


def test_a_stage_of_ours_under_another_name_keeps_what_it_does() -> None:
    """Steps, readings and the place of the look are the same; only what names the stage is otherwise."""
    usual = make_plan(porch())
    given = [("Draw it", "mark", True), ("Clip it", "try it out", False), ("Does it work?", "test", True)]
    given += [("Sew it shut", "close and finish", False), ("At home", "care", False)]
    plan = make_plan(porch(stages=[stage(name, does=(work,), look=look) for name, work, look in given]))
    assert [str(one.title) for one in plan.stages][:2] == ["Draw it", "Clip it"]
    for name, work, _look in given:
        old = next(one for one in usual.stages if one.name == work)
        new = next(one for one in plan.stages if one.name == name)
        assert (new.kinds, new.look, new.minutes) == (old.kinds, old.look, old.minutes)
        assert [step.text for step in new.steps] == [step.text for step in old.steps]
        assert [key.replace(f"look:{work}", f"look:{name}") for key in keys(usual, work)] == keys(plan, name)
    assert {one.stage for one in plan.readings if one.kind == "volts"} == {"Does it work?"}
    assert names(plan)[2:7] == names(usual)[2:7]


def test_stages_of_ours_are_merged_with_one_another_and_with_sewing() -> None:
    usual = make_plan(porch())
    before = stage("Get ready", does=("try it out", "mark"), look=True)
    last = stage("Last line", "blink", look=True, does=("test", "care"))
    plan = make_plan(porch(stages=[before, last]))
    assert names(plan) == [
        "Get ready",
        "positive side",
        "negative side",
        "glow",
        "sense",
        "Last line",
        "close and finish",
    ]
    marked = [key for key in keys(usual, "mark") if not key.startswith("look:")]
    assert keys(plan, "Get ready") == [*marked, "look:Get ready", *keys(usual, "try it out")]
    (end,) = [one for one in plan.stages if one.name == "Last line"]
    assert end.kinds == ("sew", "test", "care")
    order = [step.key for step in end.steps]
    assert len(set(order)) == len(order)
    look, cell_in = order.index("look:Last line"), next(at for at, key in enumerate(order) if "cell-in" in key)
    sewn = max(at for at, step in enumerate(end.steps) if step.action in ("sew", "trim"))
    measured = max(at for at, key in enumerate(order) if key.startswith(("read:along", "read:apart", "read:whole")))
    assert sewn < measured < look < cell_in
    assert order[-len(keys(usual, "care")) :] == keys(usual, "care")
    assert set(order) >= set(keys(usual, "blink")) | {key for key in keys(usual, "test") if key != "look:test"}


def test_what_two_stages_say_they_do_the_first_does() -> None:
    plan = make_plan(porch(stages=[stage("One", does=("test",)), stage("Two", does=("test", "care"))]))
    assert [one.kinds for one in plan.stages if one.name in ("One", "Two")] == [("test",), ("care",)]


def test_a_connection_in_two_stages_is_sewn_in_the_first() -> None:
    plan = make_plan(porch(stages=[stage("A", "glow"), stage("B", "glow", "blink")]))
    by_name = {one.name: one for one in plan.stages}
    assert (by_name["A"].connections, by_name["B"].connections) == (("glow",), ("blink",))


def test_a_stage_keeps_a_name_of_its_own() -> None:
    plan = make_plan(porch(stages=[stage("glow", "sense"), stage("Test"), stage("test")]))
    assert names(plan)[2:8] == ["glow", "positive side", "negative side", "glow 2", "blink", "Test"]
    assert [one.name for one in plan.stages if "test" in one.kinds] == ["Test"]
    assert len(plan.runs) == 9


def test_lines_for_no_connection_come_last_and_a_connection_without_lines_says_so() -> None:
    loose: Document = document(
        {"B1": "coin-holder", "R1": "resistor-220", "L1": "light-red"},
        {"plus": "B1.p1 L1.plus"},
        {"B1": (100, 100), "R1": (300, 300), "L1": (300, 100)},
        [line("s1", "R1.a", "R1.b", (300, 350))],
    )
    plan = make_plan(loose)
    assert names(plan)[2:4] == ["positive side", "other lines"]
    assert [step.key for step in plan.stages[2].steps] == ["sew:ready", "missing:plus"]
    assert [run.connection for run in plan.runs] == [""]
    assert plan.stages[3].connections == ()


def test_parts_are_tried_with_parts_of_the_same_kit() -> None:
    """The battery and the switch with the first light, the board with all that its pins turn on."""
    plan = make_plan(porch(pins={"M1.a1": "output", "M1.a2": "fade"}))
    tried = {step.key: str(step.text) for one in plan.stages for step in one.steps if step.action == "try"}
    assert tried["try:B1"] == "Put the battery in B1. Clip L1 to it, + to +. Does L1 shine?"
    assert tried["try:S1"] == "Clip S1, L1 and the battery in a ring. Work S1. Does L1 go on and off?"
    assert "Clip L1, L2 to its pins. Run its test. Does each one work?" in tried["try:M1"]
