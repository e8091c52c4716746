"""Headers on every response, pages that say what went wrong, and files that templates name."""

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.exceptions import PermissionDenied, SuspiciousOperation
from django.http import HttpRequest, HttpResponse
from django.test import Client
from django.urls import include, path

from config.security import CONTENT_SECURITY_POLICY


def broken(request: HttpRequest) -> HttpResponse:
    raise RuntimeError("broken on purpose")


def forbidden(request: HttpRequest) -> HttpResponse:
    raise PermissionDenied


def strange(request: HttpRequest) -> HttpResponse:
    raise SuspiciousOperation


def plain(request: HttpRequest) -> HttpResponse:
    return HttpResponse("here")


urlpatterns = [
    path("broken", broken),
    path("forbidden", forbidden),
    path("strange", strange),
    path("plain", plain),
    path("", include("config.urls")),
]

WRONG = {"/strange": 400, "/forbidden": 403, "/no-such-page": 404, "/broken": 500}


@pytest.fixture
def visitor(settings) -> Client:
    settings.ROOT_URLCONF = __name__
    return Client(raise_request_exception=False)


@pytest.mark.parametrize("address", ["/healthz", "/static/kits/error-pages.css", *WRONG])
def test_every_response_carries_the_headers(visitor: Client, address: str) -> None:
    headers = visitor.get(address).headers
    assert headers["Content-Security-Policy"] == CONTENT_SECURITY_POLICY
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["X-Frame-Options"] == "DENY"
    assert "camera=()" in headers["Permissions-Policy"]


def test_the_policy_allows_nothing_inline_and_nothing_from_elsewhere() -> None:
    assert "unsafe" not in CONTENT_SECURITY_POLICY
    assert "//" not in CONTENT_SECURITY_POLICY
    assert "*" not in CONTENT_SECURITY_POLICY


@pytest.mark.parametrize(("address", "status"), WRONG.items())
def test_what_goes_wrong_is_said_in_words(visitor: Client, address: str, status: int) -> None:
    answer = visitor.get(address)
    page = answer.content.decode()
    assert answer.status_code == status
    assert page.startswith("<!doctype html>")
    assert re.search(r"<h1>\w[^<]+</h1>", page)
    assert "RuntimeError" not in page
    assert 'href="/"' in page


def test_an_expired_form_says_that_nothing_was_changed(settings) -> None:
    settings.ROOT_URLCONF = __name__
    answer = Client(enforce_csrf_checks=True).post("/plain", {"name": "x"})
    assert answer.status_code == 403
    assert "Nothing was changed" in answer.content.decode()


def test_a_host_that_is_not_ours_is_refused(visitor: Client) -> None:
    # Anything that asks for the host, as the redirect to a slash does.
    assert visitor.get("/admin", headers={"host": "elsewhere.example"}).status_code == 400


def templates() -> list[Path]:
    return sorted((settings.BASE_DIR / "templates").rglob("*.html"))


@pytest.mark.parametrize("template", templates(), ids=lambda template: template.name)
def test_files_that_a_template_names_are_there(template: Path) -> None:
    named = re.findall(r"{%\s*static\s+[\"']([^\"']+)[\"']", template.read_text())
    assert [name for name in named if finders.find(name) is None] == []


# Sheets for print are made into PDF with their style in the page; every other template goes to a browser.
@pytest.mark.parametrize("template", templates(), ids=lambda template: template.name)
def test_no_screen_has_an_inline_style_or_script(template: Path) -> None:
    if "sheets" in template.relative_to(settings.BASE_DIR / "templates").parts:
        return
    text = template.read_text()
    assert not re.search(r"\sstyle\s*=|<style|\son[a-z]+\s*=\s*[\"']|javascript:", text)
    assert all("src=" in tag for tag in re.findall(r"<script\b[^>]*>", text) if "application/json" not in tag)
