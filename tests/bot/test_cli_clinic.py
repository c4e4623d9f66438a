"""`holdlower staff`: a lost phone sees and does nothing any more, and nobody's danger goes unheard for it."""

from pathlib import Path

import pytest

from bot.cli import main
from bot.cli.commands import WRONG
from bot.run.opening import found_app
from bot.settings import load_settings
from core.store import SqlStore
from tests.bot.conversation.chat import Clinics
from tests.bot.conversation.staff.desk import Desk, days
from tests.builders import a_person, a_staff


@pytest.fixture
def home(own_home: Path) -> Path:
    """A clinic with a lead, a therapist of one patient, and one who waits."""
    store = found_app(load_settings({"HOME": str(own_home)})).store
    with store.writing() as uow:
        uow.staff.save(a_staff(id="anna", name="Anna", lead=True))
        uow.staff.save(a_staff(id="ben", name="Ben"))
        uow.staff.save(a_staff(id="dora", name="Dora", confirmed=False))
        uow.people.save(a_person(id="cook", therapist_id="ben"))
        uow.commit()
    store.close()
    return own_home


def test_the_list_says_who_works_here_and_with_how_many(home: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["staff"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split("  ") for line in lines] == [
        ["anna", "Anna", "lead", "patients: 0"],
        ["ben", "Ben", "therapist", "patients: 1"],
        ["dora", "Dora", "waits to be confirmed", "patients: 0"],
    ]


def test_whoever_is_shut_out_is_gone_at_once_and_it_is_in_the_trail(home: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["staff", "--shut-out", "ben", "--yes"]) == 0
    assert "no therapist now: 1" in capsys.readouterr().out
    for again in ("ben", "nobody"):
        assert main(["staff", "--shut-out", again, "--yes"]) == WRONG
    store = found_app(load_settings({"HOME": str(home)})).store
    with store.reading() as uow:
        assert uow.staff.get("ben").left_at is not None
        assert uow.people.get("cook").therapist_id is None
        assert [(each.action, each.staff_id, each.detail) for each in uow.audit.latest()] == [("shut_out", "", "ben")]
    store.close()


def test_the_only_lead_can_be_shut_out_and_what_to_do_then_is_said(home: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["staff", "--shut-out", "anna", "--yes"]) == 0
    assert "holdlower invite --role lead" in capsys.readouterr().out


def test_a_lost_phone_reads_nothing_and_the_lead_hears_of_danger(
    sqlite_store: SqlStore, key: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    clinic = Clinics(sqlite_store)
    anna, ben = Desk(clinic, "anna", lead=True), Desk(clinic, "ben")
    cook = ben.has_many("Pastry cook")[0]
    days(clinic, {cook: ["4, all"]})
    ben.sends("caseload")
    keys = tmp_path / "apart" / "keys"
    keys.parent.mkdir()
    keys.write_bytes(key + b"\n")
    keys.chmod(0o600)
    monkeypatch.setenv("HOLDLOWER_DATABASE", str(tmp_path / "store.db"))
    monkeypatch.setenv("HOLDLOWER_KEY_FILE", str(keys))

    assert main(["staff", "--shut-out", ben.me.id, "--yes"]) == 0
    clinic.deliver()

    assert "ben was shut out" in anna.last()
    for answers in (ben.sends("caseload"), ben.taps(f"1.t.o.{cook.person().id}"), ben.types("Pastry cook")):
        assert answers == ["stranger.way_in"]
    cook.types("my hand has gone numb")
    assert "numb" in anna.last()
    assert "numb" not in ben.last()
    assert anna.tap_about("v", cook) in (["therapist.act.choice"], ["therapist.act.confirm"])
