"""Rosters as lists: whatever program they come from, shown first, taken over whole or not at all."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from kits.models import Kit, KitLearner, Learner, Workshop
from kits.roster_table import ENCODINGS, MOST_ROWS, decoded, read_table
from kits.services.create_workshop import add_kits
from kits.services.import_roster import import_roster, place_roster
from kits.services.publish import publish
from projects.importing import import_project
from projects.said import say
from tests.kits.factories import lantern, make_user, make_workshop, teacher_client

NAMES = "Zoë;1;yes\nBjörk;1;\nŁukasz;2;no\n"


def rows(text: str, **options: bool) -> list[tuple[str, int | None, bool, str]]:
    return [(row.name, row.kit, row.left_handed, row.project) for row in read_table(text, **options).rows]


# Reading, without a database.


@pytest.mark.parametrize("delimiter", ["\t", ";", ",", "|"])
def test_any_delimiter_is_found(delimiter: str) -> None:
    text = f"Ayo{delimiter}3{delimiter}x{delimiter}Lantern patch\nKaja{delimiter}{delimiter}{delimiter}"
    assert rows(text) == [("Ayo", 3, True, "Lantern patch"), ("Kaja", None, False, "")]


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_any_line_ending_is_read(ending: str) -> None:
    assert [name for name, *_ in rows(ending.join(["Ayo", "", "Kaja"]))] == ["Ayo", "Kaja"]


def test_a_head_says_which_column_is_which_and_others_are_left_out() -> None:
    text = "Level,E-mail,Kit number,Hand,First name\nLantern patch,a@b.example,4,left,Ayo"
    assert rows(text) == [("Ayo", 4, True, "Lantern patch")]


def test_quotes_hold_a_delimiter_and_a_lone_quote_swallows_nothing() -> None:
    assert rows('"Ayo, the second",2')[0][:2] == ("Ayo, the second", 2)
    assert [name for name, *_ in rows('Ayo "Z,1\nKaja,2')] == ['Ayo "Z', "Kaja"]


@pytest.mark.parametrize("encoding", [*ENCODINGS, "utf-8-sig", "utf-16-le", "utf-16-be"])
def test_a_file_is_read_in_the_encoding_that_is_chosen(encoding: str) -> None:
    text = "Жан;1" if encoding == "cp1251" else "Jonas;1"
    assert decoded(text.encode(encoding), encoding) == text


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_the_usual_encodings_are_found_out(encoding: str) -> None:
    assert decoded("Zoë;1\nJürgen;2".encode(encoding)) == "Zoë;1\nJürgen;2"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Ayo;0", "no kit number"),
        ("Ayo;four", "no kit number"),
        ("Ayo;-1", "no kit number"),
        ("Ayo;1;perhaps", "neither yes nor no"),
        ("Ayo\nayo", "have this name"),
        ("name;kit\n;1", "no name in this row"),
        ("A" * 41, "longer than 40"),
        ("A\x07yo", "cannot be printed"),
    ],
)
def test_what_is_wrong_is_said_by_row(text: str, words: str) -> None:
    table = read_table(text)
    assert not table.sound
    assert words in str(table.rows[-1].errors[0])


@pytest.mark.parametrize("name", ["Ayo Parksen", "Parksen, Ayo", "ayo@club.example", "Ayo 2014"])
def test_more_than_a_name_is_warned_of(name: str) -> None:
    table = read_table(f'"{name}"')
    assert table.sound
    assert table.warned


def test_only_the_first_word_is_kept_on_request() -> None:
    table = read_table('Ayo Parksen;1\n"Parksen, Kaja";2', first_word=True)
    assert [row.name for row in table.rows] == ["Ayo", "Kaja"]
    assert not table.warned


def test_too_many_rows_are_refused() -> None:
    assert read_table("\n".join(f"N{n}" for n in range(MOST_ROWS))).sound
    assert not read_table("\n".join(f"N{n}" for n in range(MOST_ROWS + 1))).sound


@given(st.binary(max_size=200))
def test_no_bytes_break_it(data: bytes) -> None:
    for row in read_table(decoded(data)).rows:
        assert row.errors or row.name


# Taking over.


@pytest.fixture
def workshop(db: None) -> Workshop:
    return make_workshop(make_user("teacher"), kits=3)


def who(workshop: Workshop) -> dict[str, int]:
    return dict(KitLearner.objects.filter(kit__workshop=workshop).values_list("learner__display_name", "kit__number"))


def test_numbers_pairs_hands_and_free_kits(workshop: Workshop) -> None:
    import_roster(workshop, read_table("Ayo;2;yes\nKaja;2\nCem\nTove"))
    assert who(workshop) == {"Ayo": 2, "Kaja": 2, "Cem": 1, "Tove": 3}
    assert [one.display_name for one in Learner.objects.filter(left_handed=True)] == ["Ayo"]


def test_missing_kits_are_made_with_codes_of_their_own(workshop: Workshop) -> None:
    import_roster(workshop, read_table("Ayo;7\nKaja;7\nCem;1\nTove;2\nBea;3\nRavi"))
    assert who(workshop) == {"Ayo": 7, "Kaja": 7, "Cem": 1, "Tove": 2, "Bea": 3, "Ravi": 8}
    assert workshop.kits.count() == 5
    assert Kit.objects.values("code").distinct().count() == 5
    assert workshop.kits.get(number=7).stages == workshop.kits.get(number=1).stages


def test_a_name_that_is_there_is_left_as_it_is(workshop: Workshop) -> None:
    import_roster(workshop, read_table("Ayo;2"))
    placed = import_roster(workshop, read_table("AYO;3\nKaja;3"))
    assert [one.known for one in placed] == [True, False]
    assert who(workshop) == {"Ayo": 2, "Kaja": 3}


def test_levels_lead_to_kits_of_their_project(workshop: Workshop) -> None:
    other = lantern().model_copy(update={"project": lantern().project.model_copy(update={"title": "Glow moth"})})
    add_kits(workshop, publish(import_project(workshop.owner, other)), 2)
    placed = import_roster(workshop, read_table("name;project\nAyo;glow MOTH\nKaja;Lantern patch\nCem;Glow moth"))
    assert who(workshop) == {"Ayo": 4, "Kaja": 1, "Cem": 5}
    assert [one.title for one in placed] == ["Glow moth", "Lantern patch", "Glow moth"]
    (wrong,) = place_roster(workshop, read_table("name;kit;project\nTove;1;Glow moth"))
    assert "Kit 1 is of “Lantern patch”" in say(wrong.row.errors[0])
    (unknown,) = place_roster(workshop, read_table("name;project\nTove;Kite"))
    assert "no project “Kite”" in say(unknown.row.errors[0])
    (which,) = place_roster(workshop, read_table("Tove;9"))
    assert "write its project" in say(which.row.errors[0])


def test_nothing_is_half_taken_over(workshop: Workshop) -> None:
    for text in ("Ayo;1\nKaja;none", "Ayo;1\nayo;2", "name;project\nAyo;Lantern patch\nKaja;Kite"):
        with pytest.raises(ValueError, match="A row is wrong"):
            import_roster(workshop, read_table(text))
    assert (Learner.objects.count(), Kit.objects.count()) == (0, 3)


# The page.


def test_it_is_shown_first_and_kept_only_when_taken_over(workshop: Workshop) -> None:
    client, address = teacher_client(workshop.owner), reverse("kits:roster-list", args=[workshop.pk])
    shown = client.post(address, {"text": NAMES})
    assert shown.status_code == 200
    assert "Take these 3 rows over" in shown.content.decode()
    assert not Learner.objects.exists()
    assert client.post(address, {"text": NAMES, "take-over": "1"})["Location"] == reverse(
        "kits:roster", args=[workshop.pk]
    )
    assert who(workshop) == {"Zoë": 1, "Björk": 1, "Łukasz": 2}


def test_a_wrong_row_keeps_all_out_and_all_that_was_typed(workshop: Workshop) -> None:
    client, address = teacher_client(workshop.owner), reverse("kits:roster-list", args=[workshop.pk])
    answer = client.post(address, {"text": "Ayo;1\nKaja;none", "take-over": "1"})
    page = answer.content.decode()
    assert answer.status_code == 400
    assert "Ayo;1\nKaja;none" in page
    assert "is no kit number" in page
    assert not Learner.objects.exists()


def test_a_file_is_shown_as_text_and_never_taken_over_unseen(workshop: Workshop) -> None:
    client, address = teacher_client(workshop.owner), reverse("kits:roster-list", args=[workshop.pk])
    file = SimpleUploadedFile("names.csv", NAMES.encode("utf-16"))
    answer = client.post(address, {"file": file, "take-over": "1"})
    assert "Zoë;1;yes" in answer.content.decode()
    assert not Learner.objects.exists()


@pytest.mark.parametrize("data", [b"PK\x03\x04rest", b"\xd0\xcf\x11\xe0rest", b"%PDF-1.7"])
def test_a_file_that_is_no_text_is_refused_clearly(workshop: Workshop, data: bytes) -> None:
    client, address = teacher_client(workshop.owner), reverse("kits:roster-list", args=[workshop.pk])
    answer = client.post(address, {"file": SimpleUploadedFile("names.xlsx", data)})
    assert answer.status_code == 400
    assert "Save the list as CSV" in answer.content.decode()
