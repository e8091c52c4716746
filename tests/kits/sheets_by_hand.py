"""A plan and a report of the fixture `lantern-patch`, written by hand: sheets are tested against known values."""

from pathlib import Path

from checks.findings import Finding, Report
from kits.plan.values import Material, Plan, PlannedStage, Reading, Run, StageKind, Step
from kits.sheets.content import Heading
from projects.circuit.document import Document
from projects.circuit.fabric import Spot
from projects.circuit.project_file import read
from projects.circuit.text import Message, msg

__all__ = ["CLEAN", "FIXTURE", "HEADING", "RUNS", "STOPPED", "lantern", "plan_by_hand", "with_controller"]

FIXTURE = Path(__file__).parent.parent / "cases" / "lantern-patch.json"
HEADING = Heading("Lantern patch", kit="7", revision="3", learners=("Mila", "Tarek"), workshop="Wednesday sewing club")
CLEAN = Report((), (), ())
STOPPED = Report(
    (
        Finding(
            "short",
            "stop",
            msg("{a} and {b} touch.", a="plus", b="minus"),
            msg("Move one line away from the other."),
            at=(Spot("front", 70, 70),),
        ),
        Finding("too-close", "look", msg("Two lines are close."), msg("Move them apart.")),
    ),
    (),
    (),
)
RUNS = (
    Run("t1", "plus", ("B1.p2", "B1.p1", "@j1", "L1.plus"), ("s3", "s1", "s2"), 146.4, 700.0, 24.5),
    Run("t2", "middle", ("L1.minus", "S1.b"), ("s4",), 90.0, 505.2, 14.0),
    Run("t3", "minus", ("S1.a", "B1.n2", "B1.n1"), ("s5", "s6"), 84.9, 593.76, 12.2),
)

ENDS = {
    "t1": (Spot("front", 27, 66), Spot("front", 102, 30)),
    "t2": (Spot("front", 118, 30), Spot("front", 118, 85)),
    "t3": (Spot("front", 102, 85), Spot("front", 53, 54)),
}


def lantern() -> Document:
    """The fixture."""
    return read(FIXTURE.read_bytes())


def plan_by_hand() -> Plan:
    """Seven stages, three threads, and a reading of each kind."""
    sewing = [_sewing(run, number) for number, run in enumerate(RUNS, 1)]
    stages = (
        _stage("mark", "mark", msg("Mark"), ["Lay the template on the felt.", "Mark every metal hole."], look=True),
        _stage("try", "try", msg("Try it out"), ["Join the parts with clip leads.", "Does L1 light up?"]),
        *sewing,
        _stage("test", "test", msg("Test"), ["Put the battery in.", "Switch S1 on. L1 lights up."], look=True),
        _stage("finish", "finish", msg("Close and finish"), ["Seal every knot.", "Trim the tails to 3 mm."]),
    )
    return Plan(RUNS, stages, READINGS, MATERIALS)


READINGS = (
    Reading("B1.p1", "L1.plus", "ohms", "cell out", 3.6, 2.4, 5.3, "sew-t1", msg("Along thread 1")),
    Reading("B1.p1", "B1.n1", "ohms", "cell out", None, 20_000.0, None, "sew-t1", msg("These must not touch")),
    Reading("L1.minus", "S1.b", "ohms", "cell out", 2.62, 2.1, 3.72, "sew-t2", msg("Along thread 2")),
    Reading("L1.plus", "L1.minus", "volts", "S1=on, fresh", 2.84, 2.7, 2.9, "test", msg("Over the light")),
)
MATERIALS = (
    Material("Sew-on holder, 20 mm coin cell", "part", 1, "piece", 1.2, ("B1",), "coin-holder"),
    Material("Sew-on light, white", "part", 1, "piece", 0.3, ("L1",), "light-white"),
    Material("Sew-on slide switch", "part", 1, "piece", 0.4, ("S1",), "slide-switch"),
    Material("conductive thread", "thread", 1798.96, "mm", 0.54),
    Material("felt, A5 sheet", "supply", 1, "sheet", 0.6),
)


def _stage(name: str, kind: StageKind, title: Message, texts: list[str], look: bool = False) -> PlannedStage:
    steps = tuple(Step(f"{name}-{at}", "mark", Message(text), minutes=1.5) for at, text in enumerate(texts))
    return PlannedStage(name, title, (kind,), steps, (), look, 3.0)


def _sewing(run: Run, number: int) -> PlannedStage:
    name = f"sew-{run.name}"
    first, last = run.terminals[0], run.terminals[-1]
    steps = (
        Step(f"{name}-cut", "cut", msg("Cut the thread, fold it in half, knot both ends together."), run.name),
        Step(f"{name}-knot", "knot", msg("Come up from the inside at {at}.", at=first), run.name),
        Step(f"{name}-anchor", "anchor", msg("Sew three tight stitches over the rim of {at}.", at=first), run.name),
        Step(
            f"{name}-sew",
            "sew",
            msg("Sew along line {line} to {at}. Keep the fabric flat.", at=last, line=run.lines[0]),
            run.name,
            at=ENDS[run.name],
        ),
        Step(f"{name}-end", "anchor", msg("Sew three tight stitches over the rim of {at}.", at=last), run.name),
        Step(f"{name}-tie", "tie", msg("Tie off on the inside: two loops under the last stitch."), run.name),
        Step(f"{name}-trim", "trim", msg("Trim both tails to 3 mm."), run.name),
        *(Step(f"{name}-read-{at}", "read", one.text) for at, one in enumerate(READINGS) if one.stage == name),
    )
    title = msg("Sew thread {number}: {connection}", number=number, connection=run.connection)
    return PlannedStage(name, title, ("sew",), steps, (run.connection,), False, run.minutes)


def with_controller() -> Document:
    """The demo's project with a board, three lights and a light sensor."""
    return read((FIXTURE.parents[2] / "kits" / "demo" / "projects" / "firefly-jar.json").read_bytes())
