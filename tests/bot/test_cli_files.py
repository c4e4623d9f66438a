"""`holdlower export`, `erase` and `invite` as the clinic lead runs them."""

import csv
import datetime as dt
import json
import stat
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from bot.cli import main
from bot.cli.commands import WRONG
from bot.run.opening import found_app
from bot.settings import load_settings
from core.records import Person, Role
from core.scores.prtee import score_of_total
from core.timetable import evening_of
from core.use_cases.answering import Said, open_evening, record
from core.use_cases.enrolling import begin_course
from core.use_cases.joining import role_of
from core.use_cases.patient_file import record_outcome
from core.use_cases.work import Work
from tests.builders import a_person, a_staff

NAME = "=Quillon, the upholsterer"


@pytest.fixture
def home(own_home: Path) -> Path:
    """A clinic with two patients, each with one evening, in a home of its own."""
    app = found_app(load_settings({"HOME": str(own_home)}))
    store = app.store
    # whenever this runs: after the evening's hour the first one is tomorrow's, and a night belongs to the day before
    morning = dt.datetime.combine(evening_of(app.clock(), "Europe/Lisbon"), dt.time(9), dt.UTC)
    with store.writing() as uow:
        work = replace(app, clock=lambda: morning).work(uow)
        staff = a_staff(id="ben")
        uow.staff.save(staff)
        for who, name in (("quillon", NAME), ("other", "Bram")):
            person = a_person(id=who, name=name, therapist_id="ben")
            uow.people.save(person)
            _one_evening(work, person)
        record_outcome(work, staff, uow.people.get("quillon"), score_of_total(42))
        uow.commit()
    store.close()
    return own_home


def _one_evening(work: Work, person: Person) -> None:
    begun = begin_course(work, person, {"side": "right", "rating": 4})
    today = open_evening(work, begun.person, begun.course, begun.first)
    record(work, begun.person, begun.course, today, Said(5, 4))
    record(work, begun.person, begun.course, work.uow.diary.check_in(today.id), Said(3, None))


def written(home: Path, *options: str) -> tuple[Path, str]:
    out = home / "out"
    assert main(["export", "--out", str(out), *options]) == 0
    (file,) = (each for each in out.iterdir() if not each.name.startswith("audit-"))
    return file, file.read_text(encoding="utf-8")


def test_one_patients_table_is_for_its_owner_alone_and_carries_no_name(home: Path):
    file, text = written(home, "--person", "quillon")
    rows = list(csv.DictReader(text.splitlines()))
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert [(row["alias"], row["pain"], row["sets_done"]) for row in rows] == [("quillon", "3", "4")]
    assert "Quillon" not in text


def test_names_are_written_where_they_are_asked_for_and_no_spreadsheet_runs_them(home: Path):
    _, text = written(home, "--all", "--names")
    assert {row["alias"] for row in csv.DictReader(text.splitlines())} == {f"'{NAME}", "Bram"}


def test_the_whole_caseload_as_json_has_the_same_rows(home: Path):
    _, text = written(home, "--all", "--format", "json")
    assert [(row["alias"], row["pain"]) for row in json.loads(text)] == [("other", 3), ("quillon", 3)]


def test_fhir_carries_ratings_and_scores_by_id_and_says_what_was_corrected(home: Path):
    _, text = written(home, "--all", "--format", "fhir")
    resources = [each["resource"] for each in json.loads(text)["entry"]]
    patients = [each for each in resources if each["resourceType"] == "Patient"]
    pain = [each for each in resources if _loinc(each) == "72514-3"]  # LOINC: pain severity 0-10, as reported
    scores = [each for each in resources if each["resourceType"] == "Observation" and each not in pain]
    assert [each["identifier"][0]["value"] for each in patients] == ["other", "quillon"]
    assert [(each["valueQuantity"]["value"], each["status"]) for each in pain] == [(3, "amended")] * 2
    assert [each["valueQuantity"]["value"] for each in scores] == [42]
    assert "Quillon" not in text


def _loinc(resource: dict[str, Any]) -> str:
    coding: list[dict[str, str]] = resource.get("code", {}).get("coding", [])
    return coding[0].get("code", "") if coding else ""


def test_what_cannot_be_written_or_found_is_said_and_changes_nothing(
    home: Path, capsys: pytest.CaptureFixture[str]
):
    file, text = written(home, "--all")
    out = ["--out", str(file.parent)]
    for options, expected in (
        (["export", "--all", *out], "is there already"),
        (["export", "--person", "nobody", *out], "nobody has this id"),
        (["export", "--all", "--names", "--format", "fhir", *out], "--names"),
        (["export", "--all", "--out", str(file)], "cannot be made"),
        (["erase", "quillon"], "--yes"),
        (["erase", "nobody", "--yes"], "nobody has this id"),
        (["invite", "--role", "therapist"], "holdlower invite --role lead"),
    ):
        assert main(options) == WRONG
        assert expected in capsys.readouterr().err
    assert file.read_text(encoding="utf-8") == text
    assert len(list(file.parent.glob("caseload*"))) == 1


def test_erasing_needs_a_yes_and_is_in_the_trail_without_saying_whom(home: Path):
    assert main(["erase", "quillon", "--yes"]) == 0
    app = found_app(load_settings({"HOME": str(home)}))
    store = app.store
    with store.reading() as uow:
        left, trail = uow.people.all(), uow.audit.latest()
    store.close()
    assert [each.id for each in left] == ["other"]
    assert [(each.action, each.staff_id, each.person_id) for each in trail if each.action == "erase"] == [
        ("erase", "", None)
    ]
    assert {each.person_id for each in trail} <= {None, "other"}
    assert app


@pytest.mark.parametrize("role", [Role.PATIENT, Role.LEAD, Role.THERAPIST])
def test_an_invitation_of_each_role_is_printed_once(home: Path, capsys: pytest.CaptureFixture[str], role: Role):
    app = found_app(load_settings({"HOME": str(home)}))
    store = app.store
    with store.writing() as uow:
        uow.staff.save(a_staff(lead=True))
        uow.commit()
    assert main(["invite", "--role", role.value, "--for", "somebody"]) == 0
    printed = capsys.readouterr().out
    code = printed.split("Code:")[1].split()[0]
    with store.writing() as uow:
        assert role_of(app.work(uow), code) == role
    store.close()


def trail(capsys: pytest.CaptureFixture[str], *options: str) -> list[list[str]]:
    capsys.readouterr()
    assert main(["audit", *options]) == 0
    return list(csv.reader(capsys.readouterr().out.splitlines(), strict=True))


def test_the_trail_can_be_read_filtered_and_is_part_of_everything(home: Path, capsys: pytest.CaptureFixture[str]):
    written(home, "--person", "other")
    head, *lines = trail(capsys)
    assert head == ["at", "staff", "name", "action", "person", "detail"]
    assert ["ben", "outcome", "quillon"] in [[line[1], line[3], line[4]] for line in lines]
    assert lines == sorted(lines, key=lambda line: line[0])
    assert {line[4] for line in trail(capsys, "--person", "quillon")[1:]} == {"quillon"}
    assert {line[1] for line in trail(capsys, "--staff", "ben")[1:]} == {"ben"}
    assert len(trail(capsys, "--until", "2020-01-01")) == 1
    assert len(trail(capsys, "--since", "2020-01-01")) > 2
    assert main(["audit", "--since", "yesterday"]) == WRONG
    assert main(["export", "--all", "--out", str(home / "everything")]) == 0
    (file,) = (home / "everything").glob("audit-*.csv")
    assert "quillon" in file.read_text(encoding="utf-8")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
