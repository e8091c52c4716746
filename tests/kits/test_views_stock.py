"""The stock, shopping and packing pages: what they show, what they do, and how many queries they take."""

from __future__ import annotations

import csv
import datetime
import io

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from kits.models import StockItem, StockMovement, StockOffer, Workshop
from kits.services.access import Person
from kits.services.packing import items_of, pack, take_back
from kits.services.reserve import reserve
from kits.services.stock_counts import deliver, new_item
from kits.supplies.items import MILLI, Item
from tests.kits.cupboard import LIGHT, kit_of, on_hand, page, stocked
from tests.kits.factories import lantern, make_user, make_workshop, teacher_client, with_layout
from tests.kits.pdf_reading import page_sizes_mm, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner() -> User:
    return make_user("teacher")


@pytest.fixture
def workshop(owner: User) -> Workshop:
    return make_workshop(owner, kits=2, names=("Ayo",))


@pytest.fixture
def client(owner: User) -> Client:
    return teacher_client(owner)


# Stock


def test_the_stock_page_shows_what_is_short_before_anything_came(client: Client, workshop: Workshop) -> None:
    shown = page(client, "kits:stock")
    assert "6 things are short" in shown
    assert "Sew-on light, white" in shown
    assert "30 ohms a metre" in shown
    assert not StockItem.objects.exists()  # looking makes nothing


def test_an_empty_cupboard_says_what_to_do(client: Client) -> None:
    assert "Set up a class" in page(client, "kits:stock")


def test_something_new_gets_a_place_and_then_a_delivery(client: Client) -> None:
    answer = client.post(reverse("kits:stock-new"), {"name": "felt", "unit": "sheet"})
    row = StockItem.objects.get()
    assert answer["Location"] == reverse("kits:stock-item", args=[row.pk])
    client.post(reverse("kits:stock-new"), {"part": "light-white"})
    assert StockItem.objects.get(kind="part").item == LIGHT
    client.post(reverse("kits:stock-new"), {"name": "felt", "unit": "sheet"})  # there already: the same place
    assert StockItem.objects.count() == 2
    client.post(reverse("kits:stock-deliver", args=[row.pk]), {"delivery-amount": "2.5"})
    assert on_hand(row.item) == 2500


@pytest.mark.parametrize("data", [{}, {"part": "light-white", "name": "felt"}, {"part": "nothing-such"}])
def test_something_new_is_one_thing(client: Client, data: dict[str, str]) -> None:
    assert client.post(reverse("kits:stock-new"), data).status_code == 400
    assert not StockItem.objects.exists()


@pytest.mark.parametrize("amount", ["", "0", "-1", "1.5", "NaN", "1e99", "x"])
def test_parts_come_in_whole_numbers(client: Client, owner: User, amount: str) -> None:
    row = new_item(owner, LIGHT)
    answer = client.post(reverse("kits:stock-deliver", args=[row.pk]), {"delivery-amount": amount})
    assert answer.status_code == 400
    assert not StockMovement.objects.exists()


def test_counts_and_losses_need_a_reason_and_stand_in_the_ledger(client: Client, owner: User) -> None:
    deliver(owner, {LIGHT: 10 * MILLI})
    row = StockItem.objects.get()
    correct, lose = (reverse(f"kits:stock-{name}", args=[row.pk]) for name in ("correct", "lose"))
    assert "Write why" in client.post(correct, {"count-amount": 8}).content.decode()
    assert client.post(correct, {"count-amount": 8, "count-reason": "Shelf counted."}).status_code == 302
    assert client.post(lose, {"loss-amount": 1, "loss-reason": "Stepped on."}).status_code == 302
    shown = page(client, "kits:stock-item", row.pk)
    assert "“Shelf counted.”" in shown
    assert "“Stepped on.”" in shown
    assert on_hand(LIGHT) == 7 * MILLI
    answer = client.post(lose, {"loss-amount": 8, "loss-reason": "Gone."})
    assert answer.status_code == 400
    assert "There are only 7 here." in answer.content.decode()
    assert "Gone." in answer.content.decode()  # what was typed is still there


def test_packs_with_tax_are_entered_and_removed(client: Client, owner: User) -> None:
    row = new_item(owner, LIGHT)
    data = {"offer-size": 10, "offer-price": "2.50", "offer-tax_percent": 20, "offer-name": "bag"}
    client.post(reverse("kits:stock-offer", args=[row.pk]), data)
    assert "3.00" in page(client, "kits:stock-item", row.pk)
    other = StockOffer.objects.create(item=new_item(make_user("other"), LIGHT), size=1, price=1)
    for chosen in (other.pk, "x", "9" * 30):
        client.post(reverse("kits:stock-drop-offer", args=[row.pk]), {"offer": chosen})
    assert StockOffer.objects.count() == 2
    client.post(reverse("kits:stock-drop-offer", args=[row.pk]), {"offer": row.offers.get().pk})
    assert list(StockOffer.objects.all()) == [other]
    for wrong in ({"offer-size": 0}, {"offer-price": -1}, {"offer-tax_percent": 101}):
        assert client.post(reverse("kits:stock-offer", args=[row.pk]), {**data, **wrong}).status_code == 400


# Shopping


def test_the_list_of_all_workshops_leaves_out_what_is_over(client: Client, owner: User, workshop: Workshop) -> None:
    over = make_workshop(owner, kits=9, title="Last year's club")
    over.sessions.update(date=datetime.date(2020, 1, 1))
    shown = page(client, "kits:shopping")
    assert "Friday club" in shown
    assert "Last year's" not in shown
    assert "Last year&#x27;s club" in page(client, "kits:workshop-shopping", over.pk)


def test_what_came_goes_into_stock_and_off_the_list(client: Client, workshop: Workshop) -> None:
    data = {LIGHT.key: "10"}
    client.post(reverse("kits:workshop-shopping-came", args=[workshop.pk]), data)
    assert on_hand(LIGHT) == 10 * MILLI
    assert StockItem.objects.count() == 1  # what was left empty did not come
    rows = csv_rows(client, reverse("kits:workshop-shopping-csv", args=[workshop.pk]))
    assert "Sew-on light, white" not in {row["what"] for row in rows}
    data = {LIGHT.key: "1.5"}
    assert client.post(reverse("kits:workshop-shopping-came", args=[workshop.pk]), data).status_code == 302  # not asked
    thread = next(one.item for one in items_of(kit_of(workshop)) if one.item.kind == "thread")
    answer = client.post(reverse("kits:shopping-came"), {thread.key: "-1"})
    assert answer.status_code == 400


def csv_rows(client: Client, address: str) -> list[dict[str, str]]:
    answer = client.get(address)
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))


def test_the_table_for_a_spreadsheet_adds_up(client: Client, owner: User, workshop: Workshop) -> None:
    row = new_item(owner, LIGHT)
    for size, name in ((1, "single"), (2, "=cmd()")):
        StockOffer.objects.create(item=row, size=size, price=size, tax_percent=10, name=name)
    rows = [row for row in csv_rows(client, reverse("kits:shopping-csv")) if row["what"] == "Sew-on light, white"]
    # Three of them: two kits and a spare; equal cost, so the fewest packs.
    assert [(one["packs to buy"], one["in a pack"], one["cost with tax"]) for one in rows] == [
        ("1", "1", "1.10"),
        ("1", "2", "2.20"),
    ]
    assert [one["pack"] for one in rows] == ["single", "'=cmd()"]  # no spreadsheet takes it for a formula
    assert {one["short"] for one in rows} == {"3"}


def test_the_list_on_paper_says_what_the_page_says(client: Client, owner: User, workshop: Workshop) -> None:
    row = new_item(owner, LIGHT)
    StockOffer.objects.create(item=row, size=2, price="1.00", tax_percent=20, name="twin card")
    answer = client.get(reverse("kits:workshop-shopping-list", args=[workshop.pk]))
    assert answer["Content-Type"] == "application/pdf"
    found = words(answer.content)
    for text in ("Friday club", "Shopping list", "twin card", "of 2", "2.40", "loose", "page 1 of 1"):
        assert text in found, text
    assert "Kit" not in found
    cost = page(client, "kits:workshop-shopping", workshop.pk).split("In all, with tax")[1].split("<strong>")[1]
    assert cost.split("<")[0] in found
    letter = client.get(reverse("kits:shopping-list") + "?paper=letter&units=inch").content
    assert page_sizes_mm(letter)[0] == pytest.approx((215.9, 279.4), abs=0.1)
    assert " yd" in words(letter).replace("\N{NO-BREAK SPACE}", " ")


def test_nothing_short_is_said(client: Client, workshop: Workshop) -> None:
    stocked(workshop, 4)
    assert "Nothing is short" in page(client, "kits:workshop-shopping", workshop.pk)
    assert "Nothing is short" in words(client.get(reverse("kits:shopping-list")).content)


def queries(client: Client, name: str, *args: object) -> int:
    with CaptureQueriesContext(connection) as caught:
        assert client.get(reverse(name, args=args)).status_code == 200
    return len(caught)


def test_the_pages_take_the_same_queries_however_much_they_show(client: Client, owner: User) -> None:
    workshop = make_workshop(owner, kits=1, names=("Ayo",))
    one = kit_of(workshop)
    stocked(workshop, 2)
    reserve(workshop, owner)
    pack(one, Person(user=owner))
    take_back(one, Person(user=owner))
    row = StockItem.objects.get(name=LIGHT.name)
    pages = [
        ("kits:stock", ()),
        ("kits:stock-item", (row.pk,)),
        ("kits:shopping", ()),
        ("kits:workshop-shopping", (workshop.pk,)),
        ("kits:shopping-csv", ()),
        ("kits:packing", (workshop.pk,)),
        ("kits:leftovers", (one.pk,)),
        ("kits:spare", (one.pk,)),
    ]
    few = {name: queries(client, name, *args) for name, args in pages}
    for number in (2, 3):
        make_workshop(owner, kits=3, names=("Kaja", "Cem"), title=f"Club {number}")
        revision = one.revision_id
        client.post(reverse("kits:more-kits", args=[workshop.pk]), {"revision": revision, "kits": 2})
        deliver(owner, {Item("supply", "", f"felt {number}", "sheet"): MILLI, LIGHT: MILLI})
        StockOffer.objects.create(item=row, size=number, price=number)
    own = lantern().layout
    with_layout(kit_of(workshop, 2), own.model_copy(update={"lines": own.lines[:2]}))
    reserve(workshop, owner)
    pack(kit_of(workshop, 2), Person(user=owner))
    client.get(reverse("kits:home"))  # the messages of the forms above are shown, and gone
    assert {name: queries(client, name, *args) for name, args in pages} == few
    assert max(few.values()) <= 14


# Waste and spares, and what the home page says


def test_a_class_reckons_with_its_own_waste_and_sureness(client: Client, workshop: Workshop) -> None:
    before = {row["what"]: float(row["wanted"]) for row in csv_rows(client, reverse("kits:shopping-csv"))}
    address = reverse("kits:waste-and-spares", args=[workshop.pk])
    assert client.post(address, {"waste": "15", "sure": "99.9"}).status_code == 302
    after = {row["what"]: float(row["wanted"]) for row in csv_rows(client, reverse("kits:shopping-csv"))}
    assert after["conductive thread"] == pytest.approx(before["conductive thread"] * 1.15 / 1.12, abs=0.003)
    assert after["Sew-on slide switch"] > before["Sew-on slide switch"]
    assert after["felt, A5 sheet"] == before["felt, A5 sheet"]
    assert 'name="waste" value="15"' in page(client, "kits:packing", workshop.pk)
    for wrong in ({"waste": "-1", "sure": "95"}, {"waste": "12", "sure": "100"}, {"waste": "x", "sure": ""}):
        answer = client.post(address, wrong)
        assert answer.status_code == 400
        assert f'value="{wrong["waste"]}"' in answer.content.decode()  # what was typed is still there
    assert Workshop.objects.get(pk=workshop.pk).habits == {"waste_share": 0.15, "sure_share": 0.999}
    client.post(address, {"waste": "12", "sure": "95"})
    assert Workshop.objects.get(pk=workshop.pk).habits == {}  # as usual again


def test_the_home_page_is_told_what_is_short(client: Client, workshop: Workshop) -> None:
    assert reverse("kits:stock-short") in page(client, "kits:home")
    assert 'Sew-on light, white</span><span class="soft">3 to buy' in page(client, "kits:stock-short")
    stocked(workshop, 4)
    assert "Nothing is short" in page(client, "kits:stock-short")
