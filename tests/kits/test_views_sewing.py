"""The sewing page, what is typed on it, and the teacher's page of steps, readings and changes."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from kits.models import Event, Kit
from kits.services.access import Person
from kits.services.calls_for_help import ask_for_help
from kits.services.decide import send_back
from kits.services.hand_in import hand_in
from kits.services.layout_changes import layout_changes
from kits.services.layouts import save_layout
from kits.services.sewn_otherwise import keep_otherwise
from projects.circuit.layout import Layout
from tests.kits.factories import handed_in, lantern, learner_client, make_user, make_workshop, sewing, teacher_client
from tests.kits.test_services_sewn_otherwise import drawn
from tests.kits.test_services_steps import go_on, learner, now, read, teacher

pytestmark = pytest.mark.django_db

HTMX = {"HX-Request": "true"}


@pytest.fixture
def kit() -> Kit:
    workshop = make_workshop(make_user("teacher"), kits=1, names=("Ayo",))
    return sewing(workshop.kits.select_related("workshop__owner").get(number=1))


@pytest.fixture
def tablet(kit: Kit) -> Client:
    return learner_client(kit)


def page(tablet: Client, **query: str) -> str:
    response = tablet.get(reverse("kits:my-sewing"), query)
    assert response.status_code == 200
    return response.content.decode()


def test_one_step_at_a_time_with_its_thread_and_what_comes_then(kit: Kit, tablet: Client) -> None:
    go_on(kit, "sew:s3")
    shown = page(tablet)
    assert "Sew along line s3 to B1 (+, upper)" in shown
    assert "step 5 of" in shown
    assert "<dd>87 cm</dd>" in shown
    assert "<dd>B1 (+, lower)</dd>" in shown
    assert "<dd>L1 (+)</dd>" in shown
    assert "Make three tight stitches in B1 (+, upper)" in shown


def test_a_tick_answers_in_place_or_with_the_page(kit: Kit, tablet: Client) -> None:
    first = now(kit)
    assert tablet.post(reverse("kits:my-step"), {"step": first, "action": "tick"}).status_code == 302
    second = now(kit)
    answer = tablet.post(reverse("kits:my-step"), {"step": second, "action": "tick"}, headers=HTMX)
    assert answer.status_code == 200
    assert f'value="{now(kit)}"' in answer.content.decode()
    refused = tablet.post(reverse("kits:my-step"), {"step": "tie:s2", "action": "tick"}, headers=HTMX).content.decode()
    assert "Do the steps in order" in refused


def test_back_opens_the_step_before_and_lets_it_be_done_again(kit: Kit, tablet: Client) -> None:
    first = now(kit)
    tablet.post(reverse("kits:my-step"), {"step": first})
    assert f'href="?step={first.replace(":", "%3A")}"' in page(tablet)
    assert "You did this step." in page(tablet, step=first)
    tablet.post(reverse("kits:my-step"), {"step": first, "action": "untick"})
    assert now(kit) == first
    assert f'value="{first}"' in page(tablet, step="no such step")


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ({"value": "3.1", "unit": "1"}, 3.1),
        ({"value": " 3,1 "}, 3.1),
        ({"value": "0.0031", "unit": "1000"}, 3.1),
        ({"value": "", "open": "1"}, None),
    ],
)
def test_a_reading_is_judged_at_once(kit: Kit, tablet: Client, typed: dict[str, str], value: float | None) -> None:
    go_on(kit, "read:")
    key = now(kit)
    shown = tablet.post(reverse("kits:my-reading"), {"step": key, **typed}, headers=HTMX).content.decode()
    event = kit.events.get(kind=Event.Kind.READING_TAKEN)
    assert event.payload["value"] == (None if value is None else pytest.approx(value))
    if value is None:
        assert "You read: OL (open). These two are not joined. They should be." in shown
        assert "A helper has looked: go on" in shown
        assert now(kit) == key
    else:
        assert "Good. The thread joins these two." in shown
        assert now(kit) != key


@pytest.mark.parametrize("typed", ["", "abc", "1e999", "nan", "1_0", "٣", "99999999999", "3 1"])
def test_what_is_no_reading_comes_back_as_it_was_typed(kit: Kit, tablet: Client, typed: str) -> None:
    go_on(kit, "read:")
    answer = tablet.post(reverse("kits:my-reading"), {"step": now(kit), "value": typed, "unit": "1"})
    assert answer.status_code == 400
    assert f'value="{typed}"' in answer.content.decode() or not typed
    assert 'role="alert"' in answer.content.decode()
    assert not kit.events.filter(kind=Event.Kind.READING_TAKEN).exists()


def test_a_look_is_waited_for_and_help_leads_back_here(kit: Kit, tablet: Client) -> None:
    go_on(kit, "look:mark")
    assert "Your teacher can see that you wait." in page(tablet)
    answer = tablet.post(reverse("kits:my-help"), {"about": "my mark", "next": "sewing"})
    assert answer["Location"] == reverse("kits:my-sewing")
    assert "You asked for help." in page(tablet)


def test_who_writes_nothing_asks_about_the_step_they_are_at(kit: Kit, tablet: Client) -> None:
    go_on(kit, "sew:s3")
    at = re.search(r'name="at" value="([^"]*)"', page(tablet))
    assert at is not None
    tablet.post(reverse("kits:my-help"), {"about": "", "at": at[1], "next": "sewing"})
    assert kit.events.get(kind=Event.Kind.HELP_ASKED).remark.text == "Sew the + side, step 5"


def test_what_the_teacher_says_stands_with_the_step(kit: Kit, tablet: Client) -> None:
    submission = keep_after(kit)
    send_back(submission, teacher(kit), "Unpick it.")
    assert b"Unpick it." in tablet.get(reverse("kits:my-kit")).content


def keep_after(kit: Kit):  # type: ignore[no-untyped-def]
    go_on(kit, "sew:s4")
    return keep_otherwise(kit, drawn(kit, "s4", via=((125.0, 57.0),)), learner(kit))


def test_no_learner_page_is_heavy(kit: Kit, tablet: Client) -> None:
    go_on(kit, "sew:s4")
    for name in ("my-sewing", "my-kit", "my-otherwise", "my-photos"):
        assert len(tablet.get(reverse(f"kits:{name}")).content) < 200_000


def test_a_line_sewn_differently_is_looked_at_then_kept(kit: Kit, tablet: Client) -> None:
    go_on(kit, "sew:s4")
    address = reverse("kits:my-otherwise")
    assert b"line s4: L1" in tablet.get(address).content
    asked = {"line": "s4", "start": "L1.minus", "end": "S1.b", "way": "bends", "x1": "12.5", "y1": "5,7"}
    assert tablet.get(address, {"line": "s4"}).status_code == 200
    refused = tablet.post(address, {**asked, "action": "look"})
    assert refused.status_code == 400
    assert b"5,7" in refused.content
    asked["y1"] = "5.7"
    by_hand = {**asked, "way": "drawn", "drawn": "125,57", "action": "look"}
    assert b'value="125,57"' in tablet.post(address, by_hand).content
    assert b"It may stay." in tablet.post(address, {**asked, "action": "look"}).content
    wrong = {**asked, "end": "S1.a", "way": "straight"}
    seen = tablet.post(address, {**wrong, "action": "look"}).content.decode()
    assert "Line s4 must come out." in seen
    assert 'class="finding finding-stop"' in seen
    tablet.post(address, {**wrong, "action": "help"})
    assert kit.events.get(kind=Event.Kind.HELP_ASKED).remark.text == "I sewed line s4 differently"
    tablet.post(address, {**wrong, "action": "unpick"})
    assert now(kit) == "sew:s4"
    assert tablet.post(address, {**asked, "action": "keep"})["Location"] == reverse("kits:my-kit")
    assert kit.submissions.count() == 2


@pytest.mark.parametrize(
    "bad",
    [
        {"start": "L1.minus", "end": "L1.minus"},
        {"end": "S9.q"},
        {"way": "curly"},
        {"way": "bends", "x1": "3", "y1": ""},
        {"way": "bends", "x1": "nan", "y1": "2"},
        {"way": "bends", "x1": "9999999", "y1": "2"},
        {"way": "drawn"},
        *(
            {"way": "drawn", "drawn": drawn}
            for drawn in ("1", "1,2,3", "a,b", "nan,2", "1,inf", "1,  2 ,", "1e9,2", "1,2 " * 2000)
        ),
    ],
)
def test_what_cannot_be_sewn_is_refused(kit: Kit, tablet: Client, bad: dict[str, str]) -> None:
    go_on(kit, "sew:s4")
    asked = {"line": "s4", "start": "L1.minus", "end": "S1.b", "way": "plan", "action": "keep", **bad}
    answer = tablet.post(reverse("kits:my-otherwise"), asked)
    assert answer.status_code == 400
    assert b"invalid-feedback" in answer.content
    assert kit.submissions.count() == 1


def test_the_teachers_page_holds_readings_against_what_was_expected(kit: Kit) -> None:
    go_on(kit, "read:")
    tablet = learner_client(kit)
    tablet.post(reverse("kits:my-reading"), {"step": now(kit), "value": "", "open": "1"})
    tablet.post(reverse("kits:my-reading"), {"step": now(kit), "value": "3"})
    client = teacher_client(kit.workshop.owner)
    client.post(reverse("kits:kit-note", args=[kit.pk]), {"note": "Works on her own."})
    ask_for_help(kit, Person(kit=kit), "the meter")
    shown = " ".join(client.get(reverse("kits:kit-sewing", args=[kit.pk])).content.decode().split())
    reading = read(kit).progress.plan.readings[0]
    assert f"<td>{reading.min:.3g} Ω to {reading.max:.3g} Ω</td>" in shown
    assert "not as it should be:</span> open (OL)" in shown
    assert "as it should be:</span> 3 Ω" in shown
    assert "“Works on her own.”" in shown
    assert "“the meter”" in shown
    assert client.post(reverse("kits:kit-note", args=[kit.pk]), {"note": ""}).status_code == 400


def test_submissions_stand_side_by_side_with_what_changed() -> None:
    workshop = make_workshop(make_user("teacher"), kits=1, names=("Ayo",))
    kit = workshop.kits.get()
    client, address = teacher_client(workshop.owner), reverse("kits:compare", args=[kit.pk])
    assert b"Nothing was handed in yet." in client.get(address).content
    handed_in(kit)
    layout = lantern().layout
    lines = tuple(line.model_copy(update={"name": "s9"}) if line.name == "s2" else line for line in layout.lines)
    bent = tuple(line.model_copy(update={"via": ((125.0, 57.0),)}) if line.name == "s4" else line for line in lines)
    person = Person(user=workshop.owner)
    kit = Kit.objects.get()
    save_layout(kit, layout.model_copy(update={"lines": bent}), kit.layout_version, person)
    kit = Kit.objects.get()
    hand_in(kit, kit.layout_version, person)
    shown = " ".join(client.get(address).content.decode().split())
    assert '<th scope="row">Lines added</th><td>s9</td>' in shown
    assert '<th scope="row">Lines taken out</th><td>s2</td>' in shown
    assert '<th scope="row">Lines moved</th><td>s4</td>' in shown
    same = client.get(address, {"old": "1", "new": "1"}).content
    assert b"Nothing changed between these two." in same
    assert client.get(address, {"old": "x", "new": "99999999"}).status_code == 200


def test_a_line_moves_along_with_its_part() -> None:
    layout = lantern().layout
    places = tuple(place.model_copy(update={"turn": 90.0}) if place.ref == "S1" else place for place in layout.places)
    changes = layout_changes(layout, layout.model_copy(update={"places": places}))
    assert changes.parts_moved == ("S1",)
    assert set(changes.moved) == {"s4", "s5"}
    assert layout_changes(layout, Layout()).parts_removed == ("B1", "L1", "S1")
    assert layout_changes(Layout(), layout).parts_added == ("B1", "L1", "S1")


def test_the_page_takes_the_same_queries_however_far_the_sewing_is(kit: Kit, tablet: Client) -> None:
    taken = set()
    for until in ("mark:", "sew:s3", "sew:s4", "look:test"):
        go_on(kit, until)
        with CaptureQueriesContext(connection) as caught:
            page(tablet)
        taken.add(len(caught))
    assert len(taken) == 1
    assert max(taken) <= 8
