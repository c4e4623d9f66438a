"""A database made by an earlier version is brought up to date with every row as it was."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import psycopg
import pytest
from alembic import command
from alembic.script import ScriptDirectory

from core.records import Dialogue, Role, Status
from core.store import SqlStore, engine, migrate, open_store, tables
from tests.builders import NOW, a_note, a_staff, a_stored_decision, an_audit
from tests.core.store.structure import structure
from tests.postgres import Cluster

DATA = Path(__file__).parent / "data"
TABLES = {"0001": 13, "0002": 17, "0003": 19}  # how many each released version had
ROWS = {version: (DATA / f"rows_of_{version}.sql").read_text(encoding="utf-8") for version in TABLES}
GROWING = {"answers": "id", "audits": "id", "decisions": "number", "inbox": "id", "outbox": "id"}


@pytest.fixture
def version() -> str:
    """Which tables a database begins with; where a test is for every version, it says so."""
    return "0001"


@pytest.fixture(params=["sqlite", "postgresql"])
def old_url(request: pytest.FixtureRequest, version: str, tmp_path: Path) -> Iterator[str]:
    """The URL of a database with the tables of that version and no rows."""
    if request.param == "sqlite":
        url = f"sqlite:///{tmp_path / 'old.db'}"
    else:
        cluster: Cluster = request.getfixturevalue("postgres")
        url = cluster.make("old")
    ours = engine.make_engine(url)
    with ours.execution_options(writing=True).begin() as connection:
        command.upgrade(migrate._config(connection), version)
    ours.dispose()
    yield url
    if request.param == "postgresql":
        cluster.drop("old")


def run(url: str, script: str) -> None:
    """Run SQL with the driver alone, as another version of the program would."""
    if url.startswith("sqlite"):
        with closing(sqlite3.connect(url.removeprefix("sqlite:///"))) as connection:
            connection.executescript(script)
        return
    with psycopg.connect(url) as connection:
        connection.execute(script)  # type: ignore[call-overload]
        for table, key in GROWING.items():
            if f"INTO {table} " not in script:
                continue
            connection.execute(f"SELECT setval(pg_get_serial_sequence('{table}', '{key}'), 100)")  # type: ignore[call-overload]


def ask(url: str, query: str) -> list[tuple[Any, ...]]:
    if url.startswith("sqlite"):
        with closing(sqlite3.connect(url.removeprefix("sqlite:///"))) as connection:
            return connection.execute(query).fetchall()
    with psycopg.connect(url) as connection:
        return connection.execute(query).fetchall()  # type: ignore[call-overload]


def all_rows(url: str, version: str = "0001") -> dict[str, list[tuple[Any, ...]]]:
    """Each row of the file's tables, in the columns that the file names."""
    heads = {line for line in ROWS[version].splitlines() if line.startswith("INSERT INTO")}
    named = [head.removeprefix("INSERT INTO ").rstrip(")").split(" (") for head in sorted(heads)]
    return {table: sorted(ask(url, f"SELECT {columns} FROM {table}"), key=repr) for table, columns in named}


def opened(url: str, version: str = "0001") -> SqlStore:
    return open_store(url, ROWS[version].splitlines()[2].removeprefix("-- ").encode())


def test_there_are_rows_of_each_version_but_the_newest() -> None:
    found = ScriptDirectory(str(DATA.parents[3] / "core" / "store" / "migrations")).walk_revisions()
    assert {script.revision for script in found} - {tables.HEAD} == set(ROWS)


@pytest.mark.parametrize("version", ROWS)
def test_every_row_of_an_earlier_version_is_intact_after_the_upgrade(old_url: str, version: str) -> None:
    run(old_url, ROWS[version])
    before = all_rows(old_url, version)
    assert len(before) == TABLES[version], "each table of that version"
    assert sum(map(len, before.values())) == ROWS[version].count("INSERT INTO")

    opened(old_url, version).close()

    assert all_rows(old_url, version) == before
    assert ask(old_url, "SELECT version_num FROM alembic_version") == [(tables.HEAD,)]


@pytest.mark.parametrize("version", ROWS)
def test_an_upgraded_database_has_the_tables_of_a_new_one(
    old_url: str, version: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    run(old_url, ROWS[version])
    opened(old_url, version).close()

    if old_url.startswith("sqlite"):
        new_url = f"sqlite:///{tmp_path / 'new.db'}"
        opened(new_url, version).close()
        assert ask(old_url, "PRAGMA foreign_key_check") == []
        assert ask(old_url, "PRAGMA integrity_check") == [("ok",)]
        assert structure(old_url) == structure(new_url)
    else:
        assert structure(old_url) == structure(request.getfixturevalue("_postgres_database"))


def check_old_records(store: SqlStore) -> None:
    with store.writing() as unit:
        bricklayer, cellist = unit.people("clinic")
        assert (cellist.name, cellist.therapist_id) == ("the cellist, Ünï ☂", None)
        course = unit.course_of(cellist.id)
        assert course is not None
        assert [(one.id, one.by, one.note) for one in unit.decisions(course.id)] == [
            ("decision-2", "", ""), ("decision-3", "", ""),
        ]  # fmt: skip
        invitation = unit.invitation("5f2a")
        assert invitation is not None
        assert (invitation.role, invitation.inviter_id, invitation.used_by) == (Role.PATIENT, None, cellist.id)
        assert unit.dialogue(cellist.id) == Dialogue(cellist.id, "evening", "sets", "check-in-2", {"pain": 4})
        (waiting,) = unit.claim_outbox(NOW.replace(year=2027), 5, "a sender", 30)
        assert (waiting.message.person_id, waiting.message.about) == (bricklayer.id, "")

        override = a_stored_decision(course, id="override-1", kind="override", by="staff-1", note="a long drive")
        unit.add_decision(override)
        assert unit.latest_decision(course.id) == override
        therapist = a_staff()
        unit.save_staff(therapist)
        unit.save_dialogue(Dialogue(therapist.id, "caseload"))
        unit.add_note(a_note(cellist))
        unit.erase_person(cellist.id)
        unit.commit()


def test_old_records_read_with_the_new_fields_empty_and_go_on_living(old_url: str) -> None:
    run(old_url, ROWS["0001"])

    store = opened(old_url)
    check_old_records(store)
    store.close()

    assert not [row for rows in all_rows(old_url).values() for row in rows if "cellist" in row]


def test_a_process_of_the_version_before_can_go_on_writing_after_the_upgrade(old_url: str) -> None:
    ours = engine.make_engine(old_url)
    migrate.migrate(ours)
    ours.dispose()

    run(old_url, ROWS["0001"])  # the columns it knows, no others

    store = opened(old_url)
    check_old_records(store)
    store.close()


@pytest.mark.parametrize("version", ["0002", "0003"])
def test_staff_their_trail_and_their_overrides_of_before_go_on_living(old_url: str, version: str) -> None:
    run(old_url, ROWS[version])

    store = opened(old_url, version)
    with store.writing() as unit:
        anna, ben, gone = sorted(unit.all_staff(), key=lambda each: (each.left_at is not None, each.id))
        assert (anna.name, anna.lead, anna.confirmed) == ("Anna, lead \N{UMBRELLA}", True, True)
        assert (gone.name, gone.confirmed, gone.left_at) == ("", False, NOW)
        cook, mason = sorted(unit.patients_of(ben.id), key=lambda each: each.id)
        assert (cook.name, mason.status) == ("the pastry cook, Ünï", Status.DISCHARGED)
        course = unit.course_of(cook.id)
        assert course is not None
        assert [(one.kind, one.by, one.note) for one in unit.decisions(course.id)] == [
            ("evening", "", ""), ("override", "ben", "a long drive"),
        ]  # fmt: skip
        assert [(one.action, one.detail) for one in unit.audits(cook.id)] == [("look", "the page of the pastry cook")]
        assert [one.text for one in unit.notes(cook.id)] == ["grip is stronger on the left"]
        assert [(one.week, one.total) for one in unit.outcomes(cook.id)] == [(6, 41.5)]
        assert unit.dialogue(ben.id).facts == {"person": "cook", "number": "1"}
        invitation = unit.invitation("77aa")
        assert invitation is not None
        assert (invitation.role, invitation.inviter_id, invitation.note) == (Role.THERAPIST, anna.id, "Mara")
        unit.add_audit(an_audit(cook))
        unit.erase_person(cook.id)
        unit.commit()
    store.close()

    left = all_rows(old_url, version)
    assert not [row for name, rows in left.items() if name != "audits" for row in rows if "cook" in row]
