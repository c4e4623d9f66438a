"""`holdlower check`: each part of a clinic that is broken on purpose is named, with what to do, and nothing else is."""

import asyncio
import datetime as dt
import json
import sqlite3
from collections import namedtuple
from collections.abc import Callable
from pathlib import Path

import pytest

from bot.cli import main
from bot.run.app import utc_now
from bot.run.opening import found_app, one_at_a_time
from bot.settings import load_settings
from core.records import Audit
from tests.builders import a_staff
from tests.standin.server import TOKEN, StandIn

FILE = ".config/holdlower/settings.env"


@pytest.fixture
def home(own_home: Path) -> Path:
    """A clinic with a lead, whose last copy was made an hour ago."""
    file = own_home / FILE
    file.parent.mkdir(parents=True)
    file.write_text(f"HOLDLOWER_CLINIC_ZONE=Europe/Lisbon\nHOLDLOWER_TOKEN={TOKEN}\n")
    file.chmod(0o600)
    store = found_app(load_settings({"HOME": str(own_home)})).store
    with store.writing() as uow:
        uow.staff.save(a_staff(id="anna", name="Anna", lead=True))
        uow.audit.add(Audit("clinic", "", utc_now() - dt.timedelta(hours=1), "backup"))
        uow.commit()
    store.close()
    return own_home


async def checked(home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> dict[str, str]:
    """What is to be done, by what it is about, while a service is at work against the stand-in."""
    async with StandIn(utc_now) as service:
        monkeypatch.setenv("HOLDLOWER_BASE_URL", service.api)
        with one_at_a_time(home / ".local/share/holdlower/holdlower.sqlite"):
            code = await asyncio.to_thread(main, ["check", "--json"])
        assert service.violations == []
    found = json.loads(capsys.readouterr().out)
    wrong = {each["check"]: each["says"] for each in found if each["well"] is False}
    assert code == (1 if wrong else 0)
    return wrong


async def test_a_clinic_that_lacks_nothing_has_nothing_to_do(home: Path, monkeypatch, capsys):
    assert await checked(home, monkeypatch, capsys) == {}


TORN = "INSERT INTO courses VALUES ('clinic', 'c', 'p', 'left', 'v', '{', NULL)"  # of nobody: no one is asked


def on_database(change: str) -> Callable[[Path, pytest.MonkeyPatch], None]:
    def run(home: Path, _: pytest.MonkeyPatch) -> None:
        with sqlite3.connect(home / ".local/share/holdlower/holdlower.sqlite") as connection:
            connection.execute(change)
        connection.close()

    return run


def setting(line: str) -> Callable[[Path, pytest.MonkeyPatch], None]:
    def run(home: Path, _: pytest.MonkeyPatch) -> None:
        with (home / FILE).open("a") as file:
            file.write(f"{line}\n")

    return run


def second_key(home: Path, _: pytest.MonkeyPatch) -> None:
    keys = home / ".config/holdlower/keys"
    keys.write_bytes(keys.read_bytes() + b"k" * 43 + b"=\n")


def clock_ahead(_: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bot.cli.check.utc_now", lambda: utc_now() + dt.timedelta(minutes=10))


def disk_full(_: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    usage = namedtuple("usage", "free")
    monkeypatch.setattr("bot.cli.check.shutil.disk_usage", lambda folder: usage(5_000_000))


@pytest.mark.parametrize(
    ("break_it", "about", "says"),
    [
        (lambda home, _: (home / FILE).chmod(0o644), "settings", "chmod 600"),
        (lambda home, _: (home / ".config/holdlower/keys").chmod(0o640), "database", "chmod 600"),
        (lambda home, _: (home / ".config/holdlower/keys").unlink(), "database", "there is no key file"),
        (lambda home, _: (home / ".local/share/holdlower/holdlower.sqlite").unlink(), "database", "no database at"),
        (second_key, "keys", "holdlower keys rotate"),
        (on_database("UPDATE alembic_version SET version_num = '0000'"), "database", "newer version"),
        (on_database("UPDATE staff SET name = 'gAAAdamaged'"), "seals", "staff anna name"),
        (on_database(TORN), "values", "courses c episode). Everybody else goes on"),
        (on_database("UPDATE staff SET unreachable_since = at FROM (SELECT at FROM audits)"), "staff", "Anna"),
        (on_database("UPDATE staff SET lead = 0"), "staff", "holdlower invite --role lead"),
        (on_database("DELETE FROM audits"), "backup", "never"),
        (setting("HOLDLOWER_PROGRAMME=/nowhere"), "programme", "/nowhere"),
        (setting("HOLDLOWER_WEBHOOK_URL=http://127.0.0.1:9"), "webhook", "nothing answers"),
        (setting("HOLDLOWER_EVENING=late"), "settings", "HOLDLOWER_EVENING"),
        (clock_ahead, "clock", "set from the network"),
        (disk_full, "disk", "make room"),
    ],
)
async def test_what_is_broken_is_named_with_what_to_do(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], break_it, about: str, says: str
):
    break_it(home, monkeypatch)
    wrong = await checked(home, monkeypatch, capsys)
    assert list(wrong) == [about]
    assert says in wrong[about]
    assert TOKEN not in str(wrong)


def test_without_a_service_a_token_and_a_copy_each_is_a_line_to_do(home: Path, monkeypatch, capsys):
    (home / FILE).write_text("")
    on_database("DELETE FROM audits")(home, monkeypatch)
    assert main(["check"]) == 1
    to_do = [line.split()[2] for line in capsys.readouterr().out.splitlines() if line.startswith("TO DO")]
    assert to_do == ["last", "service", "token"]


async def test_a_token_that_the_service_refuses_is_said_and_not_shown(home: Path, monkeypatch, capsys):
    wrong_token = "7000000001:another-AbCdEfGhIjKlMnOpQrStUvWxYz0"
    monkeypatch.setenv("HOLDLOWER_TOKEN", wrong_token)
    wrong = await checked(home, monkeypatch, capsys)
    assert list(wrong) == ["token"]
    assert wrong_token not in wrong["token"]


def test_a_copy_is_noted_whoever_made_it(home: Path, monkeypatch, capsys, tmp_path: Path):
    folder = tmp_path / "copies"
    folder.mkdir()

    def to_do() -> bool:
        main(["check"])
        return "TO DO   last copy" in capsys.readouterr().out

    on_database("DELETE FROM audits")(home, monkeypatch)
    setting(f"HOLDLOWER_COPIES={folder}")(home, monkeypatch)
    assert to_do()
    (folder / "made-by-the-server.dump").write_text("a copy")
    assert not to_do()
    (folder / "made-by-the-server.dump").unlink()
    assert main(["backup", str(folder)]) == 0
    for file in folder.iterdir():
        file.unlink()
    assert not to_do()
