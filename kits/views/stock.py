"""The cupboard: what is on hand, reserved, free and to buy; each thing with its ledger and its packs."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.contrib.auth.models import User
from django.core.paginator import Paginator
from django.db.models import Sum
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from kits.forms.stock import CountForm, DeliveryForm, LossForm, NewItemForm, OfferForm
from kits.models import StockItem
from kits.services.access import Person, stock_item_for
from kits.services.layouts import NotNow
from kits.services.stock_counts import correct, deliver, lose, new_item
from kits.services.stock_ledger import balances
from kits.services.stock_list import stock_list
from kits.supplies.items import Item
from kits.views.gates import for_teachers

__all__ = [
    "drop_offer",
    "new_stock_item",
    "stock",
    "stock_correct",
    "stock_deliver",
    "stock_item",
    "stock_lose",
    "stock_offer",
    "stock_short",
]

LEDGER_SHOWN = 40
SHORT_SHOWN = 5


@require_safe
@for_teachers
def stock(request: HttpRequest, person: Person) -> HttpResponse:
    """Everything in the cupboard, and what the workshops to come are short of."""
    assert person.user is not None
    rows = stock_list(person.user)
    context = {"person": person, "rows": rows, "short": sum(1 for row in rows if row.to_buy)}
    return render(request, "kits/stock.html", context)


@require_safe
@for_teachers
def stock_short(request: HttpRequest, person: Person) -> HttpResponse:
    """A panel of the home page: whether anything is short for the workshops to come."""
    assert person.user is not None
    rows = [row for row in stock_list(person.user) if row.to_buy]
    return render(request, "kits/stock_short.html", {"rows": rows[:SHORT_SHOWN], "more": len(rows[SHORT_SHOWN:])})


@require_http_methods(["GET", "HEAD", "POST"])
@for_teachers
def new_stock_item(request: HttpRequest, person: Person) -> HttpResponse:
    """Give a thing a place in the cupboard."""
    assert person.user is not None
    form = NewItemForm(request.POST if request.method == "POST" else None)
    if not form.is_valid():
        context = {"person": person, "form": form}
        return render(request, "kits/stock_new.html", context, status=400 if form.is_bound else 200)
    return redirect("kits:stock-item", new_item(person.user, form.item).pk)


@require_safe
@for_teachers
def stock_item(request: HttpRequest, person: Person, item_id: int) -> HttpResponse:
    """One thing: how much there is, its packs, its ledger."""
    return _page(request, person, stock_item_for(person, item_id))


@require_POST
@for_teachers
def stock_deliver(request: HttpRequest, person: Person, item_id: int) -> HttpResponse:
    """It came."""
    assert person.user is not None
    user, row = person.user, stock_item_for(person, item_id)
    form = DeliveryForm(row.item, request.POST)
    return _kept(request, person, row, form, lambda: deliver(user, {row.item: form.amount}), _("It is in stock."))


@require_POST
@for_teachers
def stock_correct(request: HttpRequest, person: Person, item_id: int) -> HttpResponse:
    """It was counted."""
    row = stock_item_for(person, item_id)
    return _changed(request, person, row, CountForm(row.item, request.POST), correct)


@require_POST
@for_teachers
def stock_lose(request: HttpRequest, person: Person, item_id: int) -> HttpResponse:
    """It is lost or broken."""
    row = stock_item_for(person, item_id)
    return _changed(request, person, row, LossForm(row.item, request.POST), lose)


@require_POST
@for_teachers
def stock_offer(request: HttpRequest, person: Person, item_id: int) -> HttpResponse:
    """It can be bought in such a pack."""
    row = stock_item_for(person, item_id)
    form = OfferForm(row, request.POST)
    return _kept(request, person, row, form, form.save, _("Shopping lists count with this pack now."))


@require_POST
@for_teachers
def drop_offer(request: HttpRequest, person: Person, item_id: int) -> HttpResponse:
    """Such a pack can be bought no more."""
    row = stock_item_for(person, item_id)
    chosen = request.POST.get("offer", "")
    for offer in row.offers.all():
        if str(offer.pk) == chosen:
            offer.delete()
    return redirect("kits:stock-item", row.pk)


def _changed(
    request: HttpRequest,
    person: Person,
    row: StockItem,
    form: CountForm | LossForm,
    change: Callable[[User, Item, int, str], object],
) -> HttpResponse:
    assert person.user is not None
    user = person.user
    said = _("The ledger keeps it with your reason.")
    return _kept(
        request, person, row, form, lambda: change(user, row.item, form.amount, form.cleaned_data["reason"]), said
    )


_Sent = DeliveryForm | CountForm | LossForm | OfferForm


def _kept(
    request: HttpRequest, person: Person, row: StockItem, form: _Sent, keep: Callable[[], object], said: str
) -> HttpResponse:
    """Keep what was sent and say so; or the page again with what was typed and what is wrong with it."""
    if form.is_valid():
        try:
            keep()
        except NotNow as refusal:
            form.add_error("amount", str(refusal))
        else:
            messages.success(request, said)
            return redirect("kits:stock-item", row.pk)
    return _page(request, person, row, form)


def _page(request: HttpRequest, person: Person, row: StockItem, sent: _Sent | None = None) -> HttpResponse:
    """The page of one thing; a form that was sent and came back stands in place of its fresh one."""
    forms: list[tuple[_Sent, str]] = [
        (DeliveryForm(row.item), "stock-deliver"),
        (CountForm(row.item), "stock-correct"),
        (LossForm(row.item), "stock-lose"),
        (OfferForm(row), "stock-offer"),
    ]
    shown = {}
    for fresh, name in forms:
        form = sent if isinstance(sent, type(fresh)) else fresh
        form.helper.form_action = reverse(f"kits:{name}", args=[row.pk])
        shown[name.replace("-", "_")] = form
    movements = row.movements.select_related("workshop", "kit", "user").order_by("-number")
    of_workshops = row.movements.exclude(workshop=None).order_by("workshop__title")
    reserved = of_workshops.values_list("workshop_id", "workshop__title").annotate(held=Sum("reserve_change"))
    context = {
        "person": person,
        "row": row,
        "item": row.item,
        "balance": balances([row])[row.pk],
        "reserved_for": [(pk, title, held) for pk, title, held in reserved if held],
        "offers": list(row.offers.all()),
        "page": Paginator(movements, LEDGER_SHOWN).get_page(request.GET.get("page")),
        **shown,
    }
    return render(request, "kits/stock_item.html", context, status=400 if sent else 200)
