"""`holdlower keys rotate`: afterwards the new key opens everything and the old one nothing, kills included."""

import fcntl
import re
import signal
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import psycopg
import pytest
from cryptography.fernet import Fernet, InvalidToken

from bot.cli import main
from bot.cli.commands import WRONG
from bot.run.opening import found_app
from bot.settings import load_settings
from bot.settings.file import begin_change, end_change, read_keys
from core.errors import StoreError
from core.model import NoticeKind
from core.ports import Store
from core.records import Dialogue, Notice, Update
from core.store import open_store
from core.store.columns import Sealed, SealedFacts
from core.store.condition import BATCH
from core.store.tables import metadata
from tests.builders import CLINIC, NOW, a_note, a_person, a_staff, an_audit
from tests.postgres import Cluster

pytestmark = pytest.mark.long

PEOPLE = 1200  # more than two batches
TOKEN = re.compile(rb"gAAAA[A-Za-z0-9_-]{80,}={0,2}")  # Fernet specification: version 0x80, then a time
# The real command in a process of its own, killed while it renews the given text.
KILLED_AT = """
import os, signal, sys
from bot.cli import main
from core.store import sealed
renew, left = sealed.Seal.renew, int(sys.argv[1])
def counted(self, token):
    global left
    left -= 1
    if left < 0:
        os.kill(os.getpid(), signal.SIGKILL)
    return renew(self, token)
sealed.Seal.renew = counted
main(["keys", "rotate"])
"""


@pytest.fixture
def home(own_home: Path) -> Path:
    """A clinic of many in a home of its own, with a sealed text in each kind of place."""
    store = opened(own_home)
    with store.writing() as uow:
        uow.staff.save(a_staff(id="ben", name="Ben"))
        for number in range(PEOPLE):
            person = a_person(id=f"p{number:05}", name=f"patient number {number}")
            uow.people.save(person)
        uow.people.add_note(a_note(person))
        uow.audit.add(an_audit(person))
        uow.dialogues.save(Dialogue(person.id, "problem", facts={"text": "it aches"}))
        uow.notices.add(Notice("n", CLINIC, person.id, NoticeKind.DANGER, "n", NOW, {"flag": "urgent"}, "numb"))
        uow.inbox.put([Update("telegram", 1, person.address, NOW, '{"text": "4, all"}')])
        uow.commit()
    store.close()
    return own_home


def opened(home: Path) -> Store:
    return found_app(load_settings({"HOME": str(home)})).store


def key_file(home: Path) -> Path:
    return home / ".config/holdlower/keys"


def database(home: Path) -> Path:
    return home / ".local/share/holdlower/holdlower.sqlite"


def opens(key: bytes, token: bytes) -> bool:
    try:
        Fernet(key).decrypt(token)
    except InvalidToken:
        return False
    return True


def stored(home: Path) -> list[bytes]:
    """Every sealed text, from the columns that hold some."""
    found = []
    with closing(sqlite3.connect(database(home))) as connection:
        for table in metadata.sorted_tables:
            for column in table.c:
                if isinstance(column.type, Sealed | SealedFacts) or column.name == "proof":
                    rows = connection.execute(f'SELECT "{column.name}" FROM {table.name}')
                    found += [row[0].encode() for row in rows if row[0]]
    return found


def check_rotated(home: Path, old: bytes) -> None:
    """The new key opens all, the old one nothing, not even in the free pages of the file or beside it."""
    (new,) = read_keys(key_file(home))
    texts = stored(home)
    assert new != old
    assert len(texts) == PEOPLE + 8  # Ben, note, trail, dialogue, notice twice, inbox, and the proof
    assert all(opens(new, token) for token in texts)
    raw = b"".join(file.read_bytes() for file in database(home).parent.iterdir())
    left = set(TOKEN.findall(raw))
    assert len(left) >= PEOPLE
    assert not [token for token in left if opens(old, token)]
    store = open_store(str(database(home)), new)
    with store.reading() as uow:
        assert [person.name for person in uow.people.all()] == [f"patient number {n}" for n in range(PEOPLE)]
    store.close()
    retired = key_file(home).with_name("keys.retired")
    assert retired.read_bytes().splitlines() == [old]
    assert stat.S_IMODE(retired.stat().st_mode) == stat.S_IMODE(key_file(home).stat().st_mode) == 0o600


def test_a_new_key_seals_everything_and_the_old_one_opens_nothing_any_more(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    (old,) = read_keys(key_file(home))
    assert main(["keys", "rotate"]) == 0
    check_rotated(home, old)
    assert f"Sealed with the new key: {len(stored(home))} texts" in capsys.readouterr().out


@pytest.mark.parametrize("at", [0, 777, PEOPLE + 5])
def test_a_change_that_was_killed_can_be_lived_with_and_is_finished_by_running_it_again(
    home: Path, at: int, capsys: pytest.CaptureFixture[str]
):
    (old,) = read_keys(key_file(home))
    died = subprocess.run([sys.executable, "-c", KILLED_AT, str(at)], check=False, cwd=Path(__file__).parents[2])
    assert died.returncode == -signal.SIGKILL

    new, kept = read_keys(key_file(home))
    assert kept == old
    renewed = sum(opens(new, token) for token in stored(home))
    assert renewed <= at
    if at > 500:
        assert renewed >= 500, "what was committed stays"
    store = opened(home)  # as the bot would
    with store.reading() as uow:
        assert len({person.name for person in uow.people.all()}) == PEOPLE
    store.close()

    assert main(["keys", "rotate"]) == 0
    assert read_keys(key_file(home)) == (new,), "no second change was begun"
    assert "under way" in capsys.readouterr().out
    check_rotated(home, old)


def test_nothing_is_changed_under_a_bot_that_runs(home: Path, capsys: pytest.CaptureFixture[str]):
    before = key_file(home).read_bytes()
    with Path(f"{database(home)}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        assert main(["keys", "rotate"]) == WRONG
    assert "stop it first" in capsys.readouterr().err
    assert key_file(home).read_bytes() == before


def test_without_a_key_file_none_is_made(home: Path, capsys: pytest.CaptureFixture[str]):
    key_file(home).unlink()
    assert main(["keys", "rotate"]) == WRONG
    assert "put your copy of it there" in capsys.readouterr().err
    assert not key_file(home).exists()


def test_remarks_in_the_key_file_and_older_retired_keys_stay(tmp_path: Path):
    path = tmp_path / "keys"
    first, second = Fernet.generate_key(), Fernet.generate_key()
    path.write_bytes(b"# of the practice\n" + first + b"\n")
    path.with_name("keys.retired").write_bytes(second + b"\n")
    path.chmod(0o600)
    new, _ = begin_change(path)
    end_change(path)
    assert path.read_bytes() == new + b"\n# of the practice\n"
    assert path.with_name("keys.retired").read_bytes() == second + b"\n" + first + b"\n"


@pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
def test_on_postgresql_no_key_is_changed_while_another_process_is_connected(
    store_url: str, key: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    path = tmp_path / "keys"
    path.write_bytes(key + b"\n")
    path.chmod(0o600)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("HOLDLOWER_DATABASE", store_url)
    monkeypatch.setenv("HOLDLOWER_KEY_FILE", str(path))
    open_store(store_url, key).close()
    with psycopg.connect(store_url, application_name="holdlower"):
        assert main(["keys", "rotate"]) == WRONG
    assert "1 other connections" in capsys.readouterr().err
    assert read_keys(path) == (key,)


def test_on_postgresql_everything_opens_with_the_new_key_alone(
    postgres: Cluster, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("HOLDLOWER_DATABASE", postgres.make("rotated"))
    try:
        settings = load_settings({"HOME": str(tmp_path), "HOLDLOWER_DATABASE": postgres.url("rotated")})
        store = found_app(settings).store
        with store.writing() as uow:
            for number in range(BATCH + 1):
                uow.people.save(a_person(id=f"p{number}", name=f"patient number {number}"))
            uow.commit()
        store.close()
        (old,) = read_keys(key_file(tmp_path))
        assert main(["keys", "rotate"]) == 0
        (new,) = read_keys(key_file(tmp_path))
        store = open_store(settings.database, new)
        with store.reading() as uow:
            assert len({person.name for person in uow.people.all()}) == BATCH + 1
        store.close()
        with pytest.raises(StoreError):
            open_store(settings.database, old)
    finally:
        postgres.drop("rotated")
