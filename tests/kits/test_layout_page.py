"""The layout page's three addresses: what they show, keep and refuse."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from kits.models import Kit
from projects.circuit import project_file
from projects.stored import document_json
from tests.kits.factories import CASE, learner_client, make_project, make_user, make_workshop, teacher_client

EXAMPLE: dict[str, Any] = json.loads(CASE.read_bytes())["layout"]
pytestmark = pytest.mark.django_db


@pytest.fixture
def kit() -> Kit:
    return make_workshop(make_user("ida"), kits=2).kits.get(number=1)


@pytest.fixture
def learner(kit: Kit) -> Client:
    return learner_client(kit)


def send(client: Client, kit: Kit, version: object, layout: object, **more: object) -> tuple[int, dict[str, Any]]:
    body = json.dumps({"version": version, "layout": layout, **more})
    response = client.post(reverse("kits:layout-save", args=[kit.pk]), body, content_type="application/json")
    return response.status_code, response.json()


def page_data(client: Client, kit: Kit) -> dict[str, Any]:
    response = client.get(reverse("kits:layout", args=[kit.pk]))
    assert response.status_code == 200
    text = response.content.decode()
    start = text.index(">", text.index('<script id="layout-data"')) + 1
    found: dict[str, Any] = json.loads(text[start : text.index("</script>", start)])
    return found


def test_the_page_holds_circuit_layout_and_words(learner: Client, kit: Kit) -> None:
    data = page_data(learner, kit)
    assert data["version"] == 0
    assert data["layout"] == {"places": [], "joins": [], "lines": [], "covers": []}
    assert data["fixed"] == ""
    assert [part["ref"] for part in data["parts"]] == ["B1", "L1", "S1"]
    assert {one["name"]: one["label"] for one in data["connections"]} == {"plus": "+", "middle": "1", "minus": "−"}
    assert data["types"]["coin-holder"]["groups"] == [["p1", "p2"], ["n1", "n2"]]
    assert all(data["words"].values())


def test_what_is_saved_comes_back_with_what_the_check_says(learner: Client, kit: Kit) -> None:
    status, answer = send(learner, kit, 0, EXAMPLE)
    assert (status, answer["version"], answer["saved"]) == (200, 1, True)
    kit.refresh_from_db()
    assert kit.read().layout == project_file.read(CASE.read_bytes()).layout
    assert page_data(learner, kit)["layout"]["lines"][0]["from"] == "B1.p1"
    crossing = {
        **EXAMPLE,
        "lines": [*EXAMPLE["lines"], {"name": "s7", "piece": "front", "from": "B1.p1", "to": "S1.a"}],
    }
    status, answer = send(learner, kit, 1, crossing)
    assert status == 200
    stops = [mark for mark in answer["marks"] if mark["kind"] == "stop"]
    assert stops
    assert answer["stops"] == len({mark["number"] for mark in stops})
    assert all(mark["title"] for mark in stops)
    for mark in stops:
        assert f'data-finding="{mark["number"]}"' in answer["findings_html"]


def test_a_layout_saved_elsewhere_is_handed_back_and_not_overwritten(learner: Client, kit: Kit) -> None:
    assert send(learner, kit, 0, EXAMPLE)[0] == 200
    status, answer = send(learner, kit, 0, {"places": []})
    assert (status, answer["version"]) == (409, 1)
    assert len(answer["layout"]["lines"]) == 6
    kit.refresh_from_db()
    assert kit.layout_version == 1
    assert len(kit.read().layout.lines) == 6


@pytest.mark.parametrize(
    ("version", "layout"),
    [
        (0, {"places": [{"ref": "B9", "piece": "front", "x": 1, "y": 1}]}),
        (0, {"places": [], "colour": "red"}),
        (0, {"lines": [{"name": "s1", "piece": "front", "from": "B1.p1", "to": "@j9"}]}),
        (0, {"places": [{"ref": "B1", "piece": "front", "x": 1e9, "y": 1}]}),
        (0, None),
        (0, []),
        (True, {}),
        ("0", {}),
        (-1, {}),
        (None, {}),
    ],
)
def test_what_does_not_fit_the_circuit_is_refused_in_words(
    learner: Client, kit: Kit, version: object, layout: object
) -> None:
    status, answer = send(learner, kit, version, layout)
    assert status == 400
    assert answer["error"].startswith("This plan cannot be kept.")
    kit.refresh_from_db()
    assert (kit.layout_version, kit.layout) == (0, {})


@pytest.mark.parametrize("body", [b"", b"[]", b"{", b"\xff\xfe", b'{"version": NaN}', b"[" * 5000])
def test_what_is_no_layout_at_all_is_refused_in_words(learner: Client, kit: Kit, body: bytes) -> None:
    response = learner.post(reverse("kits:layout-save", args=[kit.pk]), body, content_type="application/json")
    assert response.status_code == 400
    assert response.json()["error"]


def test_who_is_signed_out_is_told_that_the_plan_is_kept(kit: Kit) -> None:
    status, answer = send(Client(), kit, 0, EXAMPLE)
    assert (status, answer["error"]) == (403, "Sign in again. Your plan is kept on this device.")
    assert Client().get(reverse("kits:layout", args=[kit.pk])).status_code == 302


def test_another_kit_is_not_there(learner: Client, kit: Kit) -> None:
    other = kit.workshop.kits.get(number=2)
    assert learner.get(reverse("kits:layout", args=[other.pk])).status_code == 404
    response = learner.post(reverse("kits:layout-save", args=[other.pk]), "{}", content_type="application/json")
    assert response.status_code == 404
    assert learner.post(reverse("kits:hand-in", args=[other.pk])).status_code == 404


def test_a_sound_plan_is_handed_in_as_it_was_seen(learner: Client, kit: Kit) -> None:
    send(learner, kit, 0, EXAMPLE)
    for version in ("0", "7", "", "x", "٣", "9" * 30):
        assert learner.post(reverse("kits:hand-in", args=[kit.pk]), {"version": version}).url.endswith("/layout/")
    assert not kit.submissions.exists()
    response = learner.post(reverse("kits:hand-in", args=[kit.pk]), {"version": "1"})
    assert response.url == reverse("kits:my-kit")
    assert kit.submissions.get().read().layout == project_file.read(CASE.read_bytes()).layout


def test_a_plan_with_a_stop_is_not_handed_in_and_the_page_says_why(learner: Client, kit: Kit) -> None:
    send(learner, kit, 0, {**EXAMPLE, "lines": EXAMPLE["lines"][1:]})
    response = learner.post(reverse("kits:hand-in", args=[kit.pk]), {"version": "1"}, follow=True)
    assert response.redirect_chain[-1][0] == reverse("kits:layout", args=[kit.pk])
    assert "must be put right first" in response.content.decode()
    assert not kit.submissions.exists()


def test_a_teacher_lays_out_the_example_of_a_project() -> None:
    teacher = make_user("ida")
    project = make_project(teacher)
    client = teacher_client(teacher)
    version = project.newest().layout_version
    assert client.get(reverse("kits:example-layout", args=[project.pk])).status_code == 200
    address = reverse("kits:example-layout-save", args=[project.pk])
    body = json.dumps({"version": version, "layout": {"places": EXAMPLE["places"]}})
    answer = client.post(address, body, content_type="application/json")
    assert (answer.status_code, answer.json()["version"]) == (200, version + 1)
    assert len(project.newest().read().layout.places) == 3
    assert client.post(address, body, content_type="application/json").status_code == 409


def test_what_is_still_to_do_holds_a_hand_in_back_as_well(learner: Client, kit: Kit) -> None:
    assert page_data(learner, kit)["stops"] == 3
    assert send(learner, kit, 0, EXAMPLE)[1]["stops"] == 0
    assert page_data(learner, kit)["stops"] == 0


def test_a_page_tells_when_it_was_made_so_that_an_older_copy_knows_less(learner: Client, kit: Kit) -> None:
    first = page_data(learner, kit)["made"]
    taken = send(learner, kit, 0, EXAMPLE)[1]["made"]
    assert first < taken < page_data(learner, kit)["made"]


def test_the_worker_is_a_script_of_ours_asked_for_anew_each_time() -> None:
    answer = Client().get(reverse("kits:layout-worker"))
    assert answer.headers["Content-Type"].startswith("text/javascript")
    assert answer.headers["Cache-Control"] == "no-cache"
    assert "addEventListener" in answer.content.decode()


def test_a_label_that_looks_like_markup_stays_a_word_in_the_page(learner: Client, kit: Kit) -> None:
    document = json.loads(CASE.read_bytes())
    own = {
        "type": "odd",
        "name": "</script><script>alert(1)</script>",
        "body": {"shape": "circle", "diameter": 10},
        "terminals": [{"name": "t", "label": "<b>&", "x": 0, "y": 0}],
        "model": {"kind": "pad"},
    }
    document["project"]["part_types"] = [own]
    document["project"]["parts"].append({"ref": "P1", "type": "odd"})
    kit.document = document_json(project_file.read(json.dumps(document).encode()))
    kit.save()
    text = learner.get(reverse("kits:layout", args=[kit.pk])).content.decode()
    assert "<script>alert" not in text
    assert page_data(learner, kit)["types"]["odd"]["name"] == own["name"]
