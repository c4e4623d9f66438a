import datetime as dt
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from core.store import SqlStore
from tests.core.use_cases.world import World
from tests.stores import opened


@pytest.fixture
def world(store: SqlStore) -> World:
    """A clinic on each kind of database in turn."""
    return World(store)


@pytest.fixture
def small(sqlite_store: SqlStore) -> World:
    """A clinic on SQLite only: for what the database's kind cannot change."""
    return World(sqlite_store)


@pytest.fixture
def fresh(tmp_path: Path, _sqlite_template: Path) -> Iterator[Callable[[dt.datetime], World]]:
    """Makes a clinic on a database of its own, as often as a property needs one."""
    made = []

    def make(now: dt.datetime) -> World:
        path = tmp_path / f"walk-{len(made)}.db"
        shutil.copy(_sqlite_template, path)
        made.append(opened(str(path)))
        return World(made[-1], now)

    yield make
    for store in made:
        store.close()
