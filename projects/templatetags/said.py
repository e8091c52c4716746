"""`{{ message|said }}`: a Message of the pure core in the reader's language."""

from django import template

from projects.said import say

register = template.Library()
register.filter("said", say)
