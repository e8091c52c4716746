"""Short codes shown on the board: for a kit that lost its label, two minutes and one use."""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.utils import timezone
from django.utils.crypto import salted_hmac

from kits.models import Kit, ShortCode
from kits.models.codes import new_short_code

__all__ = ["LASTS", "make_short_code", "use_short_code"]

LASTS = timedelta(minutes=2)


def make_short_code(kit: Kit) -> str:
    """A fresh code for the kit; one that was made before and not used opens nothing any more.

    It is told this once and never kept, only its digest.
    """
    kit.short_codes.all().delete()
    ShortCode.objects.filter(made_at__lt=timezone.now() - LASTS).delete()
    code = new_short_code()
    ShortCode.objects.create(kit=kit, digest=_digest(code))
    return code


def use_short_code(code: str) -> Kit | None:
    """The kit that the code opens now, and never again; None for a wrong, used or late one."""
    now = timezone.now()
    fresh = ShortCode.objects.filter(digest=_digest(code), used_at=None, made_at__gt=now - LASTS)
    if not fresh.update(used_at=now):  # one statement, so that of two who type it at once one is in
        return None
    kits = Kit.objects.select_related("workshop", "revision__project")
    return kits.filter(short_codes__digest=_digest(code)).first()


def _digest(code: str) -> str:
    return salted_hmac("kits.short_code", code, secret=settings.SECRET_KEY, algorithm="sha256").hexdigest()
