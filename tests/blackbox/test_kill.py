"""The finished program, killed again and again while people write: every answer counts once, in order."""

import asyncio
import datetime as dt
import os
import random
import signal
import sys
from pathlib import Path

from bot.run.app import random_id, utc_now
from bot.settings.file import read_or_make_keys
from bot.wording.messages import in_words
from core.programme.file import default_programme
from core.records import Clinic, Person, Status
from core.store import open_store
from core.use_cases.enrolling import begin_course
from core.use_cases.work import Programmes, Work
from tests.blackbox.conftest import until
from tests.standin import StandIn
from tests.standin.server import TOKEN

ROOT = Path(__file__).parents[2]
PEOPLE, LINES = 6, 5
KILLS = 3  # more, and with three processes, in tests/faults


def midday_zone() -> str:
    """A zone where it is about noon now, so that no evening begins or ends while the test runs."""
    ahead = 12 - utc_now().hour
    return f"Etc/GMT{-ahead:+d}"  # POSIX signs: Etc/GMT-3 is three hours ahead


def environ(folder: Path, api: str) -> dict[str, str]:
    return {
        "HOME": str(folder),
        "PATH": os.environ["PATH"],
        "HOLDLOWER_TOKEN": TOKEN,
        "HOLDLOWER_BASE_URL": api,
        "HOLDLOWER_DATABASE": str(folder / "data" / "clinic.sqlite"),
        "HOLDLOWER_KEY_FILE": str(folder / "keys" / "keys"),
        "HOLDLOWER_CLINIC_ZONE": midday_zone(),
        "HOLDLOWER_POLL_TIMEOUT": "1",
        "HOLDLOWER_LOG_LEVEL": "DEBUG",
    }


def enrolled(work: Work, number: int) -> Person:
    """Somebody who began today; the question comes this evening, hours from now."""
    zone = midday_zone()
    person = Person(
        random_id(), "clinic", "telegram", str(2000 + number), "en", zone, dt.time(19), Status.ENROLLING, work.now
    )
    work.uow.people.save(person)
    return begin_course(work, person, {"side": "left", "rating": 4}).person


async def test_killed_at_any_instant_every_answer_counts_once_and_in_order(tmp_path: Path):
    dice = random.Random(20260302)
    (tmp_path / "data").mkdir()
    keys = read_or_make_keys(tmp_path / "keys" / "keys")
    store = open_store(str(tmp_path / "data" / "clinic.sqlite"), keys)
    with store.writing() as uow:
        uow.clinics.save(Clinic("clinic", "Fennel Lane", midday_zone(), "en", ""))
        work = Work(uow, utc_now(), random_id, Programmes(default_programme()), in_words)
        people = [enrolled(work, number) for number in range(PEOPLE)]
        uow.commit()

    async with StandIn(utc_now) as standin:
        patients = [standin.person("Patient", chat=2000 + number) for number in range(PEOPLE)]
        log = (tmp_path / "log").open("wb")

        async def write() -> None:
            for line in range(LINES):
                for patient in patients:
                    patient.says("3, did 4" if line == 0 else f"sorry, meant {3 + line}")
                    await asyncio.sleep(dice.uniform(0.0, 0.15))

        async def start() -> asyncio.subprocess.Process:
            return await asyncio.create_subprocess_exec(
                sys.executable, "-m", "bot", "serve", cwd=ROOT, env=environ(tmp_path, standin.api), stderr=log
            )

        writing = asyncio.create_task(write())
        for _ in range(KILLS):
            process = await start()
            await asyncio.sleep(dice.uniform(1.2, 2.6))
            process.send_signal(signal.SIGKILL)
            await process.wait()
        await writing
        told = (tmp_path / "log").stat().st_size
        process = await start()
        wanted = f"pain {2 + LINES}, 4 of 4 sets."
        await until(lambda: all(patient.got and wanted in patient.last.text for patient in patients), 40)
        await until(lambda: b"serving" in (tmp_path / "log").read_bytes()[told:])
        process.send_signal(signal.SIGTERM)
        assert await asyncio.wait_for(process.wait(), 10) == 0
        log.close()

    with store.reading() as uow:
        for person, patient in zip(people, patients, strict=True):
            answers = uow.diary.answers(person.id)
            assert [answer.pain for answer in answers] == [3 + line for line in range(LINES)]
            assert len(uow.decisions.of(uow.diary.course_of(person.id).id)) == 1
            noted = [text for text in patient.texts if text.startswith(("Noted for", "Changed for"))]
            assert list(dict.fromkeys(noted)) == sorted(set(noted), key=noted.index)
            assert LINES <= len(noted) <= LINES + KILLS  # one repeat at most for each delivery that was left unknown
    store.close()
    logged = (tmp_path / "log").read_text(encoding="utf-8")
    assert "serving" in logged
    assert TOKEN not in logged
    assert "meant" not in logged
    assert standin.violations == []
