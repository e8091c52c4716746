"""A kit's own circuit: another light from the list, a switch put into a line, a light left out, or all of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from kits.models import Kit
from kits.services.access import Person, kit_for, person_of
from kits.services.vary import own_differences, vary_kit, why_not_variable
from kits.views.circuit_free import change_freely, free_choices
from kits.views.gates import to_sign_in
from kits.views.kit import try_it
from projects.circuit.document import Document
from projects.circuit.editing.parts import known_types
from projects.circuit.own_parts import leave_out, lights_of, take_back
from projects.circuit.part_types import Switch
from projects.circuit.project import Project
from projects.circuit.variation import put_switch, swap, swaps_of, take_switch_out
from projects.drawing import Style, connection_labels
from projects.drawing.circuit import draw_circuit
from projects.said import say, say_name
from projects.views.typed import typed_version

__all__ = ["circuit"]

Change = Callable[[Document], Document]


@require_http_methods(["GET", "HEAD", "POST"])
def circuit(request: HttpRequest, kit_id: int) -> HttpResponseBase:
    """What may be changed; POST with `action` changes it."""
    person = person_of(request)
    if person.kind == "nobody":
        return to_sign_in(request)
    kit = kit_for(person, kit_id)
    if request.method != "POST":
        return _page(request, person, kit)
    version = typed_version(request.POST.get("version", ""))
    change = _change(request, kit.revision.read().project)
    try_it(request, lambda: vary_kit(kit, version, change, person), _("Your circuit is changed. Look at your lines."))
    return redirect("kits:circuit", kit.pk)


def _change(request: HttpRequest, original: Project) -> Change:
    part, choice = request.POST.get("part", ""), request.POST.get("choice", "")
    changes: dict[str, Change] = {
        "swap": lambda document: swap(document, part, choice),
        "switch": lambda document: put_switch(document, choice),
        "no-switch": lambda document: take_switch_out(document, part),
        "leave-out": lambda document: leave_out(document, part),
        "take-back": lambda document: take_back(document, original, part),
    }
    action = request.POST.get("action", "")
    return changes.get(action, lambda document: change_freely(document, action, part, choice))


def _page(request: HttpRequest, person: Person, kit: Kit) -> HttpResponse:
    document, original = kit.read(), kit.revision.read().project
    learner = person.kind == "learner"
    may_switch = original.learner_may == "all" or not learner
    lights = lights_of(document.project)
    context: dict[str, Any] = {
        "person": person,
        "kit": kit,
        "fixed": why_not_variable(person, kit),
        "differences": own_differences(kit),
        # The drawing is built as an element tree that escapes every text; nothing in it is raw.
        "drawing": mark_safe(draw_circuit(document, style=Style(say=say), targets=False)),
        "swaps": _swaps(document, swaps_of(original)),
        "lines": _lines(document) if may_switch else [],
        "own_switches": _own_switches(document, kit) if may_switch else [],
        "lights": lights if may_switch and len(lights) > 1 else [],
        "left_out": [ref for ref in lights_of(original) if ref not in lights] if may_switch else [],
        "free": free_choices(document) if may_switch else None,
        "back": reverse("kits:my-kit") if learner else reverse("kits:kit", args=[kit.pk]),
        "learner": learner,
    }
    return render(request, "kits/circuit.html", context)


def _swaps(document: Document, swaps: Any) -> list[tuple[str, str, list[tuple[str, str]]]]:
    """Part, its type now, and what it may be, each with its name."""
    known = known_types(document.project)
    now = {part.ref: part.type for part in document.project.parts}
    return [
        (ref, now[ref], [(name, say_name(known[name].name)) for name in names])
        for ref, names in swaps.items()
        if ref in now
    ]


def _lines(document: Document) -> list[tuple[str, list[tuple[str, str]]]]:
    """Where a switch may go: for each connection the terminals that it can be put in front of."""
    project = document.project
    types = {part.ref: known_types(project)[part.type] for part in project.parts}
    labels = connection_labels(project)
    found = []
    for connection in project.connections:
        rows = [(one, _group(types, one)) for one in connection.terminals]
        groups = dict.fromkeys(group for _name, group in rows)
        if len(groups) > 1:
            choices = [(group[0], f"{group[0]} ({_label(types, group[0])})") for group in groups]
            found.append((f"{labels[connection.name]} {connection.name}", choices))
    return found


def _group(types: Any, terminal: str) -> tuple[str, ...]:
    ref, _dot, name = terminal.partition(".")
    return next(tuple(f"{ref}.{one}" for one in group) for group in types[ref].groups() if name in group)


def _label(types: Any, terminal: str) -> str:
    ref, _dot, name = terminal.partition(".")
    return str(types[ref].terminal(name).label or name)


def _own_switches(document: Document, kit: Kit) -> list[str]:
    """Switches that are not the project's, so that they may go again."""
    theirs = {part.ref for part in kit.revision.read().project.parts}
    known = known_types(document.project)
    return [
        part.ref
        for part in document.project.parts
        if part.ref not in theirs and isinstance(known[part.type].model, Switch)
    ]
