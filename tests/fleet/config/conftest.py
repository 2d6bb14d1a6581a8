"""An installation for the tests of one module, in the order in which they stand; a database to name."""

from __future__ import annotations

import os
from collections.abc import Iterator
from uuid import uuid4

import psutil
import psycopg
import pytest

from fleet.config import postgres, private, roles
from tests.fleet.config.installation import Installation


@pytest.fixture(scope="module")
def installation(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Installation]:
    """A new installation; whatever it still runs at the end is ended."""
    made = Installation(tmp_path_factory.mktemp("installation") / "data")
    yield made
    for process in psutil.process_iter():
        if made.owns(process):
            process.kill()


@pytest.fixture
def a_named_server() -> Iterator[tuple[str, str]]:
    """Addresses of an empty database on a server that the run does not start: (application, owner)."""
    kept, server = private.kept_secrets(), postgres.test_server()
    name = f"named_{os.getpid()}_{uuid4().hex[:6]}"
    with postgres.running(server):
        roles.make_accounts(server.admin_url(), kept, name)
        yield (
            server.url(roles.APPLICATION, kept["app_password"], name),
            server.url(roles.OWNER, kept["owner_password"], name),
        )
        with psycopg.connect(server.admin_url(), autocommit=True) as connection:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)")
