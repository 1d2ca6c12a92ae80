"""Fixtures for walks in a real browser against a real web server process on this run's test database."""

import os
import re
import shutil
import socket
import tempfile
from collections.abc import Iterator
from typing import Protocol

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, sync_playwright

from shared.web import Address, Web

USUAL_NAMES = ("chromium", "chromium-browser", "google-chrome", "/usr/bin/chromium")
ARGUMENTS = (
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-dev-shm-usage",
    "--disable-quic",
    "--disable-sync",
    "--no-first-run",
    # A page that wants anything from elsewhere does not get it.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
)
PATIENCE_MS = 20_000
# An answer of 404 or 422 is reported as an error too, and may be what the walk is after.
EXPECTED_ERRORS = re.compile("Failed to load resource: the server responded with a status of")


class NewPage(Protocol):
    """Opens a page of its own, sharing nothing with another; `scripts=False` as a browser without them."""

    def __call__(self, *, width: int = 1280, height: int = 900, scripts: bool = True) -> Page: ...


def find_chromium() -> str:
    """The browser, or a failure that says how to get one: a missing browser never skips a test."""
    for name in (os.environ.get("PAWLBOOK_CHROMIUM"), *USUAL_NAMES):
        if name and (found := shutil.which(name)):
            return found
    pytest.fail("Chromium is missing. ./run test installs it as root on Debian; otherwise install it and set"
                " PAWLBOOK_CHROMIUM to its path.")  # fmt: skip


def free_port() -> int:
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return int(asked.getsockname()[1])


@pytest.fixture(scope="session")
def web_process(django_db_setup: None) -> Iterator[Web]:
    """One web server for all walks of this process, as it runs in production but for the database."""
    environ = {name: value for name, value in os.environ.items() if name != "PAWLBOOK_OWNER_URL"}
    with tempfile.TemporaryFile("w+") as log:
        address = Address("127.0.0.1", free_port())
        web = Web(address, environ=environ, mark=f"tests:{os.getpid()}", output=log.fileno())
        try:
            if not web.wait_until_ready():
                log.seek(0)
                pytest.fail(f"The web server did not start:\n{log.read()}")
            yield web
        finally:
            web.stop()


@pytest.fixture
def served(transactional_db: None, web_process: Web) -> str:
    """The address of the running web server. It sees what the test commits, as the test sees its rows."""
    return web_process.address.url


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium, for one file of tests.

    While it runs there is an event loop in this thread, and Django would refuse its own queries; it may not,
    since nothing here runs beside them.
    """
    path = find_chromium()
    arguments = [*ARGUMENTS, *(["--no-sandbox"] if os.geteuid() == 0 else [])]
    with pytest.MonkeyPatch.context() as patch, sync_playwright() as playwright:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        chromium = playwright.chromium.launch(executable_path=path, args=arguments)
        yield chromium
        chromium.close()


@pytest.fixture
def new_page(browser: Browser) -> Iterator[NewPage]:
    """Opens pages; at the end no script of theirs may have failed and no policy been broken."""
    faults: list[str] = []
    contexts = []

    def note(message: ConsoleMessage) -> None:
        if message.type == "error" and not EXPECTED_ERRORS.match(message.text):
            faults.append(message.text)

    def open_page(*, width: int = 1280, height: int = 900, scripts: bool = True) -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": height}, java_script_enabled=scripts, locale="en-GB"
        )
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)
        page = context.new_page()
        page.on("console", note)
        page.on("pageerror", lambda error: faults.append(str(error)))
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert not faults, faults


@pytest.fixture
def browser_page(new_page: NewPage) -> Page:
    """A page at the width of a desk."""
    return new_page()
