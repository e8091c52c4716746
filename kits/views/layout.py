"""The layout page: where a kit's parts lie and what is sewn between them; and the example of a project alike.

The page's script saves by itself, with the version it last saw: what was saved elsewhere since is handed back,
never overwritten.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from kits.services.access import Person, kit_for, person_of, project_for
from kits.services.hand_in import hand_in as hand_in_layout
from kits.services.layouts import NotNow, Stale, save_example_layout, save_layout, why_not_changeable
from kits.services.reports import Judged, judge, judge_kit
from kits.views.findings import Shown, show
from kits.views.gates import for_teachers, to_sign_in
from kits.views.kit import try_it
from kits.views.layout_data import Sheet, marks_json, page_data
from projects.circuit import project_file
from projects.circuit.document import Document
from projects.circuit.json_text import parse
from projects.circuit.layout import Layout
from projects.circuit.text import msg
from projects.said import say
from projects.stored import document_json, layout_json
from projects.views.typed import typed_version

__all__ = ["example_layout", "example_layout_save", "hand_in", "layout", "layout_save", "layout_worker"]

Json = dict[str, Any]


@require_safe
def layout(request: HttpRequest, kit_id: int) -> HttpResponseBase:
    """A kit's layout, for its learners and its teacher."""
    person = person_of(request)
    if person.kind == "nobody":
        return to_sign_in(request)
    kit = kit_for(person, kit_id)
    judged = judge_kit(kit)
    sheet = Sheet(
        key=f"kit-{kit.pk}",
        document=judged.document,
        version=kit.layout_version,
        save_url=reverse("kits:layout-save", args=[kit.pk]),
        fixed=why_not_changeable(person, kit),
    )
    learner = person.kind == "learner"
    around = {
        "person": person,
        "title": _("My plan") if learner else _("{kit}: layout").format(kit=kit),
        "back": _("My kit") if learner else str(kit),
        "back_url": reverse("kits:my-kit") if learner else reverse("kits:kit", args=[kit.pk]),
        "hand_in_url": "" if sheet.fixed else reverse("kits:hand-in", args=[kit.pk]),
    }
    return _page(request, sheet, judged, around)


@require_POST
def layout_save(request: HttpRequest, kit_id: int) -> HttpResponseBase:
    """Keep a kit's layout; JSON in, JSON out."""
    person = person_of(request)
    if person.kind == "nobody":
        return JsonResponse({"error": _("Sign in again. Your plan is kept on this device.")}, status=403)
    kit = kit_for(person, kit_id)

    def save(layout: Layout, version: int) -> tuple[int, Judged]:
        version = save_layout(kit, layout, version, person)
        kit.refresh_from_db(fields=["layout", "layout_version"])
        return version, judge_kit(kit)

    return _saved(request, kit.read(), save)


@require_POST
def hand_in(request: HttpRequest, kit_id: int) -> HttpResponse:
    """Freeze the layout as this page saw it, and tell the teacher; where that is not possible, say why."""
    person = person_of(request)
    if person.kind == "nobody":
        return to_sign_in(request)
    kit = kit_for(person, kit_id)
    # A version that is no number was never shown to anyone; no saved layout has 0 after it was laid out.
    version = typed_version(request.POST.get("version", ""), otherwise=0)
    done = try_it(request, lambda: hand_in_layout(kit, version, person), _("Your plan is handed in."))
    if not done:
        return redirect("kits:layout", kit.pk)
    return redirect("kits:my-kit") if person.kind == "learner" else redirect("kits:kit", kit.pk)


@require_safe
@for_teachers
def example_layout(request: HttpRequest, person: Person, project_id: int) -> HttpResponse:
    """The example layout of a project."""
    project = project_for(person, project_id)
    newest = project.newest()
    sheet = Sheet(
        key=f"project-{project.pk}",
        document=newest.read(),
        version=newest.layout_version,
        save_url=reverse("kits:example-layout-save", args=[project.pk]),
    )
    around = {
        "person": person,
        "title": _("Example layout"),
        "back": str(project),
        "back_url": reverse("projects:page", args=[project.pk]),
    }
    return _page(request, sheet, judge(sheet.document), around)


@require_POST
@for_teachers
def example_layout_save(request: HttpRequest, person: Person, project_id: int) -> HttpResponse:
    """Keep a project's example layout; JSON in, JSON out."""
    project = project_for(person, project_id)
    circuit = project.newest().read()

    def save(layout: Layout, version: int) -> tuple[int, Judged]:
        return save_example_layout(project, layout, version), judge(circuit.with_layout(layout))

    return _saved(request, circuit, save)


@require_safe
def layout_worker(request: HttpRequest) -> HttpResponse:
    """The script that keeps the page for times without a network; at the root, so that it may serve any layout page."""
    answer = render(request, "kits/layout_worker.js", content_type="text/javascript; charset=utf-8")
    answer.headers["Cache-Control"] = "no-cache"
    return answer


def _page(request: HttpRequest, sheet: Sheet, judged: Judged, around: dict[str, Any]) -> HttpResponse:
    shown = show(judged, laying_out=True)
    context = {
        **around,
        "fixed": sheet.fixed,
        "version": sheet.version,
        "pieces": [piece.name for piece in sheet.document.project.pieces],
        "findings": _findings(shown),
        "data": page_data(sheet, shown),
    }
    return render(request, "kits/layout.html", context)


def _findings(shown: Shown) -> str:
    return render_to_string("kits/findings.html", {"shown": shown, "plain": True})


def _saved(request: HttpRequest, circuit: Document, save: Callable[[Layout, int], tuple[int, Judged]]) -> JsonResponse:
    """Reads what was sent, saves it, and answers with what the check says of it."""
    try:
        version, layout = _read(request.body, circuit)
        version, judged = save(layout, version)
    except project_file.Refusal as refusal:
        wrong = f"{refusal.place}: {say(refusal.wrong)}"
        return JsonResponse({"error": _("This plan cannot be kept. {wrong}").format(wrong=wrong)}, status=400)
    except NotNow as why:
        return JsonResponse({"error": str(why)}, status=400)
    except Stale as stale:
        return JsonResponse({"version": stale.version, "layout": layout_json(stale.layout)}, status=409)
    shown = show(judged, laying_out=True)
    answer = {
        "version": version,
        "saved": True,
        "made": time.time(),
        "findings_html": _findings(shown),
        "marks": marks_json(shown.marks),
        "stops": shown.stops,
    }
    return JsonResponse(answer)


def _read(body: bytes, circuit: Document) -> tuple[int, Layout]:
    """The version and the layout that were sent, the layout read with every check of a project file."""
    sent = parse(body)
    version = sent.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 0:
        raise project_file.Refusal("version", msg("it is not a whole number"), msg("the version last seen"))
    whole = {**document_json(circuit), "layout": sent.get("layout")}
    return version, project_file.read(json.dumps(whole).encode()).layout
