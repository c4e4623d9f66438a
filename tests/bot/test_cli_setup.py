"""Setting up a clinic: what is asked, what is written, and that the program accepts it."""

import io
import re
import socket
import stat
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.cli.setup import UNCHANGED, Setup
from bot.run.opening import found_app
from bot.settings import load_settings
from bot.settings.file import read_entries, write_entries
from core.errors import SettingsError
from core.records import Role
from core.store import open_store
from core.use_cases.joining import code_hash, invite, role_of
from tests.builders import a_staff

TOKEN = "123456789:AAFexample_of-a-token"
EMERGENCY = """If you're in danger, ring "112" at once: \\ don't wait; $HOME is #1."""


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def environ(tmp_path: Path) -> dict[str, str]:
    return {"HOME": str(tmp_path)}


def file_of(environ: dict[str, str]) -> Path:
    return Path(environ["HOME"], ".config", "holdlower", "settings.env")


def answers(*lines: str) -> io.StringIO:
    return io.StringIO("".join(f"{line}\n" for line in lines))


def set_up(environ: dict[str, str], source: io.StringIO, file: Path | None = None) -> tuple[int, str]:
    out = io.StringIO()
    return Setup(environ, file, source, out).run(), out.getvalue()


def test_four_answers_give_settings_a_database_keys_and_a_leads_code(environ: dict[str, str]):
    code, said = set_up(environ, answers("Fennel Lane", "Europe/Lisbon", EMERGENCY, ""))
    settings = load_settings(environ)
    assert code == 0
    assert (settings.clinic_name, settings.clinic_zone, settings.clinic_emergency) == (
        "Fennel Lane", "Europe/Lisbon", EMERGENCY,
    )  # fmt: skip
    assert settings.token is None
    assert stat.S_IMODE(file_of(environ).stat().st_mode) == 0o600
    assert stat.S_IMODE(settings.key_file.stat().st_mode) == 0o600
    spelled = re.search(r"Code: +(\S+)", said)
    assert spelled
    store = open_store(settings.database, (settings.key_file.read_bytes().strip(),))
    with store.reading() as uow:
        invitation = uow.invitations.get(code_hash(spelled[1]))
        clinic = uow.clinics.get()
    store.close()
    assert invitation
    assert (invitation.role, invitation.inviter_id, invitation.used_at) == (Role.LEAD, None, None)
    assert (clinic.name, clinic.emergency) == ("Fennel Lane", EMERGENCY)


def test_nothing_answered_takes_every_default(environ: dict[str, str]):
    code, _ = set_up(environ, answers())
    settings = load_settings(environ)
    assert (code, settings.clinic_zone, settings.clinic_name) == (0, "UTC", "")


@pytest.mark.parametrize(
    ("lines", "name"),
    [
        (("x" * 61,), "CLINIC_NAME"),
        (("Fennel Lane", "Lisboa"), "CLINIC_ZONE"),
        (("Fennel Lane", "UTC", "x" * 301), "CLINIC_EMERGENCY"),
        (("Fennel Lane", "UTC", "", "hunter2"), "TOKEN"),
    ],
)
def test_a_wrong_piped_answer_ends_it_names_the_setting_and_writes_nothing(
    environ: dict[str, str], lines: tuple[str, ...], name: str
):
    with pytest.raises(SettingsError, match=f"HOLDLOWER_{name}") as caught:
        set_up(environ, answers(*lines))
    assert "hunter2" not in str(caught.value)
    assert list(Path(environ["HOME"]).iterdir()) == []


def test_at_a_terminal_a_wrong_answer_is_asked_again_and_the_token_is_not_echoed(
    environ: dict[str, str], monkeypatch: pytest.MonkeyPatch
):
    typed = iter(["not a token", TOKEN])
    monkeypatch.setattr("getpass.getpass", lambda prompt: next(typed))
    monkeypatch.setattr("bot.cli.setup._bot_name", lambda settings: ("fennel_bot", ""))  # no network here
    source = Terminal("Fennel Lane\nLisboa\nEurope/Lisbon\n\n")
    code, said = set_up(environ, source)
    settings = load_settings(environ)
    assert code == 0
    assert settings.token is not None
    assert settings.token.get_secret_value() == TOKEN
    assert said.count("Time zone of the clinic") == 2
    assert TOKEN not in said
    assert re.search(r"https://t\.me/fennel_bot\?start=[0-9A-Z]{16}\b", said)


@pytest.mark.parametrize(("answer", "changes"), [("yes", True), ("Y", True), ("no", False), ("", False), ("ja", False)])
def test_what_is_there_is_changed_only_after_a_yes_and_the_rest_of_it_stays(
    environ: dict[str, str], answer: str, changes: bool
):
    file = file_of(environ)
    file.parent.mkdir(parents=True)
    before = "# ours\nHOLDLOWER_CLINIC_NAME='Old Lane'  # a name\n\nexport HOLDLOWER_EVENING=18:30\n"
    file.write_text(before)
    code, said = set_up(environ, answers("Fennel Lane", "", "", "", answer))
    assert code == (0 if changes else UNCHANGED)
    assert "Old Lane" in said
    if changes:
        settings = load_settings(environ)
        assert (settings.clinic_name, settings.evening.hour) == ("Fennel Lane", 18)
        assert file.read_text().startswith("# ours\n")
    else:
        assert file.read_text() == before
        assert not settings_exist(environ)


def settings_exist(environ: dict[str, str]) -> bool:
    return (Path(environ["HOME"]) / ".local").exists()


def test_a_second_set_up_without_answers_changes_nothing_and_where_there_is_a_lead_makes_no_code(
    environ: dict[str, str],
):
    set_up(environ, answers("Fennel Lane", "", "", ""))
    before = file_of(environ).read_bytes()
    settings = load_settings(environ)
    store = open_store(settings.database, (settings.key_file.read_bytes().strip(),))
    with store.writing() as uow:
        uow.staff.save(a_staff(lead=True))
        uow.commit()
    store.close()
    code, said = set_up(environ, answers("", "", "", ""))
    assert code == 0
    assert "Code:" not in said
    assert file_of(environ).read_bytes() == before


def test_of_several_lead_codes_only_the_newest_unused_one_is_good(environ: dict[str, str]):
    codes = [re.search(r"Code: +(\S+)", set_up(environ, answers("", "", "", ""))[1])[1] for _ in range(3)]
    settings = load_settings(environ)
    app = found_app(settings)
    store = app.store
    with store.writing() as uow:
        work = app.work(uow)
        invite(work, "clinic", "OF A PATIENT")
        assert [role_of(work, code) for code in codes] == [None, None, Role.LEAD]
        invite(work, "clinic", "THE NEXT LEAD", role=Role.LEAD)
        assert [role_of(work, code) for code in (codes[2], "OF A PATIENT")] == [None, Role.PATIENT]
    store.close()


def test_settings_that_are_broken_already_are_named_and_left_alone(environ: dict[str, str], tmp_path: Path):
    file = tmp_path / "ours.env"
    file.write_text("HOLDLOWER_EVENING=soon\n")
    with pytest.raises(SettingsError, match="HOLDLOWER_EVENING"):
        set_up(environ, answers("Fennel Lane"), file)
    assert file.read_text() == "HOLDLOWER_EVENING=soon\n"


def test_the_file_may_be_named_and_lie_where_no_folder_is_yet(environ: dict[str, str], tmp_path: Path):
    file = tmp_path / "etc" / "holdlower" / "clinic.env"
    assert set_up(environ, answers("Fennel Lane", "", "", ""), file)[0] == 0
    assert load_settings(environ, file).clinic_name == "Fennel Lane"
    assert not file_of(environ).exists()


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path):
    (tmp_path / "file").touch()
    with pytest.raises(SettingsError, match="cannot be written"):
        write_entries(tmp_path / "file" / "settings.env", {"HOLDLOWER_EVENING": "18:30"})


LINES = st.text(st.characters(blacklist_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1, max_size=40)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(LINES.filter(lambda line: line == line.strip()), LINES.filter(lambda line: line == line.strip()))
def test_any_line_that_is_written_is_read_back_as_it_was(tmp_path: Path, first: str, second: str):
    file = tmp_path / "settings.env"
    file.unlink(missing_ok=True)
    for value in (first, second, first):
        write_entries(file, {"HOLDLOWER_CLINIC_NAME": value})
    write_entries(file, {"HOLDLOWER_CLINIC_EMERGENCY": second})
    entries, wrong = read_entries(file)
    assert wrong == []
    assert {name: entry.value for name, entry in entries.items()} == {
        "HOLDLOWER_CLINIC_NAME": first, "HOLDLOWER_CLINIC_EMERGENCY": second,
    }  # fmt: skip


def test_without_the_messaging_service_it_says_why_there_is_no_link_and_what_to_do(environ: dict[str, str]):
    nobody = socket.socket()  # bound, and not listening: nobody else can answer there
    nobody.bind(("127.0.0.1", 0))
    environ["HOLDLOWER_BASE_URL"] = f"http://127.0.0.1:{nobody.getsockname()[1]}"
    code, said = set_up(environ, answers("Fennel Lane", "", "", TOKEN))
    nobody.close()
    assert code == 0
    assert re.search(r"Code: +\S+", said)
    assert "Link:" not in said
    assert re.search(r"no link.* cannot be reached: .*check the network.*holdlower invite", said, re.DOTALL)
    assert TOKEN not in said


def test_without_a_token_nothing_is_said_of_a_link(environ: dict[str, str]):
    assert "no link" not in set_up(environ, answers("Fennel Lane", "", "", ""))[1]
