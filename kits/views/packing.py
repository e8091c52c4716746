"""Packing: each kit with its materials to tick, by each learner's own circuit and layout."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from kits.forms.packing import AmountsForm, WasteForm
from kits.models import Kit, Workshop
from kits.services.access import Person, kit_taught, workshop_for
from kits.services.kit_contents import contents_of
from kits.services.kit_needs import habits_of
from kits.services.layouts import NotNow
from kits.services.packing import hand_out, items_of, pack, put_back, set_out, take_back, unpack
from kits.services.packing_list import PackingList, PackingState, packing_list
from kits.services.reserve import release, reserve
from kits.services.set_habits import set_waste_and_spares
from kits.supplies.items import Item
from kits.supplies.wording import spoken_amount
from kits.views.gates import for_teachers
from kits.views.kit import try_it
from projects.said import say_name

__all__ = ["kit_packing", "leftovers", "packing", "reserve_stock", "set_out_shared", "waste_and_spares"]


@require_safe
@for_teachers
def packing(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """All kits of a workshop and what goes into each."""
    return _page(request, person, workshop_for(person, workshop_id))


@require_POST
@for_teachers
def reserve_stock(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Set aside what the workshop needs, or no longer."""
    assert person.user is not None
    workshop = workshop_for(person, workshop_id)
    if request.POST.get("action") == "release":
        release(workshop, person.user)
        messages.success(request, _("Nothing is reserved for this workshop any more."))
    elif request.POST.get("action") == "reserve":
        done = reserve(workshop, person.user)
        if done.reserved:
            text = ngettext("Reserved {count} kind of thing.", "Reserved {count} kinds of things.", len(done.reserved))
            messages.success(request, text.format(count=len(done.reserved)))
        if done.short:
            messages.warning(request, _("Not enough in stock: {things}.").format(things=", ".join(_named(done.short))))
    return redirect("kits:packing", workshop.pk)


@require_POST
@for_teachers
def waste_and_spares(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """How much thread this class loses, and how sure its spares must be."""
    workshop = workshop_for(person, workshop_id)
    form = WasteForm(habits_of(workshop), request.POST)
    if not form.is_valid():
        return _page(request, person, workshop, waste=form, status=400)
    set_waste_and_spares(workshop, *form.shares())
    messages.success(request, _("Bags, spares and shopping lists reckon with that now."))
    return redirect("kits:packing", workshop.pk)


@require_POST
@for_teachers
def set_out_shared(request: HttpRequest, person: Person, workshop_id: int) -> HttpResponse:
    """Lay on the table what all kits share."""
    workshop = workshop_for(person, workshop_id)
    chosen = request.POST.get("item", "")
    for row in packing_list(workshop).shared:
        if row.item.key == chosen:
            _set_out(request, workshop, person, row.item)
    return redirect("kits:packing", workshop.pk)


@require_POST
@for_teachers
def kit_packing(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """Tick a material of a kit or all, take the tick away, hand the kit out, take it back."""
    kit = kit_taught(person, kit_id)
    action, key = request.POST.get("action", ""), request.POST.get("item", "")
    if "out" in request.POST:  # a ticked material was pressed again
        action, key = "unpack", request.POST["out"]
    only = [one.item for one in items_of(kit) if one.item.key == key] if key else None
    if action == "pack":
        short = pack(kit, person, only).short
        if short:
            names = ", ".join(say_name(item.name) for item in short)
            messages.warning(request, _("{kit}: not enough in stock of {names}.").format(kit=kit, names=names))
    elif action == "unpack":
        unpack(kit, person, only)
    elif action in _WHERE:
        _WHERE[action](kit, person)
    if getattr(request, "htmx", False):
        return _page(request, person, kit.workshop, only_kit=kit)
    return redirect(f"{reverse('kits:packing', args=[kit.workshop_id])}#pack-{kit.pk}")


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def leftovers(request: HttpRequest, person: Person, kit_id: int) -> HttpResponse:
    """What is left over of a kit goes back into stock."""
    kit = kit_taught(person, kit_id)
    contents = contents_of(kit)
    form = AmountsForm(
        contents, request.POST if request.method == "POST" else None, button=_("Put it back"), suggest=False
    )
    if form.is_valid():
        try:
            put_back(kit, person, form.amounts())
        except NotNow as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The leftovers of {kit} are back in stock.").format(kit=kit))
            return redirect("kits:packing", kit.workshop_id)
    context = {"person": person, "kit": kit, "workshop": kit.workshop, "form": form, "contents": contents}
    return render(request, "kits/leftovers.html", context, status=400 if form.is_bound else 200)


_WHERE = {"hand-out": hand_out, "take-back": take_back}


def _set_out(request: HttpRequest, workshop: Workshop, person: Person, item: Item) -> None:
    assert person.user is not None
    user = person.user
    try_it(request, lambda: set_out(workshop, user, item), "")


def _page(
    request: HttpRequest,
    person: Person,
    workshop: Workshop,
    only_kit: Kit | None = None,
    waste: WasteForm | None = None,
    status: int = 200,
) -> HttpResponse:
    """The whole page, or the part of it about one kit."""
    listed = packing_list(workshop)
    waste = waste or WasteForm(habits_of(workshop))
    waste.helper.form_action = reverse("kits:waste-and-spares", args=[workshop.pk])
    context = {
        "person": person,
        "workshop": workshop,
        "listed": listed,
        "short": _named(listed.short),
        "counts": _counts(listed),
        "waste": waste,
    }
    if only_kit is None:
        return render(request, "kits/packing.html", context, status=status)
    row = next(row for row in listed.kits if row.kit.pk == only_kit.pk)
    return render(request, "kits/packing_kit.html", {**context, "row": row, "alone": True})


def _counts(listed: PackingList) -> list[tuple[str, int]]:
    """How many bags are in each state, in the order in which a bag goes through them."""
    words: dict[PackingState, str] = {
        "to-pack": _("to pack"),
        "missing": _("with parts missing"),
        "packed": _("packed"),
        "handed-out": _("handed out"),
        "returned": _("returned"),
    }
    count = Counter(row.state for row in listed.kits)
    return [(word, count[state]) for state, word in words.items() if count[state]]


def _named(short: Mapping[Item, int]) -> list[str]:
    """Each thing with how much of it is short."""
    return [f"{say_name(item.name)} ({spoken_amount(item, amount)})" for item, amount in short.items()]
