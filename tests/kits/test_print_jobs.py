"""Class packs: made in the background, whole or not at all, given up, interrupted, kept for a week."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from unittest.mock import patch

import pytest
from django.conf import settings
from django.core.management import call_command
from django.test import Client
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from kits.models import Kit, PrintJob, Workshop
from kits.models.print_job import KEPT, SILENT
from kits.services import print_pack
from kits.services.print_jobs import PackWishes, ask_for_pack, look_after, remove_old_jobs
from kits.services.print_pack import run_job
from kits.sheets.html import HtmlSheet
from kits.sheets.pack import Stopped, make_pack
from tests.kits.factories import make_user, make_workshop, teacher_client, with_layout
from tests.kits.pdf_reading import page_words, reader

pytestmark = pytest.mark.django_db(transaction=True)

FOLDER = Path(settings.DATA_DIR) / "print-jobs"


@pytest.fixture
def workshop() -> Workshop:
    workshop = make_workshop(make_user("teacher"), kits=3, names=("Ines", "Otto"))
    with_layout(workshop.kits.get(number=1))
    return workshop


@pytest.fixture
def teacher(workshop: Workshop) -> Client:
    return teacher_client(workshop.owner)


@pytest.fixture(autouse=True)
def empty_folder() -> Iterator[None]:
    """Empty before, whatever other tests of this process left there, and after."""
    _empty()
    yield
    _empty()


def _empty() -> None:
    for path in FOLDER.glob("*"):
        path.unlink()


def asked(workshop: Workshop, *sheets: str) -> PrintJob:
    kits = tuple(workshop.kits.values_list("pk", flat=True))
    wishes = PackWishes(sheets or ("materials", "safety-card"), kits, "A4", "cm", "en")
    return ask_for_pack(workshop.owner, workshop, wishes)


def work() -> None:
    """Let the background worker do all that waits."""
    call_command("db_worker", batch=True, interval=0, startup_delay=False, verbosity=0, reload=False)


def test_from_the_page_to_the_file(teacher: Client, workshop: Workshop) -> None:
    page = f"/workshops/{workshop.pk}/print/"
    kits = [kit.pk for kit in workshop.kits.filter(number__lte=2)]
    data = {
        "sheets": ["step-sheet", "parent-page", "safety-card", "substitute-page"],
        "paper": "Letter",
        "units": "inch",
    }
    assert teacher.post(page, {**data, "kits": kits}).status_code == 302
    assert "Waiting for its turn." in teacher.get(page).content.decode()
    with patch("kits.sheets.pack.signal.signal"):
        work()
    shown = teacher.get(page).content.decode()
    job = PrintJob.objects.get()
    assert (job.state, job.done) == ("done", 2)
    assert f"Ready: {job.pages} pages." in shown
    answer = teacher.get(f"/print-jobs/{job.pk}/pack.pdf")
    content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
    pages = page_words(content)
    assert len(pages) == job.pages
    text = " ".join(pages)
    assert "substitute page" in pages[0]
    assert text.count("For parents") == 2
    assert "This is the example" in text  # kit 2 has no layout
    assert pages[-1].count("keep this card with the object") == 2  # both cards on one page
    document = reader(content)
    assert document.metadata is not None
    assert document.metadata.title == "Friday club – Class pack"
    assert "/StructTreeRoot" in document.trailer["/Root"]  # type: ignore[operator]
    titles = [item.title for item in document.outline if not isinstance(item, list)]
    assert titles[0] == "Substitute page"
    assert "Kit 1 – Lantern patch" in titles
    assert "Kit 2 – Lantern patch" in titles
    assert DBTaskResult.objects.get().status == "SUCCESSFUL"
    assert [path.name for path in FOLDER.iterdir()] == [job.file]
    assert FOLDER.joinpath(job.file).stat().st_mode & 0o077 == 0


def test_bookmarks_and_tags_lead_to_the_right_pages(workshop: Workshop) -> None:
    job = asked(workshop, "materials", "parent-page")
    run_job(job.pk)
    job.refresh_from_db()
    document = reader(job.path.read_bytes())
    words = page_words(job.path.read_bytes())
    kits = [item for item in document.outline if not isinstance(item, list)]
    assert len(kits) == 6
    for item in kits:
        page = document.get_destination_page_number(item)
        assert page is not None
        assert item.title.partition(" – ")[0] in words[page]
    tree = document.trailer["/Root"]["/StructTreeRoot"]  # type: ignore[index]
    numbers = list(tree["/ParentTree"]["/Nums"])[::2]
    assert numbers == sorted(set(numbers))
    assert {page["/StructParents"] for page in document.pages} <= set(numbers)
    assert len(tree["/K"]) == 1


def test_the_panel_asks_for_itself_only_while_there_is_news(teacher: Client, workshop: Workshop) -> None:
    job = asked(workshop)
    panel = f"/print-jobs/{job.pk}/"
    assert "hx-trigger" in teacher.get(panel).content.decode()
    PrintJob.objects.update(state="running", alive_at=timezone.now(), doing="2", done=1, total=3)
    shown = teacher.get(panel).content.decode()
    assert "Laying out kit 2." in shown
    assert "1 of 3 kits done" in shown
    assert '<progress class="job-bar" max="3" value="1"' in shown
    PrintJob.objects.update(state="cancelled")
    assert "hx-trigger" not in teacher.get(panel).content.decode()


def test_a_waiting_job_is_given_up_at_once(teacher: Client, workshop: Workshop) -> None:
    job = asked(workshop)
    teacher.post(f"/print-jobs/{job.pk}/cancel/")
    job.refresh_from_db()
    assert job.state == "cancelled"
    work()
    job.refresh_from_db()
    assert job.state == "cancelled"
    assert list(FOLDER.glob("*")) == []


def test_a_running_job_is_given_up_between_sheets_and_leaves_nothing(teacher: Client, workshop: Workshop) -> None:
    job = asked(workshop)
    begun = print_pack._Making.go_on

    def go_on(self: print_pack._Making, done: int) -> bool:
        teacher.post(f"/print-jobs/{job.pk}/cancel/")
        return begun(self, done)

    with patch.object(print_pack._Making, "go_on", go_on):
        run_job(job.pk)
    job.refresh_from_db()
    assert job.state == "cancelled"
    assert list(FOLDER.glob("*")) == []
    # What was given up can be started again.
    teacher.post(f"/print-jobs/{job.pk}/again/")
    job.refresh_from_db()
    assert (job.state, job.cancel_asked) == ("waiting", False)
    run_job(job.pk)
    job.refresh_from_db()
    assert job.state == "done"


def killed(job: PrintJob) -> None:
    """As a worker leaves things that is killed outright while it runs: job and task *running*, and silent."""
    DBTaskResult.objects.filter(pk=job.task_id).update(status="RUNNING", started_at=timezone.now())
    PrintJob.objects.filter(pk=job.pk).update(state="running", alive_at=timezone.now() - SILENT - timedelta(seconds=1))


def test_a_killed_worker_is_noticed_and_the_job_can_be_started_again(teacher: Client, workshop: Workshop) -> None:
    job = asked(workshop)
    killed(job)
    work()  # a new worker does not pick it up by itself
    shown = teacher.get(f"/print-jobs/{job.pk}/").content.decode()
    assert "It was interrupted half-way" in shown
    assert "Start again" in shown
    assert DBTaskResult.objects.get().status == "FAILED"
    teacher.post(f"/print-jobs/{job.pk}/again/")
    run_job(job.pk)
    job.refresh_from_db()
    assert job.state == "done"
    assert job.path.read_bytes().startswith(b"%PDF")


def test_a_job_that_says_it_is_alive_is_left_alone(workshop: Workshop) -> None:
    job = asked(workshop)
    PrintJob.objects.update(state="running", alive_at=timezone.now() - SILENT / 2)
    job.refresh_from_db()
    assert look_after(job).state == "running"


def test_a_worker_that_is_told_to_end_says_so(workshop: Workshop) -> None:
    job = asked(workshop)
    with patch.object(print_pack, "make_pack", side_effect=SystemExit(1)), pytest.raises(SystemExit):
        run_job(job.pk)
    job.refresh_from_db()
    assert job.state == "failed"
    assert "interrupted" in job.why


def test_what_goes_wrong_is_said_without_its_insides(workshop: Workshop) -> None:
    job = asked(workshop)
    with patch.object(print_pack, "make_pack", side_effect=RuntimeError("secret path")), pytest.raises(RuntimeError):
        run_job(job.pk)
    job.refresh_from_db()
    assert job.state == "failed"
    assert "secret" not in job.why
    assert "Start it again" in job.why


def test_a_job_is_made_once(workshop: Workshop) -> None:
    job = asked(workshop)
    run_job(job.pk)
    job.refresh_from_db()
    made = job.file
    run_job(job.pk)
    job.refresh_from_db()
    assert job.file == made


def test_a_new_pack_gives_the_one_before_up(workshop: Workshop) -> None:
    first, second = asked(workshop), asked(workshop)
    first.refresh_from_db()
    assert (first.state, second.state) == ("cancelled", "waiting")


def test_a_pack_is_kept_for_a_week(teacher: Client, workshop: Workshop) -> None:
    job = asked(workshop)
    run_job(job.pk)
    job.refresh_from_db()
    PrintJob.objects.update(asked_at=timezone.now() - KEPT, ended_at=timezone.now() - KEPT + timedelta(hours=1))
    remove_old_jobs()
    assert job.path.is_file()
    assert teacher.get(f"/print-jobs/{job.pk}/pack.pdf").status_code == 200
    long_ago = timezone.now() - KEPT - timedelta(days=1)
    PrintJob.objects.update(asked_at=long_ago, ended_at=long_ago)
    assert teacher.get(f"/print-jobs/{job.pk}/pack.pdf").status_code == 404
    with patch("kits.services.print_jobs._LEFT_OVER", timedelta(seconds=-5)):
        remove_old_jobs()
    assert not PrintJob.objects.exists()
    assert list(FOLDER.glob("*")) == []


def test_only_its_teacher_may_fetch_it(workshop: Workshop) -> None:
    job = asked(workshop)
    run_job(job.pk)
    helper = make_user("helper")
    workshop.helpers.add(helper)
    for user in (helper, make_user("stranger")):
        for path in ("", "pack.pdf"):
            assert teacher_client(user).get(f"/print-jobs/{job.pk}/{path}").status_code == 404


def test_kits_of_another_class_are_not_printed(teacher: Client, workshop: Workshop) -> None:
    other = make_workshop(make_user("other"), kits=1).kits.get()
    data = {"sheets": ["materials"], "paper": "A4", "units": "cm", "kits": [other.pk]}
    assert teacher.post(f"/workshops/{workshop.pk}/print/", data).status_code == 400
    job = ask_for_pack(workshop.owner, workshop, PackWishes(("materials",), (other.pk,), "A4", "cm", "en"))
    with pytest.raises(ValueError, match="no file"):
        run_job(job.pk)


def test_a_pack_is_whole_or_not_there(tmp_path: Path) -> None:
    """A sheet that cannot be laid out leaves neither a file nor a draft, and an older file stays."""
    target = tmp_path / "pack.pdf"
    target.write_bytes(b"older")
    good = HtmlSheet("<html lang=en><title>x</title><h1 data-bookmark=x>x</h1>", {})
    bad = HtmlSheet('<html lang=en><title>x</title><img alt=x src="http://example.org/x.png">', {})
    with pytest.raises(ValueError, match="not its own"):
        make_pack([[good], [bad]], "A4", target, lambda done: True)
    assert [path.name for path in tmp_path.iterdir()] == ["pack.pdf"]
    assert target.read_bytes() == b"older"
    with pytest.raises(Stopped):
        make_pack([[good], [good]], "A4", target, lambda done: done < 1)
    assert target.read_bytes() == b"older"
    assert make_pack([[good], [good, good]], "A4", target, lambda done: True) == 3
    assert target.read_bytes().startswith(b"%PDF")


def test_left_handed_learners_get_left_pictures(workshop: Workshop) -> None:
    kit = Kit.objects.get(workshop=workshop, number=1)
    kit.learners.update(left_handed=True)
    answer = teacher_client(workshop.owner).get(f"/kits/{kit.pk}/step-sheet.pdf")
    assert "left hand" in page_words(answer.content)[0]


def test_school_notes_stand_on_the_sheets(teacher: Client, workshop: Workshop) -> None:
    data = {
        "poison_line": "Quillmere line, 0555 010",
        "rules": "Needles in the red <b>tin.",
        "data_kept": "To July.",
    }
    assert teacher.post("/school-notes/", data).status_code == 302
    kit = workshop.kits.get(number=1)
    for sheet, said in (("step-sheet", "0555 010"), ("parent-page", "To July."), ("safety-card", "<b>tin")):
        answer = teacher.get(f"/kits/{kit.pk}/sheets/{sheet}.pdf")
        assert said in " ".join(page_words(answer.content)), sheet
    substitute = teacher.get(f"/workshops/{workshop.pk}/substitute-page.pdf").content
    assert "0555 010" in page_words(substitute)[0]
    assert "Ines" in page_words(substitute)[0]
    workshop.set_out_minutes, workshop.count_back_minutes = 12, 7
    workshop.save()
    substitute = teacher.get(f"/workshops/{workshop.pk}/substitute-page.pdf").content
    assert "Minutes to set out: 12. To count back: 7." in page_words(substitute)[0]
