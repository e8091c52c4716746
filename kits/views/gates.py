"""Who may come in at all, before anything is looked up; what is theirs is then fetched through `access`."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib.auth.views import redirect_to_login
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.urls import reverse
from django_htmx.http import HttpResponseClientRedirect

from kits.services.access import Person, person_of

__all__ = ["PersonView", "for_joined", "for_learners", "for_teachers", "to_sign_in"]

P = ParamSpec("P")
PersonView = Callable[Concatenate[HttpRequest, Person, P], HttpResponseBase]
View = Callable[Concatenate[HttpRequest, P], HttpResponseBase]


def for_teachers(view: PersonView[P]) -> View[P]:
    """For teachers and helpers: nobody is sent to sign in and comes back; a learner finds no such page."""

    @wraps(view)
    def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        person = person_of(request)
        if person.kind == "nobody":
            return to_sign_in(request)
        if person.kind == "learner":
            raise Http404
        return view(request, person, *args, **kwargs)

    return guarded


def for_learners(view: PersonView[P]) -> View[P]:
    """For learners: nobody is sent to the page that asks for a code; a teacher finds no such page."""

    @wraps(view)
    def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        person = person_of(request)
        if person.kind == "nobody":
            return redirect("kits:join")
        if person.kind == "teacher":
            raise Http404
        return view(request, person, *args, **kwargs)

    return guarded


def for_joined(view: PersonView[P]) -> View[P]:
    """For teachers, helpers and learners alike: nobody is sent to sign in."""

    @wraps(view)
    def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        person = person_of(request)
        return to_sign_in(request) if person.kind == "nobody" else view(request, person, *args, **kwargs)

    return guarded


def to_sign_in(request: HttpRequest) -> HttpResponse:
    """The way to the sign-in page and back; a panel takes the whole page there, never into itself."""
    if getattr(request, "htmx", False):
        return HttpResponseClientRedirect(reverse("kits:sign-in"))
    return redirect_to_login(request.get_full_path())
