"""How often the database is asked for one thing a patient does. Counted, so that no machine is too slow."""

from collections.abc import Iterator
from typing import Any

import pytest

from bot.messaging.inbox import handle_next
from bot.ports import Came
from core.store import SqlStore
from tests.bot.conversation.chat import Clinics, Patient
from tests.statements import statements


@pytest.fixture
def asked(store: SqlStore) -> Iterator[list[str]]:
    with statements(store._writing) as seen:
        yield seen


def test_no_row_is_read_twice_for_an_answer(store: SqlStore, asked: list[str]) -> None:
    """A typed answer took 21 before what belongs together was read together, the two taps 13 and 20."""
    patient = Patient(Clinics(store)).enrols()
    patient.clinic.live_to(0, "19:05")
    patient.types("4, did all")
    patient.clinic.live_to(1, "19:05")

    def handled(came: Came, **fields: Any) -> int:
        patient.clinic.put(patient.address, came, **fields)
        asked.clear()
        assert handle_next(patient.clinic.app)
        count = len(asked)
        patient.clinic.deliver()
        return count

    pain = handled(Came.TAP, data=patient.buttons()["4"])
    sets = handled(Came.TAP, data=patient.buttons()["2"])
    patient.clinic.live_to(2, "19:05")
    typed = handled(Came.TEXT, text="4, did all")

    assert typed <= 14
    assert sets <= 14
    assert pain <= 10
