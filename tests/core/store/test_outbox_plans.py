"""A claim must look at as little with a rush waiting as with a handful, also before PostgreSQL has counted the rush."""

from typing import Any

from sqlalchemy import event

from core.store import SqlStore, open_store
from tests.builders import NOW, a_message, a_person

WAITING, PLACES = 4000, 16


def pages_read(plan: dict[str, Any]) -> int:
    return int(plan["Shared Hit Blocks"]) + int(plan["Shared Read Blocks"])


def claim_pages(store: SqlStore) -> int:
    """The pages that one claim reads, by the database's own account."""
    seen: list[tuple[str, Any]] = []

    def note(_connection: Any, _cursor: Any, statement: str, parameters: Any, *_: Any) -> None:
        seen.append((statement, parameters))

    event.listen(store._writing, "before_cursor_execute", note)
    with store.writing() as unit:
        assert len(unit.claim_outbox(NOW, PLACES, "one", 60)) == PLACES  # and left without a commit
    event.remove(store._writing, "before_cursor_execute", note)
    statement, parameters = next(one for one in seen if "picked" in one[0])
    with store._writing.connect() as connection:
        explained = connection.exec_driver_sql(f"EXPLAIN (ANALYZE, BUFFERS, FORMAT JSON) {statement}", parameters)
        return pages_read(explained.scalar_one()[0]["Plan"])


def test_a_claim_does_not_read_the_queue_for_each_message_whatever_the_planner_believes(
    postgres: Any, key: bytes
) -> None:
    store = open_store(postgres.make("plans"), key)
    try:
        with store.writing() as unit:
            for number in range(WAITING):
                unit.enqueue(a_message(a_person(id=f"p{number}", address=str(number)), at=NOW))
            unit.commit()

        uncounted = claim_pages(store)
        with store._writing.connect() as connection, connection.begin():
            connection.exec_driver_sql("ANALYZE")
        counted = claim_pages(store)
    finally:
        store.close()
        postgres.drop("plans")

    # a few pages of index and table for each place; the whole queue has hundreds, and once for each is thousands
    assert max(uncounted, counted) < 60 * PLACES
