"""How often the database is asked for one thing a patient does. Counted, so that no machine is too slow."""

from collections.abc import Iterator

import pytest
import sqlalchemy as sa

from bot.ports import Came
from bot.receiving.inbox import handle_next
from core.store import SqlStore
from tests.bot.conversation.chat import Clinics, Patient


@pytest.fixture
def statements(store: SqlStore) -> Iterator[list[str]]:
    seen: list[str] = []

    def note(connection: object, cursor: object, statement: str, *rest: object) -> None:
        seen.append(statement)

    sa.event.listen(store._writing, "before_cursor_execute", note)
    yield seen
    sa.event.remove(store._writing, "before_cursor_execute", note)


def test_no_row_is_read_twice_for_an_answer(store: SqlStore, statements: list[str]) -> None:
    """A typed answer took 33 before, the two taps 17 and 26; the row of the dialogue alone was read five times."""
    patient = Patient(Clinics(store)).enrols()
    patient.clinic.live_to(0, "19:05")
    patient.types("4, did all")
    patient.clinic.live_to(1, "19:05")

    def handled(came: Came, **fields: str) -> int:
        patient.clinic.put(patient.address, came, **fields)
        statements.clear()
        assert handle_next(patient.clinic.app)
        count = len(statements)
        patient.clinic.deliver()
        return count

    pain = handled(Came.TAP, data=patient.buttons()["4"])
    sets = handled(Came.TAP, data=patient.buttons()["2"])
    patient.clinic.live_to(2, "19:05")
    typed = handled(Came.TEXT, text="4, did all")

    assert typed <= 20
    assert sets <= 20
    assert pain <= 13
