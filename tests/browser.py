"""The system's browser, started once for all tests of the pages, and what they do with it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page, ViewportSize, sync_playwright

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
NO_BROWSER = (
    "the page tests need a browser and what reads its PDF: on Debian, as root, "
    "apt-get install chromium fonts-dejavu-core poppler-utils"
)


def browser_path() -> str | None:
    """Return where the system's browser is; None if there is none, or nothing that reads PDF."""
    if shutil.which("pdftotext") is None:
        return None
    return next((path for name in NAMES if (path := shutil.which(name))), None)


@contextmanager
def started() -> Iterator[Browser]:
    """Start the system's browser, and end it."""
    path = browser_path()
    assert path is not None, NO_BROWSER
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=list(QUIET))
        yield browser
        browser.close()


@contextmanager
def opened(
    browser: Browser, path: Path, width: int = 1280, height: int = 900, scheme: str = "light"
) -> Iterator[Page]:
    """Open a page from its file, with no marks kept; an error of its script fails the test."""
    size: ViewportSize = {"width": width, "height": height}
    context = browser.new_context(
        viewport=size, color_scheme="dark" if scheme == "dark" else "light", has_touch=width < 800
    )
    page = context.new_page()
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("request", lambda asked: _local(asked.url, wrong))
    page.goto(path.as_uri())
    yield page
    context.close()
    assert wrong == []


def _local(url: str, wrong: list[str]) -> None:
    """Record whatever a page asks of a network."""
    if not url.startswith(("file:", "data:", "about:")):
        wrong.append(f"asked for {url}")
