import pytest

from core.store import SqlStore
from tests.bot.conversation.chat import Clinics, Patient


@pytest.fixture
def clinic(sqlite_store: SqlStore) -> Clinics:
    """A clinic on SQLite; what differs between databases is tested with the store and the use cases."""
    return Clinics(sqlite_store)


@pytest.fixture
def patient(clinic: Clinics) -> Patient:
    """Somebody enrolled on the first morning, asked at seven each evening."""
    return Patient(clinic).enrols()
