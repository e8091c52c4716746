"""Kits to lay out, and what the browser complains of."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page, expect
from pytest_django.live_server_helper import LiveServer

from kits.models import Kit
from tests.browser.plan_page import NO_SAVES, open_plan, sign_in
from tests.kits.factories import make_user, make_workshop, with_layout


@pytest.fixture(autouse=True)
def patience(context: BrowserContext) -> None:
    """Ten seconds for what a person would see at once: what is not there by then will not come."""
    context.set_default_timeout(10_000)
    context.add_init_script(NO_SAVES)
    expect.set_options(timeout=10_000)


@pytest.fixture
def kit(transactional_db: None) -> Kit:
    """A kit of the lantern patch with nothing laid out."""
    return make_workshop(make_user("ida"), kits=1).kits.get()


@pytest.fixture
def laid_out(kit: Kit) -> Kit:
    """The same kit with the example layout."""
    return with_layout(kit)


@pytest.fixture
def plan(page: Page, live_server: LiveServer, laid_out: Kit) -> Page:
    """The plan of that kit, open as its learner sees it."""
    sign_in(page, live_server, laid_out)
    open_plan(page, live_server, laid_out)
    return page


@pytest.fixture
def complaints(page: Page) -> list[str]:
    """What the browser complains of: errors of scripts, and what the security policy refused."""
    found: list[str] = []
    page.on("pageerror", lambda error: found.append(str(error)))
    page.on("console", lambda said: found.append(said.text) if said.type in ("error", "warning") else None)
    return found
