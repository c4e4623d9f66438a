"""A missing database is not a new clinic: only set-up and a first start make one, and what is half there is said."""

import io
import sqlite3
from pathlib import Path

import pytest
from cryptography.fernet import Fernet

from bot.cli import main
from bot.cli.commands import TABLE, WRONG
from bot.run.opening import found_app, keys_or_founded
from bot.settings import load_settings
from bot.settings.file import read_or_make_keys
from core.errors import SettingsError
from core.store.founding import make_tables

NEEDED = {
    "clear": ["p1", "--reason", "seen"], "why": ["p1"], "export": ["--all", "--out", "out"], "erase": ["p1", "--yes"],
    "backup": ["copy.sqlite"],
}  # fmt: skip
FOUNDERS = {"setup", "serve", "restore", "check"}  # the third puts a clinic back, the last says what is missing
SERVE = ["serve"]


def commands() -> list[list[str]]:
    """Every command that reads the settings, but for those that may found a clinic."""
    rows = [row for row in TABLE if row.settings and row.name not in FOUNDERS]
    return [[*row.name.split(), *NEEDED.get(row.name, [])] for row in rows]


@pytest.fixture
def home(own_home: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HOLDLOWER_TOKEN", "123456789:AAFexample_of-a-token")
    monkeypatch.chdir(own_home)
    return own_home


@pytest.fixture
def clinic(home: Path) -> tuple[Path, Path]:
    """The database and the key file of a clinic that is there."""
    settings = load_settings({"HOME": str(home), "HOLDLOWER_CLINIC_NAME": "Fennel Lane"})
    found_app(settings).store.close()
    return Path(settings.database.removeprefix("sqlite:///")), settings.key_file


def refused(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """What is said, in one sentence or two, by a command that ends with the code for what can be put right."""
    assert main(arguments) == WRONG, arguments
    said = capsys.readouterr()
    assert said.err.startswith("holdlower: "), arguments
    assert (said.err.count("\n"), said.out) == (1, ""), arguments
    return said.err


def test_where_there_is_nothing_every_command_says_so_and_makes_nothing(home: Path, capsys):
    asked = commands()
    assert {each[0] for each in asked} >= {"notices", "invite", "staff", "audit", "replay", "backup", "keys"}
    for arguments in asked:
        said = refused(arguments, capsys)
        assert "no database at" in said
        assert "run holdlower setup" in said
    assert list(home.rglob("*")) == []


def test_a_key_file_without_its_database_founds_nothing(home: Path, clinic: tuple[Path, Path], capsys):
    database, key = clinic
    database.unlink()
    there = sorted(home.rglob("*"))
    for arguments in [*commands(), SERVE]:
        said = refused(arguments, capsys)
        assert f"no database at {database}" in said
        assert "holdlower restore" in said
    assert [each for each in sorted(home.rglob("*")) if each.suffix != ".lock"] == there
    database.touch()
    for arguments in [*commands(), SERVE]:
        assert "is an empty file" in refused(arguments, capsys)
    assert (database.stat().st_size, key.exists()) == (0, True)


def test_a_database_without_its_key_file_gets_no_new_key(clinic: tuple[Path, Path], capsys, monkeypatch):
    database, key = clinic
    monkeypatch.setattr("sys.stdin", io.StringIO())
    assert "there is no key file" in refused(["try", "--file", str(database)], capsys)
    key.unlink()
    for arguments in [*commands(), SERVE]:
        assert f"there is no key file {key}: put your copy of it there" in refused(arguments, capsys)
    assert not key.exists()
    key.write_bytes(Fernet.generate_key())
    key.chmod(0o600)
    for arguments in [*commands(), SERVE]:
        assert "does not open" in refused(arguments, capsys)


def test_what_is_founded_is_in_the_log_and_who_comes_meanwhile_takes_part(home: Path, caplog: pytest.LogCaptureFixture):
    settings = load_settings({"HOME": str(home)})
    file = Path(settings.database.removeprefix("sqlite:///"))
    file.parent.mkdir(parents=True)
    make_tables(settings.database)
    keys = read_or_make_keys(settings.key_file)  # as another process has just done, before it sealed anything
    assert keys_or_founded(settings.database, settings.key_file) == keys
    settings.key_file.unlink()
    assert caplog.text == ""
    found_app(settings).store.close()
    assert "a new clinic was made" in caplog.text


def test_looking_leaves_what_the_clinic_keeps_of_itself(clinic: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("HOLDLOWER_CLINIC_NAME", "")
    for arguments in (["notices"], ["staff"], ["audit"], ["replay"], ["invite", "--role", "lead"]):
        assert main(arguments) == 0
    with sqlite3.connect(clinic[0]) as connection:
        assert connection.execute("SELECT name FROM clinics").fetchall() == [("Fennel Lane",)]


def test_a_database_of_something_else_is_left_alone(home: Path, capsys, monkeypatch: pytest.MonkeyPatch):
    other = home / "other.sqlite"
    with sqlite3.connect(other) as connection:
        connection.execute("CREATE TABLE letters (words TEXT)")
    before = other.read_bytes()
    monkeypatch.setenv("HOLDLOWER_DATABASE", str(other))
    assert "there is something else in" in refused(SERVE, capsys)
    assert other.read_bytes() == before


@pytest.mark.parametrize(
    ("environ", "expected"),
    [
        ({"HOME": "/h", "HOLDLOWER_DATABASE": "sqlite:///clinic.sqlite"}, "full path of a file"),
        ({"HOME": "/h", "HOLDLOWER_KEY_FILE": "keys"}, "full path of a file"),
        ({}, "HOME is not set, so nothing says where the clinic is; set HOLDLOWER_DATABASE and HOLDLOWER_KEY_FILE"),
        ({"HOLDLOWER_DATABASE": "/data/clinic.sqlite"}, "set HOLDLOWER_KEY_FILE to full paths"),
    ],
)
def test_a_place_that_depends_on_where_one_stands_is_none(environ: dict[str, str], expected: str):
    with pytest.raises(SettingsError) as caught:
        load_settings(environ)
    assert expected in str(caught.value)
