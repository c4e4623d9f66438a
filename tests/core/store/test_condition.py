"""What condition a database is in, on both kinds: what cannot be read is named with its row, and nothing is changed."""

from sqlalchemy import create_engine, text

from core.store import SqlStore
from core.store.condition import condition_of
from core.store.tables import HEAD
from tests.builders import a_person, a_staff


def test_a_whole_database_and_one_with_a_text_that_no_key_opens(store: SqlStore, store_url: str, key: bytes):
    with store.writing() as uow:
        uow.staff.save(a_staff(id="anna"))
        uow.people.save(a_person(id="cook", name="Pastry cook"))
        uow.commit()
    found = condition_of(store_url, (key,))
    assert (found.version, found.needs, found.people, found.staff, found.unreadable) == (HEAD, HEAD, 1, 1, ())
    assert found.torn == ()

    engine = create_engine(store_url.replace("postgresql://", "postgresql+psycopg://"))
    with engine.begin() as connection:
        connection.execute(text("UPDATE people SET name = 'gAAAdamaged', status = ''"))
    engine.dispose()
    found = condition_of(store_url, (key,))
    assert (found.unreadable, found.torn) == (("people cook name",), ("people cook status",))
