"""What a database is asked for, as it is sent to the driver."""

from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa


@contextmanager
def statements(engine: sa.Engine | type[sa.Engine] = sa.Engine) -> Iterator[list[str]]:
    """Every statement of an engine, or of all of them, in order, while this is open."""
    seen: list[str] = []

    def note(connection: object, cursor: object, statement: str, *rest: object) -> None:
        seen.append(statement)

    sa.event.listen(engine, "before_cursor_execute", note)
    try:
        yield seen
    finally:
        sa.event.remove(engine, "before_cursor_execute", note)
