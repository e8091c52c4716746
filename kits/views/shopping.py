"""Shopping: what a workshop, or all workshops to come, are short of, in the packs that cost least."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from kits.forms.packing import AmountsForm
from kits.models import Workshop
from kits.services.access import Person, workshop_for
from kits.services.stock_counts import deliver
from kits.services.stock_list import shopping_for
from kits.services.workshop_stock import to_come
from kits.sheets import content
from kits.sheets.content import Heading, Units
from kits.sheets.render import Paper, pdf
from kits.supplies.items import Item, money_of
from kits.supplies.shopping import Shopping
from kits.supplies.wording import units_of
from kits.views.csv_file import csv_file
from kits.views.gates import for_teachers
from projects.said import say_name

__all__ = ["shopping", "shopping_came", "shopping_csv", "shopping_list"]


@require_safe
@for_teachers
def shopping(request: HttpRequest, person: Person, workshop_id: int | None = None) -> HttpResponse:
    """The list as a page; without `workshop_id`, for all workshops to come."""
    listed = _Listed(person, workshop_id)
    return _page(request, person, listed, listed.form())


@require_POST
@for_teachers
def shopping_came(request: HttpRequest, person: Person, workshop_id: int | None = None) -> HttpResponse:
    """What was bought came: put it into stock."""
    assert person.user is not None
    listed = _Listed(person, workshop_id)
    form = listed.form(request.POST)
    if not form.is_valid():
        return _page(request, person, listed, form, status=400)
    amounts = form.amounts()
    deliver(person.user, amounts)
    text = ngettext("{count} thing is in stock now.", "{count} things are in stock now.", len(amounts))
    messages.success(request, text.format(count=len(amounts)))
    return redirect(listed.address("shopping"))


@require_safe
@never_cache
@for_teachers
def shopping_csv(request: HttpRequest, person: Person, workshop_id: int | None = None) -> HttpResponse:
    """The list for a spreadsheet: a row a kind of pack."""
    head = [_("what"), _("unit"), _("wanted"), _("at hand"), _("short"), _("packs to buy"), _("in a pack")]
    head += [_("price of a pack with tax"), _("pack"), _("cost with tax")]
    rows: list[Sequence[object]] = []
    for row in _Listed(person, workshop_id).shopping.rows:
        want = row.want
        about = [say_name(want.item.name), want.item.unit, *map(units_of, (want.wanted, want.at_hand, want.short))]
        for bought in row.basket.bought if row.basket else ():
            offer = bought.offer
            pack = [units_of(offer.size), money_of(offer.cost), offer.name]
            rows.append([*about, bought.packs, *pack, money_of(bought.cost)])
        if row.basket is None:
            rows.append([*about, "", "", "", "", ""])
    return csv_file("shopping-list.csv", head, rows)


@require_safe
@never_cache
@for_teachers
def shopping_list(request: HttpRequest, person: Person, workshop_id: int | None = None) -> HttpResponse:
    """The list on paper; `?paper=letter&units=inch` for US Letter and yards of thread."""
    listed = _Listed(person, workshop_id)
    titles = [] if listed.workshop else [workshop.title for workshop in listed.workshops]
    heading = Heading(project=listed.workshop.title if listed.workshop else _("All workshops to come"))
    units: Units = "inch" if request.GET.get("units") == "inch" else "cm"
    paper: Paper = "Letter" if request.GET.get("paper") == "letter" else "A4"
    day = date_format(timezone.localdate(), "j F Y")
    sheet = content.shopping_list(listed.shopping, heading=heading, day=day, workshops=titles, units=units)
    response = HttpResponse(pdf([sheet], paper), content_type="application/pdf")
    response.headers["Content-Disposition"] = 'inline; filename="shopping-list.pdf"'
    return response


class _Listed:
    """A shopping list, and whose it is: a workshop's, or that of all to come."""

    def __init__(self, person: Person, workshop_id: int | None) -> None:
        assert person.user is not None
        self.workshop: Workshop | None = workshop_for(person, workshop_id) if workshop_id is not None else None
        self.workshops = [self.workshop] if self.workshop else to_come(person.user)
        self.shopping: Shopping = shopping_for(person.user, self.workshops)

    def address(self, name: str) -> str:
        if self.workshop:
            return reverse(f"kits:workshop-{name}", args=[self.workshop.pk])
        return reverse(f"kits:{name}")

    def form(self, data: object = None) -> AmountsForm:
        """How much of each thing came: at first what the list says to buy."""
        amounts: dict[Item, int] = {}
        for row in self.shopping.rows:
            amounts[row.want.item] = row.basket.amount if row.basket else row.want.short
        form = AmountsForm(amounts, data, button=_("Put it into stock"), suggest=True)
        form.helper.form_action = self.address("shopping-came")
        return form


def _page(
    request: HttpRequest, person: Person, listed: _Listed, form: AmountsForm, *, status: int = 200
) -> HttpResponse:
    context = {
        "person": person,
        "workshop": listed.workshop,
        "workshops": listed.workshops,
        "shopping": listed.shopping,
        "form": form,
        "csv_at": listed.address("shopping-csv"),
        "sheet_at": listed.address("shopping-list"),
    }
    return render(request, "kits/shopping.html", context, status=status)
