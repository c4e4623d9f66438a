"""Databases for the tests: both kinds, empty for each test."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest

from core.store import SqlStore, open_store
from core.store.tables import metadata
from tests.postgres import Cluster, NoPostgresError
from tests.stores import KEY, opened

# What takes longest begins first, or one core would be left with it at the end.
LONGEST = (
    "faults/test_faults.py", "blackbox/test_demo.py", "blackbox/test_transcripts.py", "bot/test_cli.py",
    "bot/conversation/test_who_may.py", "core/answers/test_tables.py", "bot/test_file.py", "bot/test_wording.py",
)  # fmt: skip
SECOND_STAGE = ("/blackbox/", "/faults/", "/fuzz/")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """A run of everything stops before the second stage; a path, a -k or a -m gets what it names."""
    for item in items:
        if any(folder in item.path.as_posix() for folder in SECOND_STAGE):
            item.add_marker(pytest.mark.long)
    items.sort(key=lambda item: not item.path.as_posix().endswith(LONGEST))
    marks, everything = config.option.markexpr, [Path(each).name for each in config.args] == ["tests"]
    _leave_out("slow", items, config, when="slow" not in marks)
    _leave_out("long", items, config, when=everything and not (marks or config.option.keyword))


def _leave_out(mark: str, items: list[pytest.Item], config: pytest.Config, *, when: bool) -> None:
    if when:
        config.hook.pytest_deselected(items=[item for item in items if item.get_closest_marker(mark)])
        items[:] = [item for item in items if not item.get_closest_marker(mark)]


@pytest.fixture(scope="session")
def key() -> bytes:
    return KEY


@pytest.fixture(scope="session")
def postgres() -> Iterator[Cluster]:
    """A running PostgreSQL; skips without one, fails where HOLDLOWER_REQUIRE_POSTGRES=1."""
    try:
        cluster = Cluster()
    except NoPostgresError as error:
        if os.environ.get("HOLDLOWER_REQUIRE_POSTGRES") == "1":
            pytest.fail(f"PostgreSQL is required here: {error}")
        pytest.skip(f"no PostgreSQL: {error}")
    yield cluster
    cluster.stop()


@pytest.fixture(scope="session")
def _sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("template") / "ready.db"
    open_store(str(path), KEY).close()
    return path


@pytest.fixture(scope="session")
def _postgres_database(postgres: Cluster) -> str:
    url = postgres.make("ready")
    open_store(url, KEY).close()
    return url


@pytest.fixture(params=["sqlite", "postgresql"])
def store_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The URL of a database with all tables and no rows, of each kind in turn."""
    if request.param == "sqlite":
        shutil.copy(request.getfixturevalue("_sqlite_template"), tmp_path / "store.db")
        yield f"sqlite:///{tmp_path / 'store.db'}"
        return
    url: str = request.getfixturevalue("_postgres_database")
    yield url
    # two hundred times faster than a database for each test
    with psycopg.connect(url, options="-c lock_timeout=10s") as connection:
        connection.execute(";".join(f"DELETE FROM {table.name}" for table in reversed(metadata.sorted_tables)))


@pytest.fixture
def store(store_url: str) -> Iterator[SqlStore]:
    """An open store on each kind of database in turn."""
    store = opened(store_url)
    yield store
    store.close()


@pytest.fixture
def sqlite_store(tmp_path: Path, _sqlite_template: Path) -> Iterator[SqlStore]:
    """An open store on SQLite only."""
    shutil.copy(_sqlite_template, tmp_path / "store.db")
    store = opened(str(tmp_path / "store.db"))
    yield store
    store.close()
