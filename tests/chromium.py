"""A real browser for the tests marked ``browser``: Chromium, with the network cut off.

It is looked for under ``INKSTEP_CHROMIUM``, then as ``chromium``, ``chromium-browser`` or ``google-chrome`` on the path;
without one, the tests that need it are skipped.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from typing import Any

import pytest

NAMES = ("chromium", "chromium-browser", "google-chrome")
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
    "--autoplay-policy=no-user-gesture-required",
)


def chromium_path() -> str | None:
    """Where Chromium lies, or None."""
    named = os.environ.get("INKSTEP_CHROMIUM")
    return named or next((found for name in NAMES if (found := shutil.which(name))), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """One running Chromium for all tests of a session."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    path = chromium_path()
    if path is None:
        pytest.skip(f"no Chromium: none of {', '.join(NAMES)} is on the path, and INKSTEP_CHROMIUM names none")
    with playwright.sync_playwright() as running:
        chromium = running.chromium.launch(executable_path=path, args=list(ARGUMENTS))
        yield chromium
        chromium.close()


class Visit:
    """A page opened from disk without a network, and everything it complained about."""

    def __init__(self, browser: Any, url: str, **context: Any) -> None:
        self.context = browser.new_context(offline=True, **context)
        self.page = self.context.new_page()
        self.page.set_default_timeout(8000)
        self.faults: list[str] = []
        self.asked: list[str] = []
        self.page.on("console", self._hear)
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.url = url
        self.page.goto(url)

    def _hear(self, message: Any) -> None:
        if message.type in ("error", "warning"):
            self.faults.append(message.text)

    def close(self) -> None:
        """End the visit; whatever the page complained about or asked the network for fails the test."""
        self.context.close()
        assert self.faults == []
        assert {url.split("#")[0] for url in self.asked} <= {self.url}
