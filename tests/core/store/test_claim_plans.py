"""A claim looks at as little with a rush waiting as with a handful, also before PostgreSQL has counted the rush."""

from collections.abc import Callable, Sequence
from typing import Any

import pytest
from sqlalchemy import event

from core.store import SqlStore, open_store
from core.store.store import SqlUnit
from tests.builders import NOW, a_message, a_person, an_update

WAITING, PLACES = 4000, 16
CLAIMS: tuple[tuple[Callable[[SqlUnit], Sequence[object]], str], ...] = (
    (lambda unit: unit.sending.claim(NOW, PLACES, "one", 60), "picked"),
    (lambda unit: unit.inbox.claim(NOW, PLACES), "FROM inbox"),
)


def pages_read(plan: dict[str, Any]) -> int:
    return int(plan["Shared Hit Blocks"]) + int(plan["Shared Read Blocks"])


def claim_pages(store: SqlStore, claim: Callable[[SqlUnit], Sequence[object]], sign: str) -> int:
    """The pages that one claim reads, by the database's own account; `sign` tells its statement from others."""
    seen: list[tuple[str, Any]] = []

    def note(_connection: Any, _cursor: Any, statement: str, parameters: Any, *_: Any) -> None:
        seen.append((statement, parameters))

    event.listen(store._writing, "before_cursor_execute", note)
    with store.writing() as unit:
        assert len(claim(unit)) == PLACES  # and left without a commit
    event.remove(store._writing, "before_cursor_execute", note)
    statement, parameters = next(one for one in seen if sign in one[0])
    with store._writing.connect() as connection:
        explained = connection.exec_driver_sql(f"EXPLAIN (ANALYZE, BUFFERS, FORMAT JSON) {statement}", parameters)
        return pages_read(explained.scalar_one()[0]["Plan"])


@pytest.mark.long
def test_a_claim_does_not_read_the_queue_for_each_message_whatever_the_planner_believes(
    postgres: Any, key: bytes
) -> None:
    store = open_store(postgres.make("plans"), key)
    try:
        with store.writing() as unit:
            for number in range(WAITING):
                unit.outbox.put(a_message(a_person(id=f"p{number}", address=str(number)), at=NOW))
            unit.inbox.put([an_update(address=str(number)) for number in range(WAITING)])
            unit.commit()

        read = [claim_pages(store, claim, sign) for claim, sign in CLAIMS]
        with store._writing.connect() as connection, connection.begin():
            connection.exec_driver_sql("ANALYZE")
        read += [claim_pages(store, claim, sign) for claim, sign in CLAIMS]
    finally:
        store.close()
        postgres.drop("plans")

    # a few pages of index and table for each place; the whole queue has hundreds, and once for each is thousands
    assert max(read) < 60 * PLACES, read
