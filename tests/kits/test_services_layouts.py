"""From a saved layout to one that may be sewn."""

from __future__ import annotations

import pytest

from checks.engine import check
from kits.models import Event, Kit, LetPass, Submission
from kits.services.accept_sound import accept_sound
from kits.services.access import Person
from kits.services.decide import accept, send_back
from kits.services.give_example import give_example
from kits.services.hand_in import hand_in
from kits.services.layouts import NotNow, Stale, document_to_sew, save_example_layout, save_layout
from kits.services.let_pass import let_pass, take_back_let_pass
from kits.services.report_store import report_from, report_json
from kits.services.reports import judge, judge_kit, judge_submission
from kits.services.states import state_of_kit
from projects.circuit.document import Document
from projects.circuit.layout import Layout
from projects.models import Frozen, Revision
from tests.kits.factories import (
    handed_in,
    lantern,
    make_project,
    make_user,
    make_workshop,
    sewing,
    teacher_client,
    with_layout,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit() -> Kit:
    return make_workshop(make_user("teacher"), kits=3, names=("Ayo", "Kaja")).kits.get(number=1)


def teacher(kit: Kit) -> Person:
    return Person(user=kit.workshop.owner)


def learner(kit: Kit) -> Person:
    return Person(kit=kit, learner=kit.learners.first())


def crossing() -> Layout:
    """A line of the negative side led across the positive one: it shorts the cell."""
    layout = lantern().layout
    lines = tuple(
        line.model_copy(update={"via": ((70.0, 85.0), (70.0, 25.0), (75.0, 66.0))}) if line.name == "s5" else line
        for line in layout.lines
    )
    return layout.model_copy(update={"lines": lines})


def beneath() -> Layout:
    """A line of the negative side led beneath the holder: a stop that a teacher may let pass."""
    layout = lantern().layout
    lines = tuple(
        line.model_copy(update={"via": ((45.0, 60.0),)}) if line.name == "s6" else line for line in layout.lines
    )
    return layout.model_copy(update={"lines": lines})


def rules(document: Document) -> set[str]:
    return {finding.rule for finding in check(document).findings if finding.level == "stop"}


def test_the_layouts_of_these_tests_are_wrong_in_the_way_they_say() -> None:
    assert rules(lantern()) == set()
    assert "dead-short" in rules(lantern().with_layout(crossing()))
    assert rules(lantern().with_layout(beneath())) == {"under-part"}


def test_saving_counts_versions_and_begins_the_kit_once(kit: Kit) -> None:
    assert save_layout(kit, lantern().layout, 0, learner(kit)) == 1
    assert save_layout(kit, Layout(), 1, learner(kit)) == 2
    assert list(kit.events.values_list("kind", flat=True)) == [Event.Kind.LAYOUT_BEGUN]
    assert Kit.objects.get(pk=kit.pk).read().layout == Layout()


def test_a_page_that_is_behind_overwrites_nothing(kit: Kit) -> None:
    save_layout(kit, lantern().layout, 0, learner(kit))
    with pytest.raises(Stale) as stale:
        save_layout(kit, Layout(), 0, learner(kit))
    assert (stale.value.version, stale.value.layout) == (1, lantern().layout)
    assert Kit.objects.get(pk=kit.pk).read().layout == lantern().layout


def test_what_is_being_sewn_is_the_teachers_to_change(kit: Kit) -> None:
    kit = sewing(kit)
    with pytest.raises(NotNow):
        save_layout(kit, Layout(), kit.layout_version, learner(kit))
    assert save_layout(kit, Layout(), kit.layout_version, teacher(kit)) == kit.layout_version + 1


def test_what_is_sewn_by_is_what_was_accepted(kit: Kit) -> None:
    kit = sewing(kit)
    save_layout(kit, Layout(), kit.layout_version, teacher(kit))
    kit = Kit.objects.get(pk=kit.pk)
    assert (document_to_sew(kit), kit.read().layout) == (lantern(), Layout())
    page = teacher_client(kit.workshop.owner).get(f"/kits/{kit.pk}/").content.decode()
    assert "changed after it was accepted" in page


def test_a_project_can_fix_its_layout(kit: Kit) -> None:
    project = lantern().project.model_copy(update={"learner_may": "nothing"})
    kit.document = lantern().model_copy(update={"project": project}).model_dump(mode="json")
    kit.save()
    with pytest.raises(NotNow, match="fixed"):
        save_layout(kit, Layout(), 0, learner(kit))


def test_a_layout_handed_in_is_frozen_with_its_report(kit: Kit) -> None:
    submission = handed_in(kit)
    kit = Kit.objects.get(pk=kit.pk)
    save_layout(kit, Layout(), kit.layout_version, learner(kit))
    kept = Submission.objects.get(pk=submission.pk)
    assert kept.read() == lantern()
    assert report_from(kept.report) == check(lantern())
    assert (kept.number, kept.learner) == (1, kit.learners.first())
    with pytest.raises(Frozen):
        kept.save()
    with pytest.raises(Frozen):
        Submission.objects.all().update(number=9)


@pytest.mark.parametrize("layout", [crossing(), beneath(), Layout(), lantern().layout])
def test_a_report_comes_back_from_the_database_as_it_was(layout: Layout) -> None:
    report = check(lantern().with_layout(layout))
    assert report_from(report_json(report)) == report
    assert [str(finding.text) for finding in report_from(report_json(report)).findings] == [
        str(finding.text) for finding in report.findings
    ]


def test_a_stop_holds_the_layout_back_until_it_is_let_pass(kit: Kit) -> None:
    kit = with_layout(kit, beneath())
    with pytest.raises(NotNow, match="1 thing must be put right"):
        hand_in(kit, kit.layout_version, learner(kit))
    finding = judge_kit(kit).stops[0]
    let_pass(kit, finding.key, "The back is taped over.", teacher(kit))
    assert hand_in(kit, kit.layout_version, learner(kit)).number == 1
    take_back_let_pass(kit, finding.key)
    assert judge_kit(kit).stops == (finding,)


def test_a_let_pass_keeps_its_reason_and_who_gave_it(kit: Kit) -> None:
    kit = with_layout(kit, beneath())
    let_pass(kit, judge_kit(kit).stops[0].key, "The back is taped over.", teacher(kit))
    kept = LetPass.objects.get()
    assert (kept.reason, kept.by) == ("The back is taped over.", kit.workshop.owner)
    assert kit.events.latest("pk").remark.text == "The back is taped over."


def test_a_dead_short_never_passes(kit: Kit) -> None:
    kit = with_layout(kit, crossing())
    short = next(finding for finding in judge_kit(kit).stops if finding.rule == "dead-short")
    with pytest.raises(NotNow, match="never passes"):
        let_pass(kit, short.key, "It is only a small one.", teacher(kit))
    # Not even where a row says so, however it came there.
    assert judge(kit.read(), {short.key: "smuggled in"}).stops


def test_what_is_frozen_is_what_the_page_showed(kit: Kit) -> None:
    kit = with_layout(kit)
    with pytest.raises(NotNow, match="another page"):
        hand_in(kit, kit.layout_version - 1, learner(kit))
    assert not kit.submissions.exists()


def test_accepting_makes_the_layouts_stages_the_kits(kit: Kit) -> None:
    Kit.objects.filter(pk=kit.pk).update(stages=[])
    kit = sewing(Kit.objects.get(pk=kit.pk))
    assert [row["name"] for row in kit.stages][:3] == ["mark", "try it out", "positive side"]
    assert state_of_kit(kit).phase == "sewing"


def test_only_the_newest_layout_can_be_decided_on_and_only_once(kit: Kit) -> None:
    first = handed_in(kit)
    second = handed_in(kit)
    with pytest.raises(NotNow, match="newer"):
        accept(first, teacher(kit))
    send_back(second, teacher(kit), "Move the holder in.")
    assert state_of_kit(kit).reason == "Move the holder in."
    with pytest.raises(NotNow, match="decided"):
        accept(second, teacher(kit))


def test_a_layout_with_a_stop_that_no_longer_passes_is_not_accepted(kit: Kit) -> None:
    kit = with_layout(kit, beneath())
    key = judge_kit(kit).stops[0].key
    let_pass(kit, key, "Taped.", teacher(kit))
    submission = hand_in(kit, kit.layout_version, learner(kit))
    take_back_let_pass(kit, key)
    with pytest.raises(NotNow, match="put right"):
        accept(submission, teacher(kit))
    assert judge_submission(submission).stops


def test_the_example_goes_to_ticked_kits_that_do_not_sew_yet(kit: Kit) -> None:
    sewing(kit)
    second, third = kit.workshop.kits.exclude(pk=kit.pk)
    third.document = lantern().model_dump(mode="json")
    third.save()
    given = give_example(kit.workshop, kit.workshop.kits.all(), teacher(kit))
    assert (given.given, given.sewing, given.own_circuit) == ((2,), (1,), (3,))
    assert Kit.objects.get(pk=second.pk).read() == lantern()


def test_sound_layouts_are_accepted_in_bulk_and_the_others_named(kit: Kit) -> None:
    handed_in(kit)
    second, third = kit.workshop.kits.exclude(pk=kit.pk)
    with_layout(second)  # paper mode: given, not handed in by anyone
    done = accept_sound(kit.workshop, kit.workshop.kits.all(), teacher(kit))
    assert (done.accepted, done.held_back, done.nothing) == ((1, 2), (), (3,))
    assert second.submissions.get().user == kit.workshop.owner
    save_layout(third, beneath(), 0, teacher(kit))
    assert accept_sound(kit.workshop, [third], teacher(kit)).held_back == (3,)
    assert state_of_kit(third).phase == "laying-out"


def test_kits_of_another_workshop_are_left_alone_in_bulk(kit: Kit) -> None:
    other = with_layout(make_workshop(make_user("other")).kits.get(number=2))
    assert accept_sound(kit.workshop, [other], teacher(kit)).accepted == ()
    assert give_example(kit.workshop, [other], teacher(kit)).given == ()


def test_changing_a_published_example_makes_a_draft_and_leaves_the_revision() -> None:
    project = make_project(make_user("teacher"))
    assert save_example_layout(project, Layout(), 0) == 1
    one, two = project.revisions.order_by("number")
    assert (one.read().layout, two.read().layout, two.is_draft) == (lantern().layout, Layout(), True)
    with pytest.raises(Stale):
        save_example_layout(project, lantern().layout, 0)


def test_a_published_revision_never_changes() -> None:
    revision = make_project(make_user("teacher")).newest()
    revision.put_layout(Layout())
    with pytest.raises(Frozen):
        revision.save()
    assert Revision.objects.get(pk=revision.pk).read() == lantern()
