"""People who are counted through a set while the process that counts is killed: `python -m tests.faults.sets`.

A real process on SQLite, a stand-in of the service, real seconds. What is measured: edits within any second, of one
chat and of all; whether each set counts once, or asks where nobody counted for long.
"""

import argparse
import asyncio
import json
import re
import signal
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from time import monotonic

from bot.run.app import random_id, utc_now
from bot.settings.file import read_or_make_keys
from bot.wording.messages import in_words
from core.programme import Programme
from core.programme.file import default_programme, programme_at
from core.records import Clinic, GuidedState
from core.store import open_store
from core.use_cases.work import Programmes, Work
from tests.blackbox.conftest import until
from tests.blackbox.test_kill import ROOT, enrolled, environ, midday_zone
from tests.standin import Person, StandIn

SHORTER = {
    "ready_s = { value = 10": "ready_s = { value = 2",
    "change_s = { value = 10": "change_s = { value = 2",
    "hold_s = { value = 30": "hold_s = { value = 5",
}
SAYING = ("sendMessage", "sendAnimation", "sendVoice", "editMessageText")
ENDS = ("Set 1 of 4 is done", "Sorry")


@dataclass
class Measured:
    """What came of it; times in seconds."""

    people: int
    kills: int
    edits: int = 0
    chat_gap: float = 0.0  # the shortest between two calls to one chat
    most_a_second: int = 0  # calls to all chats
    counted: list[int] = field(default_factory=list)  # sets that count, of each person
    states: list[GuidedState] = field(default_factory=list)
    told: list[str] = field(default_factory=list)  # the last message of each
    off: list[float] = field(default_factory=list)  # how late each "to go" was read, from where the first stood


def shorter_programme(folder: Path) -> Programme:
    """The default one with seconds for which a test can wait."""
    text = default_programme().text
    files = json.loads(text)
    for pattern, other in SHORTER.items():
        files["programme.toml"] = files["programme.toml"].replace(pattern, other)
    folder.mkdir()
    for name, content in files.items():
        (folder / name).write_text(content, encoding="utf-8")
    return programme_at(folder)


async def measure(folder: Path, people: int, kills: Sequence[float], away_s: float, *, short: bool) -> Measured:
    """`kills`: seconds after the start at which the process is killed, to be away for `away_s`."""
    (folder / "data").mkdir()
    programme = shorter_programme(folder / "programme") if short else default_programme()
    store = open_store(
        str(folder / "data" / "clinic.sqlite"), read_or_make_keys(folder / "keys" / "keys")
    )
    with store.writing() as uow:
        uow.clinics.save(Clinic("clinic", "Fennel Lane", midday_zone(), "en", ""))
        uow.clinics.save_programme(programme.version, programme.text, utc_now())
        work = Work(uow, utc_now(), random_id, Programmes(programme), in_words)
        known = [enrolled(work, number) for number in range(people)]
        uow.commit()
    async with StandIn(utc_now) as standin:
        patients = [standin.person("Patient", chat=2000 + number) for number in range(people)]
        settings = environ(folder, standin.api) | ({"HOLDLOWER_PROGRAMME": str(folder / "programme")} if short else {})

        async def start() -> asyncio.subprocess.Process:
            return await asyncio.create_subprocess_exec(
                sys.executable, "-m", "bot", "serve", cwd=ROOT, env=settings, stderr=asyncio.subprocess.DEVNULL
            )

        process = await start()
        try:
            await until(lambda: standin.commands, 30)
            for patient in patients:
                patient.says("/set")
            await until(lambda: all(map(_at_work, patients)), 60)
            began = monotonic()
            for moment in kills:
                await asyncio.sleep(max(0.0, began + moment - monotonic()))
                process.send_signal(signal.SIGKILL)
                await process.wait()
                await asyncio.sleep(away_s)
                process = await start()
            await until(lambda: all(patient.last.text.startswith(ENDS) for patient in patients), 150)
            await asyncio.sleep(0.5)
        finally:
            process.send_signal(signal.SIGTERM)
            await process.wait()
        result = Measured(people, len(kills))
        _calls(standin, result)
        result.told = [patient.last.text for patient in patients]
        assert standin.violations == []
    with store.reading() as uow:
        for person in known:
            course = uow.diary.course_of(person.id)
            sets = uow.sets.on(course.id, course.episode.started) if course else ()
            result.counted.append(sum(each.counted for each in sets))
            result.states += [each.state for each in sets]
    store.close()
    return result


def _at_work(patient: Person) -> bool:
    """Whether the message has come in which the set is counted."""
    return any(seen.text.startswith("Set 1 of") for seen in patient.got)


def _calls(standin: StandIn, result: Measured) -> None:
    told = [call for call in standin.calls if call.method in SAYING]
    result.edits = sum(call.method == "editMessageText" for call in told)
    times = sorted(call.at for call in told)
    result.most_a_second = max(sum(at <= other < at + 1.0 for other in times) for at in times)
    by_chat: dict[object, list[float]] = {}
    for call in told:
        by_chat.setdefault(call.values["chat_id"], []).append(call.at)
    gaps = [later - sooner for each in by_chat.values() for sooner, later in pairwise(each)]
    result.chat_gap = min(gaps, default=0.0)
    for chat in by_chat:
        starts: float | None = None
        for call in standin.sent("editMessageText"):
            left = re.search(r"HOLD\. (\d+) to go", call.values["text"])
            if call.values["chat_id"] != chat or not left:
                starts = None if call.values["chat_id"] == chat else starts
                continue
            starts = starts if starts is not None else call.at + int(left[1])
            result.off.append(call.at + int(left[1]) - starts)


async def main() -> int:
    """Print what was measured; 1 where a set counted twice or was lost."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults.sets", description=__doc__)
    parser.add_argument("--people", type=int, default=12)
    parser.add_argument("--kills", type=float, nargs="*", default=[15.0, 40.0], help="seconds after the start")
    parser.add_argument("--away", type=float, default=1.0, help="seconds before it is started again")
    chosen = parser.parse_args()
    with TemporaryDirectory() as folder:
        found = await measure(Path(folder), chosen.people, chosen.kills, chosen.away, short=False)
    off = sorted(found.off) or [0.0]
    print(f"{found.people} people, {found.kills} kills: {found.edits} edits")
    print(f"{found.most_a_second} calls at most within a second")
    print(f"{found.chat_gap:.2f} s at least between two calls in a chat; counts late by {off[-1]:.2f} s at most")
    print(f"sets that count: {found.counted}; {sorted({each.value for each in found.states})}")
    return 1 if max(found.counted, default=0) > 1 else 0


if __name__ == "__main__":
    sys.exit(asyncio.run(main()))
