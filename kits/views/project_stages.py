"""The stages of a project, as its plan makes them and its teacher changes them; and what marks are given for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from kits.forms.stages import CriterionForm, StageForm
from kits.plan.make import make_plan
from kits.plan.stages import WORK_OF
from kits.plan.values import PlannedStage
from kits.services.access import Person, project_for
from kits.views.gates import for_teachers
from projects.circuit.document import Document
from projects.circuit.editing import stages as edits
from projects.circuit.project import LAYOUT_STAGE, Criterion, Stage
from projects.circuit.refusal import Refusal
from projects.drafts import StaleDraft, change_draft, last_step, last_undone
from projects.models import Project
from projects.said import say, say_refusal

__all__ = ["project_stages", "stages_of"]


@dataclass(frozen=True)
class PlanRow:
    """A stage of the plan: how the project file would hold it, and what people see of it."""

    planned: PlannedStage
    stage: Stage
    title: str


def stages_of(document: Document) -> tuple[PlanRow, ...]:
    """The stages of the plan of the example, each as the project file would hold it."""
    rows = []
    for planned in make_plan(document).stages:
        if planned.kinds == ("sew",) and not planned.connections:
            continue  # lines that are for no connection: nothing that a file could name
        title = say(planned.title)
        does = tuple(WORK_OF[kind] for kind in planned.kinds if kind in WORK_OF)
        name = planned.name if does == (planned.name,) else title
        stage = Stage.model_construct(name=name, connections=planned.connections, does=does, look=planned.look)
        rows.append(PlanRow(planned, stage, title))
    return tuple(rows)


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def project_stages(request: HttpRequest, person: Person, project_id: int) -> HttpResponse:
    """Rename, reorder, merge, ask for a look; criteria for marks."""
    project = project_for(person, project_id)
    if request.method != "POST":
        return _page(request, project)
    assert person.user is not None
    document = project.newest().read()
    form = _form(request, document)
    if not form.is_valid():
        return _page(request, project, failed=form, status=400)
    try:
        change, said = _CHANGES.get(form.action, _nothing)(form)
        change_draft(project, form.cleaned_data["version"], change, said, person.user)
    except Refusal as refusal:
        form.add_error(None, say_refusal(refusal))
        return _page(request, project, failed=form, status=400)
    except StaleDraft:
        messages.warning(
            request, _("The draft was changed on another page since. This is how it is now; do it again if you wish.")
        )
        return _page(request, project, failed=form, status=409)
    return redirect("kits:project-stages", project.pk)


def _form(request: HttpRequest, document: Document) -> StageForm:
    if request.POST.get("action", "").endswith("criterion"):
        return CriterionForm(_choices(stages_of(document)), request.POST, auto_id="failed-%s")
    return StageForm(request.POST, auto_id="failed-%s")


def _page(
    request: HttpRequest, project: Project, *, failed: StageForm | None = None, status: int = 200
) -> HttpResponse:
    newest = project.newest()
    document = newest.read()
    rows = stages_of(document)
    choices = _choices(rows)
    initial = {"version": newest.layout_version}
    titles = dict(choices)
    context = {
        "project": project,
        "section": "stages",
        "title": _("Stages and marks"),
        "version": newest.layout_version,
        "step": last_step(newest),
        "undone": last_undone(newest),
        "rows": rows,
        "own": bool(document.project.stages),
        "failed_stage": failed,
        "criteria": [
            (
                one,
                titles.get(one.stage, one.stage),
                CriterionForm(choices, initial=_criterion(n, one, initial), auto_id=f"criterion-{n}-%s"),
            )
            for n, one in enumerate(document.project.criteria)
        ],
        "add": CriterionForm(choices, initial=initial, auto_id="add-%s"),
    }
    return render(request, "kits/project_stages.html", context, status=status)


def _criterion(number: int, one: Criterion, initial: Mapping[str, Any]) -> dict[str, Any]:
    return {**initial, "number": number, "stage": one.stage, "text": one.text}


def _choices(rows: tuple[PlanRow, ...]) -> list[tuple[str, str]]:
    return [(LAYOUT_STAGE, _("Make the plan")), *((row.planned.name, row.title) for row in rows)]


Change = tuple[Callable[[Document], Document], str]


def _staged(edit: Callable[[edits.Stages], edits.Stages]) -> Callable[[Document], Document]:
    """An edit of all stages at once: those that the plan made so far become the project's own."""

    def change(document: Document) -> Document:
        rows = stages_of(document)
        before = tuple(row.stage for row in rows)
        titles = {row.title: row.stage.name for row in rows}
        # A title of ours, left as it is, is no new name: it goes on being said in the reader's language.
        after = tuple(one.model_copy(update={"name": titles.get(one.name, one.name)}) for one in edit(before))
        return edits.set_stages(document, after, _renamed(rows, before, after))

    return change


def _renamed(rows: tuple[PlanRow, ...], before: edits.Stages, after: edits.Stages) -> dict[str, str]:
    """The new name of each stage of the plan: its own, or that of the stage that now sews its connections and does
    what it did.
    """
    kept = {stage.name for stage in after}
    new = [one.name for one in after if one.name not in {stage.name for stage in before}]
    found = {}
    for row, stage in zip(rows, before, strict=True):
        work = {*stage.connections, *stage.does}
        heirs = [one.name for one in after if work and work <= {*one.connections, *one.does}] or new
        found[row.planned.name] = stage.name if stage.name in kept else next(iter(heirs), stage.name)
    return found


def _nothing(form: StageForm) -> Change:
    return (lambda document: document), ""


def _save(form: StageForm) -> Change:
    data = form.cleaned_data
    words = _("changed the stage {name}").format(name=data["name"])
    return _staged(lambda all_: edits.change_stage(all_, data["number"], data["name"], data["look"])), words


def _move(by: int) -> Callable[[StageForm], Change]:
    def made(form: StageForm) -> Change:
        number = form.cleaned_data["number"]
        return _staged(lambda all_: edits.move_stage(all_, number, by)), _("moved a stage")

    return made


def _merge(form: StageForm) -> Change:
    number = form.cleaned_data["number"]
    return _staged(lambda all_: edits.merge_stages(all_, number)), _("merged two stages")


def _reset(form: StageForm) -> Change:
    return (lambda document: edits.set_stages(document, ())), _("took the plan's own stages again")


def _add_criterion(form: StageForm) -> Change:
    new = Criterion.model_construct(stage=form.cleaned_data["stage"], text=form.cleaned_data["text"])
    return (lambda document: edits.add_criterion(document, new)), _("added a criterion")


def _change_criterion(form: StageForm) -> Change:
    new = Criterion.model_construct(stage=form.cleaned_data["stage"], text=form.cleaned_data["text"])
    number = form.cleaned_data["number"]
    return (lambda document: edits.change_criterion(document, number, new)), _("changed a criterion")


def _remove_criterion(form: StageForm) -> Change:
    number = form.cleaned_data["number"]
    return (lambda document: edits.remove_criterion(document, number)), _("took a criterion off")


_CHANGES: Mapping[str, Callable[[StageForm], Change]] = {
    "save": _save,
    "up": _move(-1),
    "down": _move(1),
    "merge": _merge,
    "reset": _reset,
    "add-criterion": _add_criterion,
    "change-criterion": _change_criterion,
    "remove-criterion": _remove_criterion,
}
