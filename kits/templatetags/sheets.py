"""What the templates of sheets need: saying a Message in the reader's language and units, and names of things."""

from django import template

from kits.sheets.content.inches import in_units
from kits.sheets.content.values import Units
from projects.circuit.text import Message
from projects.said import say, say_name

register = template.Library()
register.filter("called", say_name)


@register.filter
def said(message: Message, units: Units = "cm") -> str:
    """The words of a Message; lengths in them in inches where those are the sheet's units."""
    return in_units(say(message), units)
