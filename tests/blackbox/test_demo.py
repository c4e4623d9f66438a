"""The invented clinic: filled from nothing, gone on with later, never mixed up with a real one."""

import argparse
import io
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import fmean

import pytest
from pypdf import PdfReader

from bot.cli import main
from bot.cli.trying import demonstrate
from bot.run.opening import CLINIC_ID
from bot.settings.file import keys_apart, read_keys, read_or_make_keys
from bot.terminal.living import MONDAY
from core.errors import HoldlowerError
from core.model import Flag, NoticeKind
from core.programme.file import default_programme
from core.records import Status
from core.rule.override import act_of
from core.store import SqlStore, open_store
from core.use_cases.replaying import replay_person
from core.use_cases.work import Programmes
from tests.blackbox.test_transcripts import FOLDER, as_approved

UNTOUCHED = "untouched.sqlite"  # the clinic as it stood when the twenty weeks were over
ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


@dataclass(frozen=True)
class Shown:
    """One demo that was run from the shell without a terminal, and what it left."""

    folder: Path
    database: Path
    out: str
    errors: str

    @property
    def digest(self) -> str:
        return (self.folder / "digest-2026-07-13.txt").read_text(encoding="utf-8")

    def open(self) -> SqlStore:
        keys = read_keys(keys_apart(self.database))
        return open_store(f"sqlite:///{self.database}", keys, clinic_id=CLINIC_ID)


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Shown:
    folder = tmp_path_factory.mktemp("demo")
    database = folder / "clinic.sqlite"
    command = [sys.executable, "-m", "bot", "demo", "--folder", str(folder / "files"), "--database", str(database)]
    ran = subprocess.run(
        command, cwd=ROOT, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=120, check=True
    )
    shutil.copytree(keys_apart(database).parent, keys_apart(folder / UNTOUCHED).parent)
    shutil.copy(database, folder / UNTOUCHED)
    return Shown(folder / "files", database, ran.stdout, ran.stderr)


@pytest.fixture(scope="module")
def store(shown: Shown) -> Iterator[SqlStore]:
    opened = shown.open()
    yield opened
    opened.close()


def test_without_a_terminal_it_shows_the_morning_writes_the_files_and_ends(shown: Shown):
    assert "week 20 of 20" in shown.errors
    assert "Wall bricklayer: RED FLAG, to be seen within days, stopped" in shown.out
    assert "nobody on the staff" not in shown.errors
    assert all(line in shown.out for line in shown.digest.splitlines())
    assert f"are in {shown.folder}.\n" in shown.out

    pictures = sorted(shown.folder.glob("digest-*.png"))
    assert {each.read_bytes()[:8] for each in pictures} == {b"\x89PNG\r\n\x1a\n"}
    pages = PdfReader(shown.folder / "week-2026-07-13.pdf").pages
    assert len(pages) >= 21  # the overview, and one a patient
    text = pages[0].extract_text()
    assert all(trade in text for trade in ("cellist", "bricklayer", "hygienist", "pastry", "upholsterer"))


def test_the_readme_shows_the_digest_that_it_prints(shown: Shown):
    section = README.partition("## A clinic to look at\n")[2].partition("\n## ")[0]
    quoted = [line[4:] for line in section.splitlines() if line.startswith("    ") and "holdlower demo" not in line]

    assert len(quoted) > 10
    assert [line for line in shown.digest.splitlines() if line][: len(quoted)] == quoted


def test_something_of_everything_happens_and_only_what_is_meant_to(store: SqlStore):
    with store.reading() as uow:
        people = uow.people.all()
        courses = [uow.diary.course_of(person.id) for person in people]
        noticed = {each.kind for each in uow.notices.newest(limit=1000)}
        acts = {done.act for course in courses if course for each in uow.decisions.of(course.id)
                if (done := act_of(each.decision))}  # fmt: skip
    assert len(people) == 20
    assert {person.status for person in people} == {Status.ACTIVE, Status.AWAY, Status.LEFT}
    assert {course.episode.step for course in courses if course} >= {1, 2, 3, 5, 6, 7}
    assert [course.episode.paused_for for course in courses if course and course.episode.paused_for] == [Flag.RED_FLAG]
    assert acts == {"pin", "gate", "up"}
    assert noticed >= {
        NoticeKind.DANGER, NoticeKind.SEVERE_TWICE, NoticeKind.SILENT, NoticeKind.LEFT, NoticeKind.CLEARED,
        NoticeKind.PLATEAU_6_WEEKS, NoticeKind.PLATEAU_12_WEEKS, NoticeKind.THIRD_SETBACK,
    }  # fmt: skip


def test_evenings_are_answered_and_sets_done_as_often_as_the_literature_says(store: SqlStore):
    """Replies 85 % falling to 70 % within half a year (Axén 2012, Ono 2019); sets done on 87 % of days falling to
    55 % (Clifford 2020, Gatz 2020), as the cohort's model cites them; the bounds leave room for twenty people."""
    with store.reading() as uow:
        courses = [course for person in uow.people.all() if (course := uow.diary.course_of(person.id))]
        nights = [
            each
            for course in courses
            for each in uow.diary.evenings(course.id, course.episode.started, MONDAY.date())
            if each.asked
        ]
    rated = [each for each in nights if each.pain is not None]
    whole = [each.sets_done == each.sets_asked for each in rated if each.sets_asked]

    assert len(nights) > 1800
    assert 0.75 < len(rated) / len(nights) < 0.85
    assert 0.55 < fmean(whole) < 0.87


def test_every_decision_of_the_twenty_weeks_comes_out_the_same_again(store: SqlStore):
    programmes = Programmes(default_programme())
    with store.reading() as uow:
        everybody = uow.people.all()
        replayed = [each for person in everybody for each in replay_person(uow, programmes, person, MONDAY)]

    assert sum(each.decisions for each in replayed) > 1800
    assert [each.differ for each in replayed if each.differ] == []


def goes_on(database: Path, folder: Path, *lines: str) -> str:
    out = io.StringIO()
    options = argparse.Namespace(folder=folder, database=database, programme=None)
    assert demonstrate(options, io.StringIO("\n".join(lines)), out, io.StringIO()) == 0
    return out.getvalue()


def test_what_the_therapist_does_is_read_by_the_patient_and_kept(shown: Shown, tmp_path: Path):
    said = goes_on(
        shown.database, tmp_path, "# not said", "", "Pit cellist", "Gate", "2.5", "lifts all day", "Yes",
        "studio", "Step back", "flared at work", "Yes", "teaching", "/digest 21", "/help", "/help",
        "/QUIT", "never read",
    )  # fmt: skip
    assert "Wall bricklayer: stopped for a red flag" in said  # the digest again, for whoever comes back
    assert "Studio cellist reads:\n    | Rowan has moved you back" in said
    assert "Needs you: away until Sat 25 Jul." in said
    assert "No patient of yours had begun by this week." in said
    assert "never read" not in said
    assert len(list(tmp_path.glob("picture-*.png"))) == 3

    store = shown.open()
    with store.reading() as uow:
        pit, studio = (next(each for each in uow.people.all() if each.name == f"{name} cellist")
                       for name in ("Pit", "Studio"))  # fmt: skip
        assert 2.5 in dict(uow.diary.course_of(pit.id).episode.own_gates).values()
        assert uow.decisions.latest(uow.diary.course_of(studio.id).id).note == "flared at work"
    store.close()


def test_a_monday_on_which_everything_is_done_by_the_weeks_buttons_reads_as_it_was_approved(
    shown: Shown, tmp_path: Path
):
    lines = (FOLDER / "monday.txt").read_text(encoding="utf-8").splitlines()

    said = goes_on(shown.database.parent / UNTOUCHED, tmp_path, *lines)

    as_approved("monday", said.replace(str(tmp_path), "(folder)").replace(str(shown.database.parent), "(folder)"))
    last = said.rpartition("> /digest 1")[2]
    assert "TO DO: 1\n  1. Chimney bricklayer: see her: technique" in last  # by Thursday, as she has put it down
    for name in ("Wall bricklayer", "Car upholsterer"):
        assert f". {name}: " not in last


@pytest.mark.parametrize("what", ["another program's", "a real clinic's", "half lived"])
def test_a_database_that_is_not_a_whole_demo_is_left_as_it_is(tmp_path: Path, what: str):
    file = tmp_path / "there.sqlite"
    if what == "another program's":
        file.write_bytes(b"anything but a database, and longer than a header of one hundred bytes" * 3)
    else:
        open_store(f"sqlite:///{file}", read_or_make_keys(keys_apart(file)), clinic_id=CLINIC_ID).close()
    before = file.read_bytes()

    with pytest.raises(HoldlowerError, match=r"left alone|were cut off"):
        goes_on(file, tmp_path / "files")

    assert file.read_bytes() == before


def test_a_folder_that_cannot_be_written_is_told_before_the_weeks_are_lived(tmp_path: Path):
    (tmp_path / "file").write_text("in the way")

    with pytest.raises(HoldlowerError, match=r"--folder .*name another"):
        goes_on(tmp_path / "new.sqlite", tmp_path / "file")
    assert not (tmp_path / "new.sqlite").exists()


@pytest.mark.parametrize("command", [("why", "patient-1"), ("replay",), ("backup", "copy/clinic.sqlite"), ("staff",)])
def test_its_database_opens_with_every_other_command(
    shown: Shown, tmp_path: Path, command: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, capsys
):
    file = tmp_path / "clinic.sqlite"
    shutil.copy(shown.database, file)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("HOLDLOWER_DATABASE", str(file))
    monkeypatch.setenv("HOLDLOWER_KEY_FILE", str(keys_apart(shown.database)))
    (tmp_path / "copy").mkdir()

    assert main([*command]) == 0

    said = capsys.readouterr()
    assert said.out
    assert said.err == "" or command == ("replay",)


def test_how_to_look_into_it_is_said(shown: Shown):
    assert f"HOLDLOWER_KEY_FILE={keys_apart(shown.database)}" in shown.out
    assert keys_apart(shown.database).parent != shown.database.parent
