"""A page in the system's Chromium before the live site; what its console complains about fails the test."""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import suppress
from threading import Condition, Lock
from urllib.error import HTTPError
from urllib.request import urlopen

import pytest
from django.core.servers.basehttp import ServerHandler
from playwright.sync_api import Browser, ConsoleMessage, Page, expect, sync_playwright
from pytest_django.live_server_helper import LiveServer

from studio.people.models import User
from tests.conftest import PASSWORD

# Playwright's synchronous door runs an event loop, in which Django would refuse to touch the database.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
PATIENCE_MS = 60_000
"""How long a page may take before a test gives up: for a machine that has other things to do. Costs nothing
where things go well."""
expect.set_options(timeout=PATIENCE_MS)

# No sandbox, since CI runs as root; nothing that looks for the world outside.
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


class Turns:
    """Requests are answered one after the other: a page may ask for several things at once, and the database
    in memory has one connection for all threads."""

    def __init__(self) -> None:
        self.turn, self.changed, self.asked = Lock(), Condition(), 0

    def take(self, answer: Callable[[], None]) -> None:
        self._count(1)
        try:
            with self.turn:
                answer()
        finally:
            self._count(-1)

    def until_all_are_answered(self) -> None:
        with self.changed:
            assert self.changed.wait_for(lambda: not self.asked, PATIENCE_MS / 1000)

    def _count(self, more: int) -> None:
        with self.changed:
            self.asked += more
            self.changed.notify_all()


@pytest.fixture(scope="session")
def turns() -> Iterator[Turns]:
    run, turns = ServerHandler.run, Turns()
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(ServerHandler, "run", lambda self, site: turns.take(lambda: run(self, site)))
        yield turns


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    assert CHROMIUM, "browser tests need Chromium: make test installs it"
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS, headless=True)
        yield chromium
        chromium.close()


@pytest.fixture
def complaints() -> list[str]:
    """What the page's console complained about; a test that provokes a complaint clears the list."""
    return []


@pytest.fixture
def page(browser: Browser, turns: Turns, live_server: LiveServer, complaints: list[str]) -> Iterator[Page]:
    """A page on the live site; `page.goto("/sign-in/")` is enough. What it asked for last is answered before
    the database goes."""
    context = browser.new_context(base_url=live_server.url, viewport={"width": 1440, "height": 900})

    def listen(message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:  # a refusal by the content security policy is an error
            complaints.append(message.text)

    context.on("console", listen)
    context.on("weberror", lambda error: complaints.append(str(error.error)))
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    yield page
    context.close()
    with suppress(HTTPError):
        urlopen(f"{live_server.url}/static/nothing").close()  # comes after whatever the page has asked for
    turns.until_all_are_answered()
    assert complaints == []


@pytest.fixture
def signed_in_page(page: Page, owner: User) -> Page:
    page.goto("/sign-in/")
    page.get_by_label("E-mail address").fill(owner.email)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(lambda url: "/sign-in/" not in url)
    return page
