"""Answers to what went wrong that Django's own handlers do not cover."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

__all__ = ["form_expired"]


def form_expired(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The page for a form whose token does not fit: nothing was done, and what to do about it."""
    return render(request, "403_csrf.html", status=403)
