"""What the templates of sheets need: saying a Message in the reader's language."""

from django import template

from projects.said import say

register = template.Library()
register.filter("said", say)
