"""What every test stands on: a private PostgreSQL, and the application's account, not the owner's.

Tests sign in as an account that may act as either. Tables are made and emptied as the owner; all
else runs as the application, so that a test meets the same refusals as a user does.
"""

from __future__ import annotations

import contextlib
import gc
import os
import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import psycopg
import pytest
from django.conf import settings
from django.db import InternalError, connection, transaction
from django.test import TransactionTestCase
from playwright.sync_api import Browser, ConsoleMessage, Page, expect, sync_playwright
from pytest_django.live_server_helper import LiveServer
from pytest_django.plugin import DjangoDbBlocker

from fleet.config import databases, postgres, private, roles


def pytest_configure(config: pytest.Config) -> None:
    """This will start the test server (or use TEST_DATABASE_URL) and point Django at it."""
    admin_url = os.environ.get("TEST_DATABASE_URL", "")
    if not admin_url:
        server = postgres.test_server()
        if postgres.start(server):
            config.add_cleanup(lambda: postgres.stop_if_unused(server))
        admin_url = server.admin_url()
    kept = private.kept_secrets()
    roles.make_accounts(admin_url, kept, None)
    database = settings.DATABASES["default"]
    database.update(databases.of_url(admin_url))
    database.update(USER=roles.TESTER, PASSWORD=kept["test_password"], CONN_MAX_AGE=0)
    name = os.environ.get("GREENBAND_TEST_DB", "greenband_test")
    database.setdefault("TEST", {})["NAME"] = name
    settings.APPLICATION_ACCOUNT = roles.APPLICATION


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files of slow tests first: one that is begun last keeps one process busy while the other idles."""
    slow = {item.path for item in items if any(map(item.get_closest_marker, ("slow", "browser")))}
    items.sort(key=lambda item: item.path not in slow)


def pytest_collection_finish() -> None:
    """What was imported and collected stays to the end: looking through it for cycles costs a tenth."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 20, 50)


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of this run's own that all its processes have in common."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


def _sign_in_as(role: str) -> None:
    connection.close()
    connection.settings_dict["OPTIONS"]["assume_role"] = role


@pytest.fixture(scope="session")
def owner_signed_in(django_db_blocker: DjangoDbBlocker) -> None:
    """The owner's account, before the test database is made."""
    with django_db_blocker.unblock():
        _sign_in_as(roles.OWNER)


@pytest.fixture(scope="session")
def django_db_setup(
    owner_signed_in: None, django_db_setup: None, django_db_blocker: DjangoDbBlocker
) -> Iterator[None]:
    """The test database, made (and in the end dropped) by its owner, used by the application."""
    with django_db_blocker.unblock():
        _sign_in_as(roles.APPLICATION)
        name = connection.settings_dict["NAME"]
    with _counts_of_nothing_forgotten(name):
        yield
    with django_db_blocker.unblock():
        _sign_in_as(roles.OWNER)


# Rows of a test that will be taken back are seen by nobody else: autovacuum comes by, notes *many pages, no rows*, and
# every later plan reads whole tables for each row. A question of milliseconds took a minute.
FOUND_EMPTY = """
SELECT relname FROM pg_class
 WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace AND reltuples = 0 AND relpages > 0
"""


@contextlib.contextmanager
def _counts_of_nothing_forgotten(name: str) -> Iterator[None]:
    """While this goes on, a table that was found empty is soon one of which nothing is known, as before anybody looked.
    Where a test is of such notes, ``COUNTS_AS_NOTED`` lets them stand."""
    over = threading.Event()
    url = os.environ.get("TEST_DATABASE_URL", "") or postgres.test_server().admin_url()

    def forget() -> None:
        # Before PostgreSQL 18 a server cannot, and another's may refuse it.
        with (
            contextlib.suppress(psycopg.Error),
            psycopg.connect(url, dbname=name, autocommit=True) as asked,
        ):
            asked.execute("SET lock_timeout = '50ms'")
            while not over.wait(2):
                if os.environ.get("COUNTS_AS_NOTED"):
                    continue
                for (table,) in asked.execute(FOUND_EMPTY).fetchall():
                    with contextlib.suppress(psycopg.errors.LockNotAvailable):
                        asked.execute("SELECT pg_clear_relation_stats('public', %s)", [table])

    thread = threading.Thread(target=forget, daemon=True)
    thread.start()
    yield
    over.set()
    thread.join(10)


@pytest.fixture(scope="module")
def one_stage(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """What fixtures of a module's scope set up in here is there for each test of it as it was, and
    gone after the last: what takes a quarter of a second is set up once.

    Each test has its own transaction inside this one, so none may commit. Objects in memory are
    handed to a test as its own copies (``copy.deepcopy``).
    """
    with django_db_blocker.unblock(), transaction.atomic():
        yield
        transaction.set_rollback(True)


@contextlib.contextmanager
def acting_as_owner() -> Iterator[None]:
    """The rights of the tables' owner, with triggers asleep; then the application's again."""
    with connection.cursor() as cursor:
        cursor.execute("RESET ROLE")
        cursor.execute("SET session_replication_role = replica")
        cursor.execute(f"SET ROLE {roles.OWNER}")
    try:
        yield
    finally:
        # In a transaction that failed nothing can be said, and its end takes the role back.
        with contextlib.suppress(InternalError), connection.cursor() as cursor:
            cursor.execute("RESET ROLE")
            cursor.execute("SET session_replication_role = origin")
            cursor.execute(f"SET ROLE {roles.APPLICATION}")


@pytest.fixture
def as_owner(db: None) -> Callable[[], contextlib.AbstractContextManager[None]]:
    """``with as_owner():`` does what only the owner may, such as falsifying a ledger row."""
    return acting_as_owner


# Emptied by what they hold: Django's own way makes every table and index anew and grants every right
# again, which takes a quarter of a second after each test that commits.
FILLED = """
SELECT string_agg(format('SELECT %L WHERE EXISTS (SELECT FROM %I)', relname, relname), ' UNION ALL ')
FROM pg_class
WHERE relkind IN ('r', 'p') AND NOT relispartition AND relnamespace = 'public'::regnamespace
  AND relname NOT IN ('django_migrations', 'django_content_type', 'auth_permission')
"""
LARGE = 5_000


def _empty_tables_as_owner(case: TransactionTestCase) -> None:
    with acting_as_owner(), connection.cursor() as cursor:
        cursor.execute(FILLED)
        cursor.execute(cursor.fetchone()[0])
        for (name,) in cursor.fetchall():
            table = connection.ops.quote_name(name)
            cursor.execute(f"SELECT count(*) FROM (SELECT FROM {table} LIMIT {LARGE}) AS first")
            is_large = cursor.fetchone()[0] == LARGE
            # A large one would leave as many dead rows to whoever comes next.
            cursor.execute(f"TRUNCATE {table} CASCADE" if is_large else f"DELETE FROM {table}")


TransactionTestCase._fixture_teardown = _empty_tables_as_owner  # type: ignore[method-assign]


# Chromium asks the outside for updates unless told not to, and as root it has no sandbox.
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """The machine's own Chromium, driven without a screen."""
    # Playwright keeps an event loop in this thread; Django would refuse to use its ORM beside it.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    program = shutil.which("chromium")
    assert program, "Install Debian's package chromium (make test does, as root)."
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=QUIET)
        yield browser
        browser.close()


@pytest.fixture
def page(chromium: Browser, live_server: LiveServer) -> Iterator[Page]:
    """A fresh page (1400 x 900) on the live server; ``page.goto("/")`` is the site's root.

    A script error or a refusal of the page's own policy fails the test.
    """
    context = chromium.new_context(
        base_url=live_server.url, viewport={"width": 1400, "height": 900}, locale="en-GB"
    )
    opened = context.new_page()
    opened.set_default_timeout(90_000)  # a busy machine is slow, not wrong
    expect.set_options(timeout=45_000)
    faults: list[str] = []
    opened.on("pageerror", lambda error: faults.append(str(error)))
    opened.on("console", lambda said: _note_refusal(faults, said))
    yield opened
    context.close()
    assert not faults, faults


def _note_refusal(faults: list[str], said: ConsoleMessage) -> None:
    if said.type == "error" and "Content Security Policy" in said.text:
        faults.append(said.text)
