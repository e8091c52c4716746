"""How far a kit is, from its events alone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from kits.progress import KitState, StageRow, Tick, state_of

NOW = datetime(2026, 3, 6, 15, 0, tzinfo=UTC)
STAGES = (StageRow("mark", "Mark", look=True), StageRow("plus", "Sew the + side"), StageRow("care", "Care"))


def after(*events: str) -> KitState:
    """`kind` or `kind:stage`, a minute apart."""
    ticks = []
    for at, event in enumerate(events):
        kind, _, stage = event.partition(":")
        ticks.append(Tick(kind, stage, NOW + timedelta(minutes=at), submission=7, text=f"about {at}"))
    return state_of(STAGES, ticks)


def test_a_kit_goes_from_nothing_to_finished() -> None:
    events = ["layout-begun", "handed-in", "accepted", "stage-done:mark", "signed-off:mark", "stage-done:plus"]
    events.append("stage-done:care")
    phases = [after(*events[:count]).phase for count in range(len(events) + 1)]
    assert phases == ["not-begun", "laying-out", "handed-in", *["sewing"] * 4, "finished"]


def test_the_stage_to_work_on_waits_for_a_look_where_it_ends_with_one() -> None:
    begun = ("layout-begun", "handed-in", "accepted")
    assert after(*begun).current == "mark"
    waiting = after(*begun, "stage-done:mark")
    assert (waiting.current, waiting.waiting_for_look) == ("mark", "mark")
    assert [waiting.of_stage(stage) for stage in STAGES] == ["waiting", "to-do", "to-do"]
    looked = after(*begun, "stage-done:mark", "signed-off:mark")
    assert (looked.current, looked.waiting_for_look) == ("plus", None)
    assert [looked.of_stage(stage) for stage in STAGES] == ["done", "now", "to-do"]


def test_sent_back_says_why_until_it_is_handed_in_again() -> None:
    back = after("layout-begun", "handed-in", "sent-back")
    assert (back.phase, back.reason) == ("sent-back", "about 2")
    again = after("layout-begun", "handed-in", "sent-back", "handed-in")
    assert (again.phase, again.reason) == ("handed-in", "")


def test_a_stage_sent_back_is_to_be_done_again() -> None:
    back = after("layout-begun", "handed-in", "accepted", "stage-done:mark", "sent-back:mark")
    assert (back.phase, back.current, back.waiting_for_look, back.reason) == ("sewing", "mark", None, "about 4")


def test_unticking_a_stage_of_a_finished_kit_opens_it_again() -> None:
    done = ("handed-in", "accepted", "signed-off:mark", "stage-done:plus", "stage-done:care")
    assert after(*done).phase == "finished"
    assert after(*done, "stage-undone:plus").current == "plus"


def test_asking_again_keeps_the_place_in_the_queue() -> None:
    asked = after("help-asked", "note", "help-asked")
    assert asked.help_since == NOW
    assert after("help-asked", "help-given").help_since is None
    assert after("help-asked", "help-dropped", "help-asked").help_since == NOW + timedelta(minutes=2)


def test_only_an_accepted_layout_is_out_of_the_learners_hands() -> None:
    assert not after("layout-begun", "handed-in").sewing_begun
    assert after("layout-begun", "handed-in", "accepted").sewing_begun
    assert not after("layout-begun", "handed-in", "accepted", "handed-in").sewing_begun
    assert after("layout-begun", "handed-in", "accepted", "handed-in", "sent-back").sewing_begun


def test_a_kit_without_stages_never_counts_as_finished() -> None:
    assert state_of((), [Tick("handed-in", "", NOW, 1), Tick("accepted", "", NOW, 1)]).phase == "sewing"
