"""Who can sign in to the demo, and with what."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.urls import reverse

from kits.demo.club import HELPER, SHOWN_KIT, TEACHER, TITLE, Account
from kits.models import Kit

__all__ = ["sign_ins"]


def sign_ins() -> list[tuple[str, str]]:
    """Pairs to print, such as ("Teacher", "name …, password … at /sign-in/"); empty if the demo is not loaded.

    An account whose password was changed is left out.
    """
    page = reverse("kits:sign-in")
    found = [
        (who, f"name {account.username}, password {account.password}, at {page}")
        for who, account in (("Teacher", TEACHER), ("Helper", HELPER))
        if _still_open(account)
    ]
    kit = Kit.objects.filter(
        workshop__owner__username=TEACHER.username, workshop__title=TITLE, number=SHOWN_KIT
    ).first()
    if found and kit is not None:
        found.append((f"Learner (kit {kit.number})", f"code {kit.shown_code}, at {reverse('kits:join')}"))
    return found


def _still_open(account: Account) -> bool:
    user = User.objects.filter(username=account.username, is_active=True).first()
    return user is not None and user.check_password(account.password)
