import pytest

from core.store import SqlStore
from tests.core.use_cases.world import World


@pytest.fixture
def world(store: SqlStore) -> World:
    """A clinic on each kind of database in turn."""
    return World(store)


@pytest.fixture
def small(sqlite_store: SqlStore) -> World:
    """A clinic on SQLite only: for what the database's kind cannot change."""
    return World(sqlite_store)
