"""What all tests share."""

import os
import shutil

import pytest

# Playwright's plain interface runs an event loop in this thread; Django would then refuse the database to tests
# that use both. Each test still does one thing at a time.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, object]) -> dict[str, object]:
    """Debian's own Chromium, with no calls home; root has no sandbox, and tests may run as root."""
    chromium = shutil.which("chromium")
    assert chromium, "chromium is missing: `make test` installs it"
    return {
        **browser_type_launch_args,
        "executable_path": chromium,
        "args": ["--no-sandbox", "--disable-background-networking"],
    }
