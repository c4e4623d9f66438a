import pytest

from core.store import SqlStore
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk


@pytest.fixture
def either(store: SqlStore) -> Clinics:
    """A clinic on each kind of database in turn."""
    return Clinics(store)


@pytest.fixture
def anna(clinic: Clinics) -> Desk:
    """A therapist who is the clinic's lead at once."""
    return Desk(clinic, "anna", lead=True)


@pytest.fixture
def ben(clinic: Clinics, anna: Desk) -> Desk:
    """A therapist of the same clinic."""
    return Desk(clinic, "ben")


@pytest.fixture
def cook(ben: Desk) -> Patient:
    """A patient of Ben's whose course begins tonight."""
    return ben.has_many("Pastry cook")[0]
