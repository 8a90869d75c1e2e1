"""Fixtures every test may use: people with a role, a real browser, accessibility, the folder beside the checkout."""

import gc
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import hypothesis
import pytest
from axe_playwright_python.sync_playwright import Axe
from django.contrib.auth.models import Group, User
from django.db import connection, connections
from django.test import Client, TransactionTestCase
from playwright.sync_api import BrowserContext, ConsoleMessage, Page, Playwright, expect

from shop.models import triggers

# A slow machine is no failure: no time limit per example, and ten seconds for a page to show what is expected.
# Fifty examples a run and others at each run: all tests end within five minutes on two cores.
hypothesis.settings.register_profile("donorbench", deadline=None, print_blob=True, max_examples=50)
hypothesis.settings.load_profile("donorbench")
expect.set_options(timeout=10_000)

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
IN_CI = bool(os.environ.get("CI"))
QUIET = ["--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"]
WCAG_22_AA = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


# Files of ten seconds and more, begun first: one begun last would keep one process at work and leave the others idle.
LONG = {
    "test_platform_demo.py", "test_demo.py", "test_whole_day.py", "test_money_machine.py", "test_every_route.py",
    "test_platform_production.py", "test_platform_settings.py", "test_front.py", "test_stock.py", "test_price.py",
    "test_sound_builds.py", "test_odds.py", "test_replan.py", "test_pdf.py", "test_cash_threads.py",
}  # fmt: skip


def uses_browser(item: pytest.Item) -> bool:
    return bool({"page", "context", "browser"} & set(getattr(item, "fixturenames", ())))


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: item.path.name not in LONG)
    for item in items:
        if uses_browser(item):
            item.add_marker("browser")
            if not CHROMIUM and not IN_CI:  # in CI a missing browser fails
                item.add_marker(pytest.mark.skip(reason="chromium not found: apt-get install chromium"))


def pytest_collection_finish() -> None:
    """Look for rubbish more seldom, and not among the modules: an eighth of the time of tests went into that."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """From the first browser test on, Playwright's event loop stays in this thread, and Django would take every use of
    the database for one inside a coroutine. Tests before it run with Django's guard on.
    """
    if uses_browser(item):
        os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    if not CHROMIUM:
        pytest.fail("chromium not found: apt-get install chromium, or set CHROMIUM to its path")
    return {**browser_type_launch_args, "executable_path": CHROMIUM, "args": QUIET}


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args: dict[str, Any], live_server: Any) -> dict[str, Any]:
    return {**browser_context_args, "base_url": live_server.url}


@pytest.fixture(scope="session")
def playwright(playwright: Playwright, django_db_setup: None, django_db_blocker: Any) -> Iterator[Playwright]:
    """Playwright, stopped before the test database is dropped and with no connection of its own left behind.

    While its event loop is there, Django keeps another connection for this thread than before and after it: the one
    made meanwhile can only be closed meanwhile, and PostgreSQL drops no database that somebody is connected to.
    """
    yield playwright
    with django_db_blocker.unblock():
        connections.close_all()


@pytest.fixture(scope="session", autouse=True)
def tables_can_be_emptied() -> Iterator[None]:
    """Lift the triggers that keep posted rows while a test with real transactions has its tables emptied."""
    empty = TransactionTestCase._fixture_teardown  # type: ignore[attr-defined]

    def lifted(case: TransactionTestCase) -> None:
        triggers.remove(connection)
        try:
            empty(case)
        finally:
            triggers.install(connection)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", lifted)
        yield


@pytest.fixture
def person(db: None) -> Callable[[str], User]:
    """person("counter"): a signed-up user of that role (owner, counter or builder)."""

    def make(role: str) -> User:
        user = User.objects.create_user(f"{role}-{User.objects.count()}", password="a long invented phrase")
        user.groups.add(Group.objects.get_or_create(name=role)[0])
        return user

    return make


@pytest.fixture
def client_as(person: Callable[[str], User]) -> Callable[[str], Client]:
    """client_as("builder"): a test client signed in as that role."""

    def sign_in(role: str) -> Client:
        client = Client()
        client.force_login(person(role))
        return client

    return sign_in


@pytest.fixture
def page_as(context: BrowserContext, live_server: Any, client_as: Callable[[str], Client]) -> Callable[[str], Page]:
    """page_as("counter"): a browser page signed in as that role; page.goto("/") is the live server's start page."""

    def open_page(role: str) -> Page:
        cookie = client_as(role).cookies["sessionid"].value
        context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
        return context.new_page()

    return open_page


@pytest.fixture
def context(context: BrowserContext, request: pytest.FixtureRequest) -> Iterator[BrowserContext]:
    """A browser that reaches the live server and nothing else; what goes wrong in its pages fails the test.

    A test that provokes an error on purpose takes the fixture `console_errors` and empties it when it has looked.
    """
    problems: list[str] = request.getfixturevalue("console_errors")
    address = request.getfixturevalue("live_server").url

    def note(message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            problems.append(f"{message.type}: {message.text} ({message.location.get('url')})")

    def outside(route: Any) -> None:
        problems.append(f"asked for {route.request.url}, outside the application")
        route.abort()

    context.on("console", note)
    context.on("weberror", lambda error: problems.append(f"script error: {error.error}"))
    context.route(lambda url: not url.startswith((address, "data:", "blob:", "about:")), outside)
    yield context
    assert not problems, "\n".join(problems)


@pytest.fixture
def console_errors() -> list[str]:
    """Errors and warnings of the browser's console, script errors and outside requests so far in this test."""
    return []


@pytest.fixture
def assert_accessible() -> Callable[[Page], None]:
    """assert_accessible(page): no WCAG 2.2 A or AA violation that axe-core can find, in light and in dark."""

    def check(page: Page) -> None:
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            found = Axe().run(page, options=WCAG_22_AA)
            assert found.violations_count == 0, f"{scheme}: {found.generate_report()}"
        page.emulate_media(color_scheme=None)

    return check


@pytest.fixture(scope="session")
def shared(pytestconfig: pytest.Config) -> Path:
    """The folder `shared` beside the checkout, with open data sets too large to keep here."""
    folder = pytestconfig.rootpath.parent / "shared"
    if not folder.is_dir():
        pytest.skip("no folder ../shared beside the checkout")
    return folder
