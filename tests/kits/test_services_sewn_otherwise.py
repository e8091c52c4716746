"""“I sewed it differently”, and layouts that change once sewing has begun."""

from __future__ import annotations

import pytest
from django.urls import reverse

from kits.models import Event, Kit
from kits.services.access import Person
from kits.services.decide import accept, send_back
from kits.services.hand_in import hand_in
from kits.services.layouts import NotNow, save_layout
from kits.services.sewing import what_to_unpick
from kits.services.sewn_otherwise import Resewn, keep_otherwise, lines_at_hand, look_at, sew_again
from kits.services.states import state_of_kit
from projects.circuit.refusal import Refusal
from tests.kits.factories import make_user, make_workshop, sewing, teacher_client
from tests.kits.test_services_steps import go_on, learner, now, read, teacher

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit() -> Kit:
    """Both sides of the battery are sewn; the line from the light to the switch is to be sewn now."""
    workshop = make_workshop(make_user("teacher"), kits=1, names=("Ayo",))
    kit = sewing(workshop.kits.select_related("workshop__owner").get(number=1))
    go_on(kit, "sew:s4")
    return kit


def drawn(kit: Kit, line: str, **changes: object) -> Resewn:
    one = next(line_ for line_ in read(kit).document.layout.lines if line_.name == line)
    told = {"line": line, "start": one.start, "end": one.end, "via": one.via, **changes}
    return Resewn(**told)  # type: ignore[arg-type]


def test_only_lines_that_are_sewn_or_in_hand_can_be_otherwise(kit: Kit) -> None:
    assert set(lines_at_hand(read(kit))) == {"s1", "s2", "s3", "s4", "s5", "s6"}
    untouched = sewing(make_workshop(make_user("other"), kits=1).kits.get())
    assert lines_at_hand(read(untouched)) == ()
    with pytest.raises(NotNow, match="not sewn yet"):
        look_at(read(untouched), Resewn("s4", "L1.minus", "S1.b", ()))


def test_a_line_sewn_to_the_wrong_hole_must_come_out(kit: Kit) -> None:
    wrong = drawn(kit, "s4", end="S1.a", via=())
    seen = look_at(read(kit), wrong)
    assert not seen.may_stay
    assert {"short"} <= {finding.rule for finding in seen.stops}
    with pytest.raises(NotNow, match="come out"):
        keep_otherwise(kit, wrong, learner(kit))
    assert state_of_kit(kit).phase == "sewing"


def test_a_hole_that_is_none_is_refused(kit: Kit) -> None:
    with pytest.raises(Refusal):
        look_at(read(kit), drawn(kit, "s4", end="S9.x"))


def test_a_line_that_went_another_way_is_kept_handed_in_and_never_unpicked(kit: Kit) -> None:
    before = set(read(kit).progress.lines_done)
    other = drawn(kit, "s4", via=((125.0, 57.0),))
    assert look_at(read(kit), other).may_stay
    submission = keep_otherwise(kit, other, learner(kit))
    assert state_of_kit(kit).phase == "handed-in"
    assert what_to_unpick(submission) == ()
    accept(submission, teacher(kit))
    found = read(kit)
    assert found.progress.lines_done >= before | {"s4"}
    assert found.followed.continued is not None
    assert found.followed.continued.unpick == ()
    assert next(line for line in found.document.layout.lines if line.name == "s4").via == ((125.0, 57.0),)
    go_on(kit, "nowhere")
    assert state_of_kit(kit).phase == "finished"


def test_sent_back_it_is_sewn_by_the_plan_that_was_accepted(kit: Kit) -> None:
    submission = keep_otherwise(kit, drawn(kit, "s4", via=((125.0, 57.0),)), learner(kit))
    send_back(submission, teacher(kit), "It is too near the edge. Unpick it.")
    state = state_of_kit(kit)
    assert (state.phase, state.reason) == ("sewing", "It is too near the edge. Unpick it.")
    assert next(line for line in read(kit).document.layout.lines if line.name == "s4").via != ((125.0, 57.0),)
    sew_again(kit, "s4", learner(kit))
    assert now(kit).startswith("sew:s4")


def test_a_layout_changed_later_keeps_what_is_sewn_and_says_what_to_unpick(kit: Kit) -> None:
    person = teacher(kit)
    layout = read(kit).document.layout
    places = tuple(
        place.model_copy(update={"x": place.x + 6}) if place.ref == "S1" else place for place in layout.places
    )
    fresh = Kit.objects.get(pk=kit.pk)
    version = save_layout(fresh, layout.model_copy(update={"places": places}), fresh.layout_version, person)
    submission = hand_in(Kit.objects.get(pk=kit.pk), version, person)
    assert [one.line for one in what_to_unpick(submission)] == ["s5"]  # the teacher is told before
    page = teacher_client(kit.workshop.owner).get(reverse("kits:submission", args=[submission.pk])).content
    assert b"<strong>s5</strong> S1 has moved." in page
    accept(submission, person)
    found = read(kit)
    continued = found.followed.continued
    assert continued is not None
    assert [one.line for one in continued.unpick] == ["s5"]  # the only sewn line that ends at the switch
    assert {"s1", "s2", "s3", "s6"} <= found.progress.lines_done
    assert now(kit).startswith("unpick:")
    assert Kit.objects.get(pk=kit.pk).stages[0]["name"] == "unpick"
    assert state_of_kit(Kit.objects.get(pk=kit.pk)).current == "unpick"
    assert kit.events.filter(kind=Event.Kind.STAGE_UNDONE, stage="negative side").exists()
    go_on(Kit.objects.select_related("workshop__owner").get(pk=kit.pk), "nowhere")
    assert state_of_kit(Kit.objects.get(pk=kit.pk)).phase == "finished"


def test_nobody_sews_otherwise_before_a_layout_is_accepted() -> None:
    kit = make_workshop(make_user("other"), kits=1).kits.get()
    with pytest.raises(NotNow, match="not accepted"):
        keep_otherwise(kit, Resewn("s4", "L1.minus", "S1.b", ()), Person(kit=kit))
