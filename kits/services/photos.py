"""Photos: only where everyone who makes the kit has permission; made anew, so that nothing comes along with them."""

from __future__ import annotations

import io
import warnings
from typing import BinaryIO

from django.core.files.base import ContentFile
from django.db import transaction
from django.utils.translation import gettext as _
from PIL import Image, ImageOps

from kits.models import Event, Kit, Photo
from kits.services.access import Person
from kits.services.events import log

__all__ = ["MOST_BYTES", "MOST_PHOTOS", "MOST_SIDE", "PhotoRefused", "add_photo", "photos_allowed", "remove_photo"]

MOST_SIDE = 1600
"""Pixels, the longer side."""
MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = 60_000_000
"""More than any tablet's camera takes; a small file may unpack to more, and is refused before it does."""
MOST_PHOTOS = 20
_FORMATS = ("JPEG", "PNG", "WEBP")
_QUALITY = 82


class PhotoRefused(Exception):
    """A photo that is not kept; the message says why and what to do."""


def photos_allowed(kit: Kit) -> bool:
    """Whether everyone who makes the kit has permission; a kit without a name has none."""
    allowed = [learner.photos_allowed for learner in kit.learners.all()]
    return bool(allowed) and all(allowed)


def add_photo(kit: Kit, side: str, file: BinaryIO, size: int, person: Person) -> Photo:
    """Keep a photo of one side of the object. `size` in bytes. Raises PhotoRefused."""
    if not photos_allowed(kit):
        raise PhotoRefused(_("Photos are off for this kit. Your teacher can switch them on."))
    if kit.photos.count() >= MOST_PHOTOS:
        raise PhotoRefused(_("This kit has its {most} photos. Take one out first.").format(most=MOST_PHOTOS))
    if size > MOST_BYTES:
        raise PhotoRefused(_("This photo is too big. Take a smaller one."))
    made = _made_anew(file)
    with transaction.atomic():
        photo = Photo(kit=kit, side=side, **person.signs)
        photo.file.save("", ContentFile(made), save=False)
        photo.save()
        log(kit, Event.Kind.PHOTO, person.signs)
    return photo


def remove_photo(photo: Photo) -> None:
    """The photo and its file are gone; that there was one stays in the log."""
    photo.delete()


def _made_anew(file: BinaryIO) -> bytes:
    """The picture as a JPEG of at most 1600 pixels, turned upright, without anything that came along."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(file, formats=_FORMATS) as image:
                if image.width * image.height > MOST_PIXELS:
                    raise PhotoRefused(_("This photo is too big. Take a smaller one."))
                image.draft("RGB", (2 * MOST_SIDE, 2 * MOST_SIDE))
                upright = ImageOps.exif_transpose(image).convert("RGB")
    except PhotoRefused:
        raise
    except Exception as error:
        # Whatever a broken or hostile file makes the library say, the answer is the same.
        raise PhotoRefused(_("This is not a photo that we can read. Take it as a JPEG or PNG.")) from error
    upright.thumbnail((MOST_SIDE, MOST_SIDE))
    plain = Image.new("RGB", upright.size)  # pixels alone: no place, no time, no profile
    plain.paste(upright)
    out = io.BytesIO()
    plain.save(out, "JPEG", quality=_QUALITY, optimize=True)
    return out.getvalue()
