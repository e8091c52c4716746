"""Kit labels: where they lie, what they say, and the QR code read back from the printed page."""

from urllib.parse import urlsplit

import numpy as np
import pytest
import segno
from django.test import Client

from kits.forms.printing import LabelForm, grid_of
from kits.models import Kit, SchoolNotes
from kits.sheets.content import Heading, KitLabel, LabelGrid, label_sheet
from kits.sheets.content.labels import GRIDS, QUIET_ZONE, qr_svg
from kits.sheets.render import pdf
from tests.kits.factories import make_user, make_workshop, teacher_client
from tests.kits.pdf_boxes import boxes_of
from tests.kits.pdf_reading import DPMM, ink, page_sizes_mm, page_words, pictures_of

ADDRESS = "http://192.168.1.20:8000/join/K7M03PX19QRD/"
PAPER_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


def labels(count: int) -> list[KitLabel]:
    return [
        KitLabel(
            str(number),
            "Maximiliane-Josephine + Bartholomäus",
            "Hedgehog with a voice",
            "WMWM-WMWM-WMWM",
            qr_svg(ADDRESS),
        )
        for number in range(1, count + 1)
    ]


@pytest.mark.parametrize("name", GRIDS)
def test_common_sheets_fit_their_paper(name: str) -> None:
    paper, grid = GRIDS[name]
    assert grid.size_mm[0] <= PAPER_MM[paper][0] + 0.1
    assert grid.size_mm[1] <= PAPER_MM[paper][1] + 0.1


@pytest.mark.parametrize("name", GRIDS)
def test_each_label_keeps_to_its_place_and_its_code_is_whole(name: str) -> None:
    paper, grid = GRIDS[name]
    made = pdf([label_sheet(Heading("Club"), labels(grid.count), grid)], paper)  # type: ignore[arg-type]
    assert len(page_sizes_mm(made)) == 1
    assert page_words(made)[0].count("WMWM-WMWM-WMWM") == grid.count  # the widest letters there are, and no “…”
    (page,) = pictures_of(made)
    printed = ink(page)
    for position in range(1, grid.count + 1):
        left, top = grid.at(position)
        rows = slice(round(top * DPMM), round((top + grid.height_mm) * DPMM))
        columns = slice(round(left * DPMM), round((left + grid.width_mm) * DPMM))
        assert printed[rows, columns].any()
        printed[rows, columns] = False
    assert not printed.any()


def test_words_of_a_label_stay_on_it() -> None:
    grid = LabelGrid(3, 8, 40.0, 20.0, 10.0, 10.0, 5.0, 5.0)
    made = pdf([label_sheet(Heading("Club"), labels(1), grid, start=5)])
    left, top = grid.at(5)
    assert (left, top) == (55.0, 35.0)
    code = next(box for box in boxes_of(made) if "WMWM" in box.words)
    assert left < code.left < code.right < left + grid.width_mm
    assert 297 - top - grid.height_mm < code.bottom < code.top < 297 - top


def test_the_first_label_goes_to_the_first_free_place_and_the_rest_follow() -> None:
    grid = LabelGrid(2, 3, 90.0, 60.0, 10.0, 10.0)
    sheet = label_sheet(Heading("Club"), labels(5), grid, start=5)
    places = [[(placed.label.number, placed.left_mm, placed.top_mm) for placed in page.labels] for page in sheet.pages]
    assert places == [
        [("1", 10.0, 130.0), ("2", 100.0, 130.0)],
        [("3", 10.0, 10.0), ("4", 100.0, 10.0), ("5", 10.0, 70.0)],
    ]


def test_the_qr_code_on_paper_is_the_address_module_by_module() -> None:
    """Read back from the picture of the page, against the matrix that the library makes (ISO/IEC 18004)."""
    _, grid = GRIDS["21"]
    sheet = label_sheet(Heading("Club"), labels(1), grid, start=2)
    (page,) = pictures_of(pdf([sheet]))
    left, top = (edge + sheet.pad_mm for edge in grid.at(2))
    expected = np.array([list(row) for row in segno.make(ADDRESS, error="m", micro=False).matrix], dtype=bool)
    modules = expected.shape[0] + 2 * QUIET_ZONE
    size = sheet.qr_mm / modules
    middles = [round((edge + (at + 0.5) * size) * DPMM) for edge in (top, left) for at in range(modules)]
    rows, columns = np.array(middles[:modules]), np.array(middles[modules:])
    found = (page[np.ix_(rows, columns)] < 128).all(axis=2)
    quiet = found.copy()
    inside = slice(QUIET_ZONE, -QUIET_ZONE)
    quiet[inside, inside] = False
    assert not quiet.any()
    assert (found[inside, inside] == expected).all()


def test_a_qr_code_is_one_path() -> None:
    assert qr_svg(ADDRESS).count("<path") == 1
    assert "<rect" not in qr_svg(ADDRESS)


# --- from the web ----------------------------------------------------------------------------------------------


@pytest.fixture
def kit(db: None) -> Kit:
    return make_workshop(make_user("teacher"), kits=3, names=("Ines", "Otto")).kits.get(number=1)


@pytest.fixture
def teacher(kit: Kit) -> Client:
    return teacher_client(kit.workshop.owner)


def test_labels_of_a_class_and_the_sheet_is_kept(teacher: Client, kit: Kit) -> None:
    address = f"/workshops/{kit.workshop.pk}/labels/"
    answer = teacher.post(address, {"grid": "letter-10", "start": "4"})
    assert answer["Content-Type"] == "application/pdf"
    assert page_sizes_mm(answer.content)[0] == pytest.approx(PAPER_MM["Letter"], abs=0.1)
    words = page_words(answer.content)[0]
    for one in kit.workshop.kits.all():
        assert one.shown_code in words
    assert "Ines" in words
    assert SchoolNotes.objects.get().label_grid == {"grid": "letter-10"}
    assert '<option value="letter-10" selected>' in teacher.get(address).content.decode()


def test_only_ticked_kits_get_a_label(teacher: Client, kit: Kit) -> None:
    other = kit.workshop.kits.get(number=2)
    answer = teacher.post(f"/workshops/{kit.workshop.pk}/labels/", {"grid": "21", "start": "1", "kits": [other.pk]})
    words = page_words(answer.content)[0]
    assert other.shown_code in words
    assert kit.shown_code not in words


def test_one_label_anew_in_two_taps(teacher: Client, kit: Kit) -> None:
    assert f'href="/kits/{kit.pk}/label/"' in teacher.get(f"/kits/{kit.pk}/").content.decode()
    first = teacher.get(f"/kits/{kit.pk}/label/").content.decode()
    assert first.count('name="position"') == GRIDS["21"][1].count
    answer = teacher.post(f"/kits/{kit.pk}/label/", {"position": "8"})
    assert answer["Content-Type"] == "application/pdf"
    code = next(box for box in boxes_of(answer.content) if kit.code[:4] in box.words)
    left, top = GRIDS["21"][1].at(8)
    assert left < code.left < left + 63.5
    assert top < 297 - code.top < top + 38.1
    assert teacher.post(f"/kits/{kit.pk}/label/", {"position": "22"}).status_code == 400


def test_the_qr_leads_to_the_kit(teacher: Client, kit: Kit) -> None:
    page = teacher.get(f"/kits/{kit.pk}/label/", headers={"host": "testserver"}).content.decode()
    assert "would lead nowhere" in page  # opened on the machine itself
    answer = Client().get(urlsplit(f"http://testserver/join/{kit.code}/").path)
    assert kit.shown_code in answer.content.decode()


OWN = {
    "grid": "own", "paper": "A4", "columns": "2", "rows": "4", "width_mm": "80", "height_mm": "50",
    "left_mm": "10", "top_mm": "12", "gap_x_mm": "5", "gap_y_mm": "2", "start": "1",
}  # fmt: skip


def test_own_sizes_are_used_and_kept() -> None:
    form = LabelForm({}, OWN)
    assert form.is_valid()
    assert grid_of(form.cleaned_data["kept"]) == ("A4", LabelGrid(2, 4, 80, 50, 10, 12, 5, 2))


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"columns": "3"}, "__all__", "more than the paper has"),
        ({"rows": ""}, "rows", "Give this size."),
        ({"start": "9"}, "start", "only 8 places"),
        ({"start": "0"}, "start", "greater than or equal to 1"),
        ({"width_mm": "nan"}, "width_mm", "Enter a number"),
    ],
)
def test_sizes_that_cannot_be_are_refused_and_say_why(change: dict[str, str], field: str, words: str) -> None:
    form = LabelForm({}, {**OWN, **change})
    assert not form.is_valid()
    assert words in str(form.errors[field])


def test_what_was_kept_may_be_odd() -> None:
    assert grid_of({"grid": "own", "columns": "x"}) == GRIDS["21"]
    assert grid_of({}) == GRIDS["21"]
