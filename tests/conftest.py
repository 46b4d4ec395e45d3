"""What every test shares: the cast, marks by what a test touches, and documents that may not warn."""

import logging
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.db.backends.base.operations import BaseDatabaseOperations as DatabaseOperations
from django.test import Client
from hypothesis import HealthCheck, settings
from hypothesis.database import DirectoryBasedExampleDatabase

from studio.people.models import User
from tests.guards import lifted

PASSWORD = "shavings-on-the-floor"
DRAWN = {"deadline": None, "suppress_health_check": (HealthCheck.too_slow, HealthCheck.filter_too_much)}
"""No clock judges a test, nor the number of draws it takes to find one of use: that is up to the machine."""
settings.register_profile("fixed", derandomize=True, database=None, **DRAWN)
settings.register_profile(  # `make hunt`; what it finds becomes an @example
    "hunt", derandomize=False, database=DirectoryBasedExampleDatabase(".hypothesis/examples"), **DRAWN
)
settings.load_profile("fixed")

DATABASE_FIXTURES = {"db", "transactional_db", "live_server", "django_db_reset_sequences"}


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Mark by what is used, so that new tests run on PostgreSQL without anybody's help (a module about pages
    alone says `one_engine`); what takes minutes is for the hunt."""
    if config.getoption("--hypothesis-profile") != "hunt":
        config.hook.pytest_deselected(items=[item for item in items if item.get_closest_marker("hunt")])
        items[:] = [item for item in items if not item.get_closest_marker("hunt")]
    for item in items:
        if item.get_closest_marker("django_db") or DATABASE_FIXTURES & set(getattr(item, "fixturenames", ())):
            item.add_marker("database")
        if "tests/browser/" in item.path.as_posix():
            item.add_marker("browser")


@pytest.fixture(autouse=True)
def _documents_do_not_warn() -> Iterator[None]:
    """WeasyPrint only logs what it cannot draw; here that is a failure."""
    said: list[str] = []

    class Collector(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            said.append(record.getMessage())

    collector, logger = Collector(logging.WARNING), logging.getLogger("weasyprint")
    logger.addHandler(collector)
    yield
    logger.removeHandler(collector)
    assert said == []


@pytest.fixture(scope="session", autouse=True)
def _tables_can_be_emptied() -> Iterator[None]:
    """Django empties every table after a test that commits; guards would refuse that, and only that, here."""
    with pytest.MonkeyPatch.context() as patch:
        flush = DatabaseOperations.execute_sql_flush

        def emptied(self: DatabaseOperations, sql_list: list[str]) -> None:
            with lifted(self.connection):
                flush(self, sql_list)

        patch.setattr(DatabaseOperations, "execute_sql_flush", emptied)
        yield


@pytest.fixture
def committed(django_capture_on_commit_callbacks: Callable[..., Any]) -> Callable[[], Any]:
    """Within, what waits for a commit happens when the block ends: a test is one transaction."""
    return lambda: django_capture_on_commit_callbacks(execute=True)


@pytest.fixture
def owner(db: None) -> User:
    return User.objects.create_user(
        "runa@studio.example", PASSWORD, display_name="Runa", role=User.Role.OWNER
    )


@pytest.fixture
def maker(db: None) -> User:
    return User.objects.create_user("tam@studio.example", PASSWORD, display_name="Tam")


@pytest.fixture
def signed_in(client: Client, owner: User) -> Client:
    """The owner's browser, as Django's test client."""
    client.force_login(owner)
    return client


@pytest.fixture
def tam(maker: User) -> Client:
    """A second browser, in which a colleague is signed in."""
    browser = Client()
    browser.force_login(maker)
    return browser
