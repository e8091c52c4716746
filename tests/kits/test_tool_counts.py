"""Tools and cells: counted out and back, at home in objects, and closed short only with a reason."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from kits.models import Session, ToolClosing, ToolCount, ToolKind, ToolTray, Workshop
from kits.services.layouts import NotNow
from kits.services.tool_counts import (
    ToolsNow,
    cell_back,
    cell_home,
    change_count,
    close_count,
    count_tray,
    read_tools,
    reopen_count,
)
from kits.sheets.for_session import tool_count_for
from kits.sheets.render import pdf
from projects.models import Frozen
from tests.kits.factories import make_user, make_workshop, teacher_client
from tests.kits.pdf_reading import words

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop() -> Workshop:
    return make_workshop(make_user("teacher"), kits=6, names=("Ayo", "Kaja"))


@pytest.fixture
def session(workshop: Workshop) -> Session:
    return workshop.sessions.get()


def kind(session: Session, name: str) -> ToolKind:
    return session.workshop.tool_kinds.get(name=name)


def tray(session: Session, number: int = 1) -> ToolTray:
    return session.workshop.tool_trays.get(name=f"Table {number}")


def total(now: ToolsNow, name: str) -> tuple[int, int, int, int]:
    (one,) = [one for one in now.totals if one.kind.name == name]
    return one.out, one.back, one.home, one.short


def test_a_new_workshop_counts_coin_cells_first_and_has_a_tray_for_every_four_kits(workshop: Workshop) -> None:
    names = [one.name for one in workshop.tool_kinds.all()]
    assert names == ["Coin cells", "Needles", "Scissors", "Seam rippers", "Meters"]
    assert [one.name for one in workshop.tool_trays.all()] == ["Table 1", "Table 2"]


def test_counts_add_up_and_never_fall_below_none(session: Session) -> None:
    needles = kind(session, "Needles")
    for change in (1, 1, -1):
        change_count(session, tray(session), needles, "out", change, None)
    assert total(read_tools(session), "Needles") == (1, 0, 0, 1)
    change_count(session, tray(session), needles, "out", -1, None)
    with pytest.raises(NotNow, match="fewer than none"):
        change_count(session, tray(session), needles, "out", -1, None)


def test_a_tool_that_wandered_to_another_table_is_not_missing(session: Session) -> None:
    scissors = kind(session, "Scissors")
    count_tray(session, tray(session), "out", {scissors.pk: 2}, None)
    count_tray(session, tray(session, 2), "back", {scissors.pk: 2}, None)
    now = read_tools(session)
    assert [line.missing for one in now.trays for line in one.lines if line.kind == scissors] == [2, -2]
    assert now.short == 0


def test_a_cell_in_a_finished_object_is_home_not_missing(session: Session) -> None:
    cells, kit = kind(session, "Coin cells"), session.workshop.kits.get(number=2)
    count_tray(session, tray(session), "out", {cells.pk: 1}, None)
    cell_home(session, tray(session), cells, kit, None)
    assert total(read_tools(session), "Coin cells") == (1, 0, 1, 0)
    assert [row.kit for row in ToolCount.objects.filter(way="home")] == [kit]
    cell_back(session, kit, None)
    assert total(read_tools(session), "Coin cells") == (1, 0, 0, 1)


def test_a_cell_goes_home_once_and_only_cells_do(session: Session) -> None:
    cells, kit = kind(session, "Coin cells"), session.workshop.kits.get(number=2)
    cell_home(session, tray(session), cells, kit, None)
    later = session.workshop.sessions.create(date=session.date, minutes=90)
    for one in (session, later):
        with pytest.raises(NotNow, match="went home already"):
            cell_home(one, tray(one), cells, kit, None)
    with pytest.raises(NotNow, match="do not go home"):
        cell_home(session, tray(session), kind(session, "Needles"), session.workshop.kits.get(number=3), None)


def test_a_session_closes_short_only_with_a_written_reason(session: Session) -> None:
    count_tray(session, tray(session), "out", {kind(session, "Needles").pk: 4}, None)
    count_tray(session, tray(session), "back", {kind(session, "Needles").pk: 3}, None)
    for nothing in ("", "  \n "):
        with pytest.raises(NotNow, match="1 thing is missing"):
            close_count(session, nothing, None)
    assert not ToolClosing.objects.exists()
    close_count(session, "One needle broke; both halves are in the sharps box.", None)
    now = read_tools(session)
    assert now.closed
    assert now.closing is not None
    assert now.closing.short == 1
    assert "sharps box" in now.reason


def test_a_closed_count_does_not_change_until_it_is_opened_again(session: Session) -> None:
    needles = kind(session, "Needles")
    close_count(session, "", None)
    with pytest.raises(NotNow, match="closed"):
        change_count(session, tray(session), needles, "out", 1, None)
    with pytest.raises(NotNow, match="closed"):
        close_count(session, "", None)
    reopen_count(session, None)
    change_count(session, tray(session), needles, "out", 1, None)
    assert [one.closed for one in session.closings.all()] == [True, False]


def test_what_was_counted_is_never_rewritten(session: Session) -> None:
    change_count(session, tray(session), kind(session, "Needles"), "out", 1, None)
    row = ToolCount.objects.get()
    row.change = 5
    with pytest.raises(Frozen):
        row.save()
    with pytest.raises(Frozen):
        ToolCount.objects.update(change=5)


def test_kinds_and_trays_are_edited_and_what_was_counted_stays(session: Session) -> None:
    client = teacher_client(session.workshop.owner)
    address = reverse("kits:tools", args=[session.workshop_id])
    change_count(session, tray(session), kind(session, "Needles"), "out", 1, None)
    data = fields(client.get(address).content.decode())
    needles, meters = kind(session, "Needles").pk, kind(session, "Meters").pk
    data |= {"kind-new0-name": "Hoops", "kind-new0-usual": "2", "kind-new0-use": "on", "tray-new0-name": "Window"}
    data |= {"tray-new0-use": "on", f"kind-{needles}-name": "Sharp needles"}
    for gone in (f"kind-{needles}-use", f"kind-{meters}-use"):
        del data[gone]
    assert client.post(address, data).status_code == 302
    names = list(session.workshop.tool_kinds.values_list("name", "in_use"))
    assert ("Sharp needles", False) in names  # counted once, so it stays
    assert "Meters" not in dict(names)
    assert [one.name for one in session.workshop.tool_trays.all()] == ["Table 1", "Table 2", "Window"]
    assert "Sharp needles" in [line.kind.name for line in read_tools(session).trays[0].lines]


def test_a_row_without_a_name_keeps_what_was_typed(session: Session) -> None:
    client = teacher_client(session.workshop.owner)
    address = reverse("kits:tools", args=[session.workshop_id])
    data = fields(client.get(address).content.decode())
    data |= {f"kind-{kind(session, 'Needles').pk}-name": " ", "tray-new0-name": "Window"}
    answer = client.post(address, data)
    assert answer.status_code == 400
    assert 'value="Window"' in answer.content.decode()
    assert kind(session, "Needles")


def fields(page: str) -> dict[str, str]:
    """Names and values of a page's text, number and ticked fields."""
    found = {}
    for tag in re.findall(r"<input[^>]+>", page):
        attributes = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
        if attributes.get("type") in ("text", "number") and "name" in attributes:
            found[attributes["name"]] = attributes.get("value", "")
        elif attributes.get("type") == "checkbox" and re.search(r"\bchecked\b", tag):
            found[attributes["name"]] = "on"
    return found


def test_one_tap_counts_with_and_without_script(session: Session) -> None:
    client = teacher_client(session.workshop.owner)
    address = reverse("kits:count-tools", args=[session.pk])
    tap = {"action": "count", "tray": tray(session).pk, "kind": kind(session, "Needles").pk, "way": "out", "change": 1}
    answer = client.post(address, tap)
    assert answer["Location"].endswith(f"?tray={tray(session).pk}&way=out")
    part = client.post(address, tap, headers={"HX-Request": "true"})
    assert part.status_code == 200
    assert part.content.decode().strip().startswith("<section")
    assert total(read_tools(session), "Needles")[0] == 2
    too_few = client.post(address, {**tap, "way": "back", "change": -1}, headers={"HX-Request": "true"})
    assert "fewer than none" in too_few.content.decode()


def test_a_tray_goes_out_as_usual_and_comes_back_whole(session: Session) -> None:
    client = teacher_client(session.workshop.owner)
    address = reverse("kits:count-tools", args=[session.pk])
    client.post(address, {"action": "all", "tray": tray(session).pk, "way": "out"})
    assert total(read_tools(session), "Coin cells") == (4, 0, 0, 4)
    home = {"action": "home", "tray": tray(session).pk, "kind": kind(session, "Coin cells").pk, "way": "back"}
    client.post(address, {**home, "kit": session.workshop.kits.get(number=1).pk})
    client.post(address, {"action": "all", "tray": tray(session).pk, "way": "back"})
    assert total(read_tools(session), "Coin cells") == (4, 3, 1, 0)
    assert read_tools(session).short == 0


def test_things_of_another_class_cannot_be_counted_here(session: Session) -> None:
    far = make_workshop(make_user("other"), kits=1)
    client = teacher_client(session.workshop.owner)
    address = reverse("kits:count-tools", args=[session.pk])
    own_tray, own_kind = tray(session).pk, kind(session, "Needles").pk
    cells = kind(session, "Coin cells").pk
    for tap in (
        {"action": "count", "tray": far.tool_trays.get().pk, "kind": own_kind, "way": "out", "change": 1},
        {"action": "count", "tray": own_tray, "kind": far.tool_kinds.first().pk, "way": "out", "change": 1},
        {"action": "count", "tray": own_tray, "kind": own_kind, "way": "home", "change": 1},
        {"action": "count", "tray": own_tray, "kind": own_kind, "way": "out", "change": 99},
        {"action": "home", "tray": own_tray, "kind": cells, "way": "back", "kit": far.kits.get().pk},
        {"action": "all", "tray": "x", "way": "out"},
        {"action": "not-home", "kit": "1e9"},
        {"action": "nonsense"},
    ):
        assert client.post(address, tap).status_code == 302
    assert not ToolCount.objects.exists()


def test_closing_by_page_keeps_the_reason_that_was_typed(session: Session) -> None:
    client = teacher_client(session.workshop.owner)
    count_tray(session, tray(session), "out", {kind(session, "Needles").pk: 1}, None)
    address = reverse("kits:close-tools", args=[session.pk])
    refused = client.post(address, {"reason": "", "action": "close"})
    assert refused.status_code == 400
    assert "1 thing is missing" in refused.content.decode()
    too_long = client.post(address, {"reason": "because " * 60, "action": "close"})
    assert too_long.status_code == 400
    assert "because because" in too_long.content.decode()
    assert client.post(address, {"reason": "Broke.", "action": "close"}).status_code == 302
    assert "Broke." in client.get(reverse("kits:tool-count", args=[session.pk])).content.decode()


def test_the_queries_of_a_count_do_not_grow(session: Session) -> None:
    client, address = teacher_client(session.workshop.owner), reverse("kits:tool-count", args=[session.pk])

    def queries() -> tuple[int, int]:
        counts = []
        for query in ("", f"?tray={tray(session).pk}&way=back"):
            with CaptureQueriesContext(connection) as caught:
                assert client.get(address + query).status_code == 200
            counts.append(len(caught))
        return counts[0], counts[1]

    few = queries()
    for number in range(3, 6):
        session.workshop.tool_trays.create(name=f"Table {number}", order=number)
        count_tray(session, tray(session, number), "out", {kind(session, "Needles").pk: 4}, None)
    for number in (1, 2, 3):
        kit = session.workshop.kits.get(number=number)
        cell_home(session, tray(session), kind(session, "Coin cells"), kit, None)
    assert queries() == few


def test_the_sheet_has_what_was_counted_and_blanks_for_the_rest(session: Session) -> None:
    count_tray(session, tray(session), "out", {kind(session, "Needles").pk: 37}, None)
    cell_home(session, tray(session), kind(session, "Coin cells"), session.workshop.kits.get(number=6), None)
    found = words(pdf([tool_count_for(session, read_tools(session))]))
    for text in ("Tool count", "Table 1", "Table 2", "Seam rippers", "37", "not closed yet", "Counted by"):
        assert text in found
    close_count(session, "All needles lie in the sharps box.", None)
    assert "All needles lie in the sharps box." in words(pdf([tool_count_for(session, read_tools(session))]))
