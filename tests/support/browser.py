"""A browser for tests: Debian's Chromium, driven by playwright. With CI=true it must be there."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Playwright

CHROMIUM = Path("/usr/bin/chromium")
OPTIONS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
)
NO_WEBGL = ("--disable-3d-apis",)


def launched(playwright: Playwright, *more: str) -> Browser:
    """Chromium; skips the test where it is not installed, unless CI is true."""
    if not CHROMIUM.exists():
        missing(f"{CHROMIUM} is not installed")
    return playwright.chromium.launch(executable_path=str(CHROMIUM), args=[*OPTIONS, *more])


def missing(what: str) -> None:
    """A tool that is not here: a failure in CI, a reason to skip elsewhere."""
    if os.environ.get("CI") == "true":
        pytest.fail(what)
    pytest.skip(what)


class Watched:
    """What a page says on its console, what it asks for, and where it goes wrong."""

    def __init__(self, page: Page) -> None:
        self.errors: list[str] = []
        self.requests: list[str] = []
        page.on("console", lambda message: self.errors.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("request", lambda request: self.requests.append(request.url))


def opened(browser: Browser, file: Path, *, size: tuple[int, int] = (1280, 720), **options: object) -> Page:
    """A page with the file, once it is ready to play; what it says is in its ``watched``."""
    page = browser.new_page(viewport={"width": size[0], "height": size[1]}, **options)  # type: ignore[arg-type]
    page.watched = Watched(page)  # type: ignore[attr-defined]
    page.goto(file.as_uri())
    page.wait_for_selector("html[data-ready]")
    return page
