"""Files for spreadsheets in the reader's language, and lists of names that come back in it."""

from __future__ import annotations

import csv
import io

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import translation
from django.utils.translation import trans_real

from kits.models import Learner, Workshop
from kits.roster_table import RosterWords, read_table
from tests.kits.factories import make_user, make_workshop, teacher_client

pytestmark = pytest.mark.django_db

GERMAN = {"name": "Name", "kit": "Set", "left-handed": "Linkshänder", "project": "Projekt", "yes": "ja", "no": "nein"}
GERMAN |= {"mark": "Note", "what": "Was", "wanted": "Gebraucht", "cost with tax": "Preis mit Steuer"}


@pytest.fixture
def workshop() -> Workshop:
    return make_workshop(make_user("teacher"), kits=2, names=("Ayo",))


@pytest.fixture
def teacher(workshop: Workshop) -> Client:
    return teacher_client(workshop.owner)


@pytest.fixture
def german(monkeypatch: pytest.MonkeyPatch) -> None:
    """A few words in another language, as a translation of the site would have them."""
    translation.gettext("")  # so that the real one is in place
    real = trans_real.gettext
    for module in (trans_real, translation._trans):
        monkeypatch.setattr(module, "gettext", lambda text: GERMAN.get(text) or real(text))


def head_of(client: Client, address: str) -> list[str]:
    return next(csv.reader(io.StringIO(client.get(address).content.decode("utf-8-sig"))))


@pytest.mark.usefixtures("german")
def test_heads_are_in_the_readers_language(workshop: Workshop, teacher: Client) -> None:
    marks = head_of(teacher, reverse("kits:marks-csv", args=[workshop.pk]))
    assert (marks[0], marks[1], marks[6]) == ("Projekt", "Set", "Note")
    shopping = head_of(teacher, reverse("kits:workshop-shopping-csv", args=[workshop.pk]))
    assert (shopping[0], shopping[2], shopping[-1]) == ("Was", "Gebraucht", "Preis mit Steuer")


@pytest.mark.usefixtures("german")
@pytest.mark.parametrize(
    "text",
    ["Linkshänder;Set;Name\nja;2;Kaja\nNein;1;Jun", "left-handed;kit;name\nyes;2;Kaja\nno;1;Jun"],
    ids=["theirs", "English"],
)
def test_a_list_is_read_with_heads_of_that_language_and_with_english_ones(
    workshop: Workshop, teacher: Client, text: str
) -> None:
    address = reverse("kits:roster-list", args=[workshop.pk])
    assert teacher.post(address, {"text": text, "take-over": "1"}).status_code == 302
    made = Learner.objects.exclude(display_name="Ayo").order_by("display_name")
    assert [(one.display_name, one.left_handed, one.kits.get().number) for one in made] == [
        ("Jun", False, 1),
        ("Kaja", True, 2),
    ]


def test_words_are_compared_whatever_their_capitals() -> None:
    words = RosterWords().with_also({"name": "NAAM", "kit": "Set"}, "Ja", "NEE")
    table = read_table("Naam,set,left\nAyo,3,JA\nKaja,4,nee", words=words)
    assert [(row.name, row.kit, row.left_handed, row.errors) for row in table.rows] == [
        ("Ayo", 3, True, ()),
        ("Kaja", 4, False, ()),
    ]
