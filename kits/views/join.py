"""A learner joins with the code of a kit, typed or from the label's QR, and leaves again."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from kits.forms.sign_in import CodeForm, WhoForm
from kits.models import Kit
from kits.models.codes import grouped, normalised
from kits.services import learner_session
from kits.services.access import Person, person_of
from kits.services.join import Answer, try_code
from kits.views.gates import for_learners

__all__ = ["join", "join_by_link", "leave", "who"]


@never_cache
@sensitive_post_parameters("code")
@require_http_methods(["GET", "HEAD", "POST"])
def join(request: HttpRequest) -> HttpResponse:
    """Ask for a code; with the right one, sign in to its kit."""
    if request.method != "POST":
        return render(request, "kits/join.html", {"form": CodeForm(), "person": person_of(request)})
    form = CodeForm(request.POST)
    if not form.is_valid():
        return render(request, "kits/join.html", {"form": form, "person": person_of(request)}, status=400)
    answer = try_code(form.cleaned_data["code"], request.META.get("REMOTE_ADDR", ""))
    if answer.kit is None:
        return _refused(request, form, answer)
    return _sign_in(request, answer.kit)


@never_cache
@require_http_methods(["GET", "HEAD"])
def join_by_link(request: HttpRequest, code: str) -> HttpResponse:
    """Where a label's QR leads: one button. Nothing is looked up, so opening it tells nothing."""
    code = normalised(code)
    form = CodeForm(initial={"code": grouped(code)})
    return render(request, "kits/join.html", {"form": form, "by_link": grouped(code), "person": person_of(request)})


@require_POST
def leave(request: HttpRequest) -> HttpResponse:
    """Sign the learner out, so that the next one can take the tablet."""
    learner_session.end(request)
    return redirect("kits:join")


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@for_learners
def who(request: HttpRequest, person: Person) -> HttpResponse:
    """Another learner takes the tablet: one of the same kit, or whoever has the code of another."""
    assert person.kit is not None
    form = WhoForm(person.kit, request.POST)
    if request.method == "POST" and form.is_valid():
        learner_session.switch(request, form.cleaned_data["learner"])
        return redirect("kits:my-kit")
    context = {"person": person, "kit": person.kit, "learners": list(person.kit.learners.all()), "switching": True}
    return render(request, "kits/join_who.html", context, status=400 if request.method == "POST" else 200)


def _refused(request: HttpRequest, form: CodeForm, answer: Answer) -> HttpResponse:
    if answer.outcome == "wait":
        form.add_error("code", _("Too many wrong codes. Wait ten minutes, or ask your teacher."))
        return render(request, "kits/join.html", {"form": form, "person": person_of(request)}, status=429)
    form.add_error("code", _("This code opens no kit. Look at the label again, or ask your teacher."))
    return render(request, "kits/join.html", {"form": form, "person": person_of(request)}, status=400)


def _sign_in(request: HttpRequest, kit: Kit) -> HttpResponse:
    learners = list(kit.learners.all())
    who = WhoForm(kit, request.POST)
    if len(learners) > 1 and not who.is_valid():
        # In already, as the kit and nobody of it: a short code opens only once, and no code goes back to the page.
        learner_session.start(request, kit, None)
        return render(request, "kits/join_who.html", {"kit": kit, "learners": learners})
    learner = who.cleaned_data["learner"] if len(learners) > 1 else next(iter(learners), None)
    learner_session.start(request, kit, learner)
    return redirect("kits:my-kit")
