"""A lock on what one process may do: the server takes it back from whoever dies, is cut off or stands still."""

import time
from collections.abc import Callable, Iterator

import pytest
import sqlalchemy as sa

from core.errors import StoreError
from core.store import SqlStore, locks, open_store

on_a_server = pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
OURS = "application_name = 'holdlower' AND pid IN (SELECT pid FROM pg_locks WHERE locktype = 'advisory')"


def ask(store: SqlStore, what: str) -> object:
    with store._reading.connect() as connection:
        return connection.execute(sa.text(f"SELECT {what} FROM pg_stat_activity WHERE {OURS}")).scalar_one()


@pytest.fixture
def another(store_url: str, key: bytes) -> Iterator[SqlStore]:
    """Another process's store of the same database."""
    opened = open_store(store_url, key)
    yield opened
    opened.close()


def test_a_lock_is_one_holder_s_until_it_is_given_back(store: SqlStore) -> None:
    one, two = store.lock("polling"), store.lock("polling")
    assert not store.held("polling")
    assert one.take()
    assert one.take(), "still"
    assert not two.take()
    assert store.held("polling")
    assert not store.held("receiving")

    one.drop()
    two.drop()  # which it never had
    assert soon(lambda: not store.held("polling"))
    assert two.take()
    two.drop()


def test_shared_ones_go_together_and_it_is_held_until_the_last_is_dropped(store: SqlStore) -> None:
    one, two = (store.lock("receiving", shared=True) for _ in range(2))
    assert one.take()
    assert two.take()
    one.drop()
    assert store.held("receiving")
    two.drop()
    assert soon(lambda: not store.held("receiving"))


@on_a_server
def test_another_clinic_of_the_same_database_has_its_own(store: SqlStore, store_url: str, key: bytes) -> None:
    theirs = open_store(store_url, key, clinic_id="theirs")
    ours, other = store.lock("polling"), theirs.lock("polling")
    assert ours.take()
    assert other.take()
    ours.drop()
    assert soon(lambda: not store.held("polling"))
    assert theirs.held("polling")
    other.drop()
    theirs.close()


def soon(true: Callable[[], bool]) -> bool:
    """Within five seconds: a server on a busy machine notices a closed connection a little later."""
    until = time.monotonic() + 5
    while not (found := true()) and time.monotonic() < until:
        time.sleep(0.05)
    return found


@on_a_server
def test_whose_connection_is_cut_notices_and_another_has_it_at_once(store: SqlStore, another: SqlStore) -> None:
    cut, next_one = store.lock("polling"), another.lock("polling")
    assert cut.take()
    assert ask(store, "pg_terminate_backend(pid, 5000)")

    assert next_one.take()
    with pytest.raises(StoreError):
        cut.take()
    assert not cut.take(), "it asks anew, and hears that it is another's"
    next_one.drop()
    assert soon(cut.take), "the server notices that the connection is gone"
    cut.drop()


@on_a_server
def test_a_frozen_holder_loses_it(store: SqlStore, another: SqlStore, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped, it asks no more; here the server waits 0.3 s for that instead of 8."""
    monkeypatch.setattr(locks, "_SOON", sa.text("SET LOCAL idle_in_transaction_session_timeout = '300ms'"))
    frozen, next_one = store.lock("polling"), another.lock("polling")
    assert frozen.take()
    assert not next_one.take()
    time.sleep(0.6)

    assert next_one.take()
    with pytest.raises(StoreError):
        frozen.take()
    next_one.drop()


@on_a_server
def test_no_vacuum_waits_for_a_holder(store: SqlStore) -> None:
    """It waits for what a session may still see, its backend_xmin (PostgreSQL manual, pg_stat_activity)."""
    lock = store.lock("polling")
    assert lock.take()
    assert lock.take()
    assert ask(store, "state") == "idle in transaction"
    assert ask(store, "coalesce(backend_xmin::text, backend_xid::text, 'nothing')") == "nothing"
    lock.drop()
