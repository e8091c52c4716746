"""Moving kits to a newer revision: what changes for whom, and no layout lost."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.urls import reverse

from kits.models import Event, Kit, Workshop
from kits.services.access import Person
from kits.services.move_revision import move_kits, moves_of
from kits.services.publish import publish
from kits.services.vary import vary_kit
from projects.circuit.document import Document
from projects.circuit.editing import parts, pieces, supplies
from projects.circuit.editing import stages as staging
from projects.circuit.editing.facts import set_title
from projects.circuit.layout import Layout
from projects.circuit.project import Stage, Supply
from projects.circuit.variation import put_switch
from projects.drafts import change_draft
from projects.models import Revision
from projects.sharing import share
from tests.kits.factories import handed_in, lantern, make_user, make_workshop, sewing, teacher_client, with_layout

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop() -> Workshop:
    """Kit 1 has a layout, 2 none, 3 sews, 4 has handed in, 5 has a circuit of its own."""
    workshop = make_workshop(make_user("teacher"), kits=5)
    first, _, third, fourth, fifth = workshop.kits.all()
    with_layout(first)
    sewing(third)
    handed_in(fourth)
    vary_kit(fifth, fifth.layout_version, lambda d: put_switch(d, "B1.n1"), Person(user=workshop.owner))
    return workshop


def new_revision(workshop: Workshop, change: Callable[[Document], Document]) -> Revision:
    project = workshop.kits.first().revision.project  # type: ignore[union-attr]
    change_draft(project, project.newest().layout_version, change, "changed", workshop.owner)
    return publish(project)


def kit(workshop: Workshop, number: int) -> Kit:
    return workshop.kits.select_related("revision").get(number=number)


def more_light(document: Document) -> Document:
    return parts.add_part(document, "light-red")


def test_running_workshops_keep_their_revision(workshop: Workshop) -> None:
    assert moves_of(workshop) == []
    new_revision(workshop, more_light)
    assert {one.revision.number for one in workshop.kits.all()} == {1}
    assert kit(workshop, 1).read() == lantern()


def test_a_move_says_what_changes_and_for_whom(workshop: Workshop) -> None:
    new_revision(workshop, lambda d: supplies.add_supply(more_light(d), Supply(name="wool")))
    (move,) = moves_of(workshop)
    assert [str(words) for words in move.changes] == ["L2 (Sew-on light, red) is added", "other supplies"]
    stays = {one.kit.number: one.stays for one in move.kits}
    assert (stays[1], stays[2]) == ("", "")
    assert "being sewn" in stays[3]
    assert "waits for your look" in stays[4]
    assert "circuit of its own" in stays[5]


def test_a_move_says_that_stages_and_the_example_are_otherwise(workshop: Workshop) -> None:
    def merged(document: Document) -> Document:
        sides = Stage(name="Both sides", connections=("plus", "minus"))
        return staging.set_stages(document, (Stage(name="Start", does=("mark", "try it out")), sides))

    def regrouped(document: Document) -> Document:
        start, sides = document.project.stages
        wider = sides.model_copy(update={"connections": (*sides.connections, "middle")})
        return staging.set_stages(document, (start, wider)).with_layout(Layout())

    new_revision(workshop, merged)
    assert [str(words) for words in moves_of(workshop)[0].changes] == ["other stages"]
    move_kits(
        workshop, workshop.kits.all()[0].revision.project.newest(), [kit(workshop, 2).pk], Person(user=workshop.owner)
    )
    new_revision(workshop, regrouped)
    by_old = {move.old.number: [str(words) for words in move.changes] for move in moves_of(workshop)}
    assert by_old == {
        1: ["other stages", "another example layout"],
        2: ["the stages sew other lines", "another example layout"],
    }


def test_a_project_that_is_shared_no_longer_gives_no_newer_revision(workshop: Workshop) -> None:
    new = new_revision(workshop, more_light)
    kim = make_user("kim")
    Workshop.objects.filter(pk=workshop.pk).update(owner=kim)
    workshop.refresh_from_db()
    assert moves_of(workshop) == []
    answer = teacher_client(kim).post(
        reverse("kits:move-revision", args=[workshop.pk]), {"revision": new.pk, "kits": [kit(workshop, 2).pk]}
    )
    assert answer.status_code == 302
    assert kit(workshop, 2).revision.number == 1
    share(new.project, "kim", may_edit=False)
    assert len(moves_of(workshop)) == 1


def test_kits_move_with_their_layout_and_the_others_stay(workshop: Workshop) -> None:
    new = new_revision(workshop, more_light)
    before = {one.number: (one.layout, one.layout_version) for one in workshop.kits.all()}
    moved = move_kits(workshop, new, [one.pk for one in workshop.kits.all()], Person(user=workshop.owner))
    assert moved == (1, 2)
    assert {one.number: one.revision.number for one in workshop.kits.all()} == {1: 2, 2: 2, 3: 1, 4: 1, 5: 1}
    assert {one.number: one.layout for one in workshop.kits.all()} == {n: layout for n, (layout, _v) in before.items()}
    assert kit(workshop, 1).layout_version == before[1][1] + 1, "an open page must not save over it unseen"
    assert kit(workshop, 1).read().project == new.read().project
    note = Event.objects.filter(kit=kit(workshop, 1), kind="note").get()
    assert note.remark.text == "Moved to revision 2"


def test_a_kit_whose_layout_would_lose_something_stays_and_says_what(workshop: Workshop) -> None:
    new = new_revision(workshop, lambda d: parts.remove_part(d, "S1"))
    (move,) = moves_of(workshop)
    assert {one.kit.number for one in move.kits if not one.stays} == {2}
    assert 'there is no part "S1"' in move.kits[0].stays
    assert move_kits(workshop, new, [kit(workshop, 1).pk], Person(user=workshop.owner)) == ()
    assert kit(workshop, 1).read() == lantern()


def test_a_renamed_piece_holds_back_who_has_laid_out_on_it(workshop: Workshop) -> None:
    new_revision(workshop, lambda d: pieces.change_piece(d, "front", "moon", 8))
    (move,) = moves_of(workshop)
    assert [one.kit.number for one in move.kits if not one.stays] == [2]


def test_nothing_moves_backwards_or_to_another_project(workshop: Workshop) -> None:
    new = new_revision(workshop, lambda d: set_title(d, "Newer"))
    move_kits(workshop, new, [kit(workshop, 1).pk], Person(user=workshop.owner))
    old = new.project.revisions.get(number=1)
    assert move_kits(workshop, old, [kit(workshop, 1).pk], Person(user=workshop.owner)) == ()


def test_the_page_moves_the_ticked_kits(workshop: Workshop) -> None:
    new = new_revision(workshop, more_light)
    client = teacher_client(workshop.owner)
    address = reverse("kits:move-revision", args=[workshop.pk])
    page = client.get(address).content.decode()
    assert "L2 (Sew-on light, red) is added" in page
    assert page.count('name="kits"') == 2
    answer = client.post(address, {"revision": new.pk, "kits": [kit(workshop, 2).pk, 987_654, "x"]}, follow=True)
    assert "kits 2" in answer.content.decode()
    assert {one.number: one.revision.number for one in workshop.kits.all()} == {1: 1, 2: 2, 3: 1, 4: 1, 5: 1}
    assert "Tick at least one" in client.post(address, {"revision": "x"}, follow=True).content.decode()
