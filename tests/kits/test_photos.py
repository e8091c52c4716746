"""Photos: permission, what is kept of them, what is refused, who sees them."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from kits.models import Event, Kit, Learner, Photo
from kits.services import photos
from kits.services.access import Person
from kits.services.photos import MOST_SIDE, PhotoRefused, add_photo, photos_allowed, remove_photo
from tests.kits.factories import learner_client, make_user, make_workshop, photographed, picture, teacher_client

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit() -> Kit:
    return make_workshop(make_user("teacher"), kits=2, names=("Ayo",)).kits.get(number=1)


def add(kit: Kit, file: io.BytesIO, size: int | None = None) -> Photo:
    kit.learners.update(photos_allowed=True)
    return add_photo(kit, "inside", file, size or len(file.getvalue()), Person(kit=kit, learner=kit.learners.first()))


def kept(photo: Photo) -> Image.Image:
    return Image.open(Path(photo.file.path))


def test_photos_are_off_until_everyone_of_the_kit_has_permission(kit: Kit) -> None:
    with pytest.raises(PhotoRefused, match="off for this kit"):
        add_photo(kit, "outside", picture(), 100, Person(kit=kit))
    kit.learners.update(photos_allowed=True)
    assert photos_allowed(kit)
    other = Learner.objects.create(workshop=kit.workshop, display_name="Kaja")
    kit.learners.add(other)
    assert not photos_allowed(Kit.objects.get(pk=kit.pk))
    assert not photos_allowed(kit.workshop.kits.get(number=2))  # nobody's


def test_a_photo_is_made_anew_upright_small_and_without_what_came_along(kit: Kit) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # to be turned a quarter
    exif[0x010E] = "Where we live"
    photo = add(kit, picture(3000, 2000, "JPEG", exif=exif.tobytes(), comment=b"secret"))
    image = kept(photo)
    assert image.format == "JPEG"
    assert image.size == (round(MOST_SIDE * 2 / 3), MOST_SIDE)
    assert not dict(image.getexif())
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"live" not in Path(photo.file.path).read_bytes()
    assert Path(photo.file.path).stat().st_mode & 0o077 == 0
    assert kit.events.get(kind=Event.Kind.PHOTO).payload == {}


def test_pictures_with_a_see_through_ground_are_kept_too(kit: Kit) -> None:
    file = io.BytesIO()
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(file, "PNG")
    file.seek(0)
    assert kept(add(kit, file)).mode == "RGB"


@pytest.mark.parametrize("content", [b"", b"not an image", b"GIF89a" + bytes(50), b"<svg xmlns='a'></svg>", None])
def test_what_is_no_photo_is_refused_politely(kit: Kit, content: bytes | None) -> None:
    cut_short = picture(400, 400, "JPEG").getvalue()[:300]
    with pytest.raises(PhotoRefused, match="not a photo"):
        add(kit, io.BytesIO(cut_short if content is None else content), 100)
    assert not Photo.objects.exists()


def test_what_would_unpack_to_too_much_is_refused_before_it_does(kit: Kit, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos, "MOST_PIXELS", 10_000)
    with pytest.raises(PhotoRefused, match="too big"):
        add(kit, picture(200, 200))
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 1_000)
    with pytest.raises(PhotoRefused):
        add(kit, picture(200, 200))
    with pytest.raises(PhotoRefused, match="too big"):
        add(kit, picture(), photos.MOST_BYTES + 1)


def test_there_is_an_end_to_photos(kit: Kit, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos, "MOST_PHOTOS", 1)
    add(kit, picture())
    with pytest.raises(PhotoRefused, match="Take one out"):
        add(kit, picture())


@pytest.mark.django_db(transaction=True)
def test_the_file_goes_with_the_photo_by_whatever_way() -> None:
    workshop = make_workshop(make_user("teacher"), kits=1, names=("Ayo",))
    first, second = photographed(workshop.kits.get()), photographed(workshop.kits.get())
    paths = [Path(photo.file.path) for photo in (first, second)]
    assert [path.exists() for path in paths] == [True, True]
    remove_photo(first)
    assert [path.exists() for path in paths] == [False, True]
    workshop.delete()
    assert [path.exists() for path in paths] == [False, False]


def test_only_the_class_sees_a_photo_and_nothing_between_keeps_it(kit: Kit) -> None:
    photo = photographed(kit)
    response = teacher_client(kit.workshop.owner).get(reverse("kits:photo", args=[photo.pk]))
    assert response["Content-Type"] == "image/jpeg"
    assert "private" in response["Cache-Control"]
    assert response["X-Content-Type-Options"] == "nosniff"
    assert Image.open(io.BytesIO(b"".join(response.streaming_content))).format == "JPEG"  # type: ignore[attr-defined]
    other = learner_client(kit.workshop.kits.get(number=2))
    assert other.get(reverse("kits:photo", args=[photo.pk])).status_code == 404


def test_a_learner_adds_a_photo_and_takes_it_out(kit: Kit) -> None:
    client = learner_client(kit)
    assert b"Photos are off" in client.get(reverse("kits:my-photos")).content
    teacher = teacher_client(kit.workshop.owner)
    learner = kit.learners.get()
    teacher.post(reverse("kits:photo-permission", args=[kit.pk]), {"allowed": [learner.pk]})
    upload = SimpleUploadedFile("me.png", picture().getvalue(), "image/png")
    assert client.post(reverse("kits:my-photos"), {"side": "outside", "photo": upload}).status_code == 302
    photo = kit.photos.get()
    assert "me" not in photo.file.name
    assert photo.learner == learner
    bad = client.post(reverse("kits:my-photos"), {"side": "outside", "photo": SimpleUploadedFile("a.txt", b"hello")})
    assert bad.status_code == 400
    assert b"not a photo that we can read" in bad.content
    assert client.post(reverse("kits:photo-remove", args=[photo.pk])).status_code == 302
    assert not kit.photos.exists()
    teacher.post(reverse("kits:photo-permission", args=[kit.pk]), {})
    assert not photos_allowed(Kit.objects.get(pk=kit.pk))
