"""What happened in the demo's session so far: who did what, how many minutes before the demo is loaded.

Everything is done through the services that the pages use, so the demo can hold nothing that a class could not.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kits.demo import mistakes
from kits.demo.mistakes import Change
from kits.models import Kit
from kits.services.access import Person
from kits.services.attendance import set_absent
from kits.services.calls_for_help import ask_for_help
from kits.services.decide import accept, send_back
from kits.services.give_spare import give_spare
from kits.services.hand_in import hand_in
from kits.services.layouts import save_layout
from kits.services.packing import hand_out, items_of, pack
from kits.services.sewing import read_sewing
from kits.services.stage_ticks import sign_off_stage, tick_stage
from kits.services.states import state_of_kit
from kits.services.steps import take_reading, tick_step
from kits.supplies.items import MILLI

__all__ = ["PLANS", "STORY", "Act", "Moment", "Staff"]


@dataclass(frozen=True)
class Staff:
    """The grown-ups of the demo."""

    teacher: Person
    helper: Person


Act = Callable[[Kit, Staff], None]


@dataclass(frozen=True)
class Moment:
    """Something done at a kit, so many minutes ago."""

    minutes_ago: int
    kit: int
    act: Act


PLANS: dict[int, Change] = {
    1: mistakes.crossing_with_cover,
    2: mistakes.crossing,
    3: mistakes.light_reversed,
    4: mistakes.forgotten_line,
    5: mistakes.holder_turned,
    6: mistakes.too_close,
    8: mistakes.beneath_holder,
    9: mistakes.moved("L1", right=4, down=0),
    10: mistakes.moved("L1", right=0, down=6),
    11: mistakes.half_the_lines,
    12: mistakes.moved("Z1", right=-4, down=-4),
}
"""How each kit's layout differs from the example, by the kit's number. Kit 7 has nothing placed yet."""


def is_packed(kit: Kit, staff: Staff) -> None:
    """The teacher packs the kit's bag, as far as the cupboard has it."""
    pack(kit, staff.teacher)


def is_handed_out(kit: Kit, staff: Staff) -> None:
    """The learner gets the bag."""
    hand_out(kit, staff.teacher)


def gets_a_spare(kit: Kit, staff: Staff) -> None:
    """The teacher gives the kit one more light."""
    light = next(one.item for one in items_of(kit) if one.item.code == "light-red")
    give_spare(kit, staff.teacher, light, 1 * MILLI, "The rim of one came off.")


def is_absent(kit: Kit, staff: Staff) -> None:
    """The kit's learner did not come today."""
    set_absent(kit, kit.learners.get(), True, staff.teacher)


def draws(kit: Kit, staff: Staff) -> None:
    """A learner draws the kit's plan."""
    layout = PLANS[kit.number](kit.revision.read()).layout
    save_layout(kit, layout, kit.layout_version, _learner(kit))


def hands_in(kit: Kit, staff: Staff) -> None:
    """A learner hands the plan in."""
    hand_in(kit, kit.layout_version, _learner(kit))


def is_accepted(kit: Kit, staff: Staff) -> None:
    """The teacher accepts the plan."""
    accept(kit.submissions.latest("number"), staff.teacher)


def is_sent_back(reason: str) -> Act:
    """The teacher sends the plan back."""

    def act(kit: Kit, staff: Staff) -> None:
        send_back(kit.submissions.latest("number"), staff.teacher, reason)

    return act


def asks(about: str) -> Act:
    """A learner asks for help."""

    def act(kit: Kit, staff: Staff) -> None:
        ask_for_help(kit, _learner(kit), about)

    return act


def goes_on(kit: Kit, staff: Staff) -> None:
    """A learner ticks the stage they are at; where one waits for a look, the helper gives it."""
    state = state_of_kit(kit)
    if state.waiting_for_look is not None:
        sign_off_stage(kit, state.waiting_for_look, staff.helper)
    elif state.current is not None:
        tick_stage(kit, state.current, _learner(kit))


def does_steps(count: int) -> Act:
    """A learner ticks so many steps, one by one; not past a look or a reading."""

    def act(kit: Kit, staff: Staff) -> None:
        for _ in range(count):
            sewing = read_sewing(kit)
            step = sewing.progress.now if sewing is not None else None
            if step is None or step.action == "read" or step.key.startswith("look:"):
                return
            tick_step(kit, step.key, _learner(kit))

    return act


def reads(value: float | None) -> Act:
    """A learner types what the meter shows; None where it shows OL."""

    def act(kit: Kit, staff: Staff) -> None:
        sewing = read_sewing(kit)
        step = sewing.progress.now if sewing is not None else None
        if step is not None:
            take_reading(kit, step.key, value, _learner(kit))

    return act


def _learner(kit: Kit) -> Person:
    return Person(kit=kit, learner=kit.learners.first())


def _at(kit: int, *acts: tuple[int, Act]) -> list[Moment]:
    return [Moment(minutes_ago, kit, act) for minutes_ago, act in acts]


def _goes_on_at(kit: int, *minutes_ago: int) -> list[Moment]:
    return [Moment(minutes, kit, goes_on) for minutes in minutes_ago]


PACKED = (1, 2, 3, 4, 5, 6, 7, 9, 10, 11, 12)
"""Kits whose bag was packed before the session, from the cupboard as it was then; kit 8 is still to pack."""

STORY = (
    *(moment for kit in PACKED for moment in _at(kit, (88, is_packed))),
    *(moment for kit in PACKED if kit != 7 for moment in _at(kit, (86, is_handed_out))),  # kit 7 was not fetched
    *_at(1, (45, gets_a_spare)),
    *_at(1, (78, draws), (70, hands_in), (66, is_accepted)),
    *_goes_on_at(1, 57, 54, 43, 22),
    *_at(2, (31, draws)),
    *_at(3, (33, draws), (6, asks("Which end of the light is plus?"))),
    *_at(4, (29, draws)),
    *_at(5, (27, draws)),
    *_at(6, (72, draws), (41, hands_in)),
    *_at(6, (35, is_sent_back("Lines s10 and s13 lie very close. Move s10 to the right, then hand it in again."))),
    *_at(7, (85, is_absent)),
    *_at(8, (73, draws)),
    *_at(9, (84, draws), (80, hands_in), (78, is_accepted)),
    *_goes_on_at(9, 74, 72, 66, 50, 35, 22, 14, 10, 8, 5, 3),
    *_at(10, (68, draws), (12, hands_in)),
    *_at(11, (24, draws)),
    *_at(12, (76, draws), (52, hands_in), (47, is_accepted)),
    *_goes_on_at(12, 42, 40),
    *_at(12, (36, does_steps(5)), (27, does_steps(9)), (17, does_steps(9)), (8, does_steps(9)), (3, reads(None))),
)
"""All moments, kit by kit; the loader puts them in the order of time."""
