"""The private PostgreSQL, met in the middle of what a kill makes of it."""

from __future__ import annotations

import contextlib
import os
import signal

import psycopg
import pytest

from fleet.config import postgres

pytestmark = pytest.mark.slow
ROUNDS = 12


def is_refused(server: postgres.Server) -> bool:
    try:
        psycopg.connect(server.admin_url()).close()
    except psycopg.OperationalError:
        return True
    return False


def test_one_that_recovers_from_a_killed_backend_is_waited_for(tmp_path):
    server, refused = postgres.Server(tmp_path / "postgres"), 0
    try:
        postgres.start(server)
        for _ in range(ROUNDS):
            with contextlib.suppress(psycopg.Error), psycopg.connect(server.admin_url()) as opened:
                opened.execute(
                    "CREATE TABLE IF NOT EXISTS kept AS SELECT generate_series(1, 50000)"
                )
                opened.commit()
                os.kill(opened.info.backend_pid, signal.SIGKILL)
                opened.execute("SELECT 1")
            refused += is_refused(server)

            started = postgres.start(server)

            assert not started
            with psycopg.connect(server.admin_url()) as opened:
                assert opened.execute("SELECT count(*) FROM kept").fetchone() == (50000,)
    finally:
        postgres.stop(server)
    assert refused  # or nothing was waited for
