"""Photos of a kit: added by learners and staff where permission is ticked, seen by them alone."""

from __future__ import annotations

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from kits.forms.sewing import PhotoForm
from kits.models import Kit
from kits.services.access import Person, kit_for, kit_taught, photo_seen_by
from kits.services.photos import PhotoRefused, add_photo, photos_allowed, remove_photo
from kits.views.gates import for_joined, for_learners, for_teachers

__all__ = ["kit_photo", "my_photos", "photo", "photo_permission", "photo_remove"]


@require_http_methods(["GET", "HEAD", "POST"])
@for_learners
def my_photos(request: HttpRequest, person: Person) -> HttpResponse:
    """A learner's photos, and a form for another where photos are allowed."""
    assert person.kit is not None
    form, added = _added(request, person, person.kit)
    if added:
        return redirect("kits:my-photos")
    context = {
        "person": person,
        "kit": person.kit,
        "photos": list(person.kit.photos.all()),
        "allowed": photos_allowed(person.kit),
        "form": form,
    }
    return render(request, "kits/my_photos.html", context, status=400 if request.method == "POST" else 200)


@require_POST
@for_teachers
def kit_photo(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """The teacher takes the photo."""
    kit = kit_taught(person, kit_id)
    form, _kept = _added(request, person, kit)
    for error in (error for errors in form.errors.values() for error in errors):
        messages.error(request, str(error))
    return redirect(f"{reverse('kits:kit-sewing', args=[kit.pk])}#photos-head")


@require_safe
@for_joined
def photo(request: HttpRequest, person: Person, photo_id: int) -> HttpResponseBase:
    """The picture itself, for whoever may see the kit; kept by the browser for a while, by nobody between."""
    found = photo_seen_by(person, photo_id)
    response = FileResponse(found.file.open(), content_type="image/jpeg")
    response["Cache-Control"] = "private, max-age=3600"
    return response


@require_POST
@for_joined
def photo_remove(request: HttpRequest, person: Person, photo_id: int) -> HttpResponse:
    """Gone for good: by the learners of the kit, or its teacher."""
    found = photo_seen_by(person, photo_id)
    kit_for(person, found.kit_id)
    remove_photo(found)
    messages.success(request, _("The photo is gone."))
    if person.kind == "learner":
        return redirect("kits:my-photos")
    return redirect(f"{reverse('kits:kit-sewing', args=[found.kit_id])}#photos-head")


@require_POST
@for_teachers
def photo_permission(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """For which learners of the kit photos may be taken; the teacher alone ticks that."""
    kit = kit_taught(person, kit_id)
    ticked = set(request.POST.getlist("allowed"))
    for learner in kit.learners.all():
        learner.photos_allowed = str(learner.pk) in ticked
        learner.save(update_fields=["photos_allowed"])
    return redirect(f"{reverse('kits:kit-sewing', args=[kit.pk])}#photos-head")


def _added(request: HttpRequest, person: Person, kit: Kit) -> tuple[PhotoForm, bool]:
    """The form, and whether a photo was kept; why not, the form says."""
    if request.method != "POST":
        return PhotoForm(), False
    form = PhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        return form, False
    upload = form.cleaned_data["photo"]
    try:
        add_photo(kit, form.cleaned_data["side"], upload, upload.size, person)
    except PhotoRefused as refusal:
        form.add_error("photo", str(refusal))
        return form, False
    messages.success(request, _("The photo is kept."))
    return form, True
