"""`{{ message|said }}`, `{{ name|called }}`: a Message, and the name of a thing, in the reader's language."""

from django import template

from projects.said import say, say_name

register = template.Library()
register.filter("said", say)
register.filter("called", say_name)
