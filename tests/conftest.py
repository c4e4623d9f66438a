"""Databases for the tests: both kinds, fresh for each test by copying one that is ready."""

import itertools
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.store import SqlStore, open_store
from core.store.sealed import new_key
from tests.postgres import Cluster, NoPostgresError

KEY = new_key()
_numbers = itertools.count(1)


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
def _postgres_template(postgres: Cluster) -> str:
    open_store(postgres.make("ready"), KEY).close()
    return "ready"


@pytest.fixture(params=["sqlite", "postgresql"])
def store_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The URL of a fresh database with all tables, on each kind in turn."""
    if request.param == "sqlite":
        shutil.copy(request.getfixturevalue("_sqlite_template"), tmp_path / "store.db")
        yield f"sqlite:///{tmp_path / 'store.db'}"
        return
    cluster: Cluster = request.getfixturevalue("postgres")
    name = f"test_{next(_numbers)}"
    yield cluster.make(name, template=request.getfixturevalue("_postgres_template"))
    cluster.drop(name)


@pytest.fixture
def store(store_url: str) -> Iterator[SqlStore]:
    """An open store on each kind of database in turn."""
    store = open_store(store_url, KEY)
    yield store
    store.close()


@pytest.fixture
def sqlite_store(tmp_path: Path, _sqlite_template: Path) -> Iterator[SqlStore]:
    """An open store on SQLite only."""
    shutil.copy(_sqlite_template, tmp_path / "store.db")
    store = open_store(str(tmp_path / "store.db"), KEY)
    yield store
    store.close()
