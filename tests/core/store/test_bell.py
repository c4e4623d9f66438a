"""Processes on one PostgreSQL are told what waits for them, and know when nobody tells them."""

import queue
from collections.abc import Callable, Iterator

import pytest
import sqlalchemy as sa

from core.records import Box
from core.store import SqlStore, bell, open_store
from tests.builders import an_update

pytestmark = pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
WITHIN_S = 10.0  # on a busy machine
Said = queue.SimpleQueue[tuple[set[Box], bool]]


@pytest.fixture
def listening(store_url: str, key: bytes) -> Iterator[Callable[[], tuple[SqlStore, Said]]]:
    """Makes another process's store of the same database, and all that it is told."""
    ends: list[Callable[[], None]] = []

    def listen() -> tuple[SqlStore, Said]:
        opened, said = open_store(store_url, key), Said()
        end = opened.listen(f"locked {len(ends)}", lambda boxes, works: said.put((set(boxes), works)))
        ends.extend((end, opened.close))
        return opened, said

    yield listen
    for end in ends:
        end()


def test_what_one_process_commits_the_others_hear_of(listening) -> None:
    one, heard_by_one = listening()
    _, heard = listening()
    for said in (heard_by_one, heard):
        assert said.get(timeout=WITHIN_S) == (set(Box), True), "at first, what may have been missed"
    with one.writing() as uow:
        uow.inbox.put([an_update(update_id=1)])
        assert heard.empty()
        uow.commit()
    assert heard.get(timeout=WITHIN_S) == ({Box.IN}, True)
    with one.writing() as uow:
        uow.inbox.put([an_update(update_id=2)])  # and undone
    with one.writing() as uow:
        uow.commit()
    with pytest.raises(queue.Empty):
        heard.get(timeout=0.3)


def test_where_the_database_hands_on_nothing_one_knows(listening, monkeypatch: pytest.MonkeyPatch, caplog) -> None:
    """As through a pooler that lends a connection for a transaction: the LISTEN stays with whoever had it then."""
    monkeypatch.setattr(bell, "_LISTEN", "LISTEN elsewhere")
    monkeypatch.setattr(bell, "ANSWERS_WITHIN_S", 0.2)
    _, heard = listening()
    assert heard.get(timeout=WITHIN_S) == (set(), False)
    assert "is a pooler in between?" in caplog.text


def test_a_connection_that_was_cut_is_made_anew(listening, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bell, "AGAIN_S", 0.1)
    store, heard = listening()
    assert heard.get(timeout=WITHIN_S) == (set(Box), True)
    with store.reading() as uow:
        cut = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE query LIKE 'LISTEN%'"
        uow.connection.execute(sa.text(cut))
    assert heard.get(timeout=WITHIN_S) == (set(), False)
    assert heard.get(timeout=WITHIN_S) == (set(Box), True)
