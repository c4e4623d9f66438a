"""README's way from nothing to the first patient, walked word for word with the real commands against the stand-in.

What each of them reads is kept as a transcript; codes, dates and places are left out of it, for they differ each time.
"""

import asyncio
import contextlib
import os
import re
import signal
import sys
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from pathlib import Path

from bot.run.app import utc_now
from tests.blackbox.conftest import until
from tests.blackbox.test_transcripts import as_approved
from tests.standin import Person, StandIn
from tests.standin.server import TOKEN

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SECTION = README.partition("## The first patient in fifteen minutes\n")[2].partition("\n## ")[0]
STARTS, READS, DRAWN = 90, 30, 90  # seconds on a busy machine
NOTHING = "None of these"
ENROLMENT = ("Yes", "Yes, all of it", NOTHING, NOTHING, "No", NOTHING, "Right", "4", "Yes", "19:00")
VARIES = (
    (r"[0-9A-Z]{4}(-[0-9A-Z]{4}){3}|[0-9A-Z]{16}", "(code)"),
    (r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d+ \w{3}\b|\d{4}-\d\d-\d\d \d\d:\d\d", "(date)"),
    (r"/\S*/(?=\.config|\.local)", "~/"),
    (r"\d+ messages? waits?\.", "(count) messages wait."),  # the welcome may still be on its way
    (r"\d+\.\d+ GiB", "(size)"), (r"outer-elbow-[0-9a-f]{12}", "(version)"),
    (r"of 20\d\d\.\d+; in Europe/Lisbon it is \d\d:\d\d", "of (date)"),
)  # fmt: skip


@dataclass
class Walk:
    """The commands of one home, and what was said, in order."""

    home: Path
    service: StandIn
    said: list[str] = field(default_factory=list)

    async def run(self, *words: str, typed: str = "") -> tuple[int, str]:
        """One command to its end: its exit code, and what it printed."""
        process = await self.begin(*words)
        out, err = await process.communicate(typed.encode())
        assert not err or words == ("setup",), err.decode()
        self.said += [f"$ holdlower {' '.join(words)}", out.decode()]
        return process.returncode or 0, out.decode()

    async def begin(self, *words: str) -> asyncio.subprocess.Process:
        environ = {
            "HOME": str(self.home), "HOLDLOWER_BASE_URL": self.service.api, "PATH": os.environ["PATH"],
            "MPLCONFIGDIR": str(Path.home() / ".cache" / "matplotlib"),  # its list of fonts takes half a minute to make
        }  # fmt: skip
        pipe = asyncio.subprocess.PIPE
        return await asyncio.create_subprocess_exec(
            sys.executable, "-m", "bot", *words, cwd=ROOT, env=environ, stdin=pipe, stdout=pipe, stderr=pipe
        )

    @contextlib.asynccontextmanager
    async def serving(self) -> AsyncIterator[None]:
        process = await self.begin("serve")
        try:
            await until(lambda: self.service.sent("getUpdates"), within=STARTS)
            yield
        finally:
            process.send_signal(signal.SIGTERM)
            _, log = await asyncio.wait_for(process.communicate(), 30)
            assert process.returncode == 0, log.decode()
            assert "ERROR" not in log.decode()

    async def says(self, person: Person, text: str = "", *, tap: str = "", messages: int = 1) -> str:
        """Somebody types or taps, and reads so many messages; the last of them."""
        before = len(person.got)
        person.taps(tap) if tap else person.says(text)
        await until(lambda: len(person.got) >= before + messages, within=READS if messages < 3 else DRAWN)
        self.said.append(f"{person.first_name} > {(tap and f'[{tap}]') or text}")
        self.reads(person, len(person.got) - before)
        return person.got[-1].text

    def reads(self, person: Person, messages: int = 1) -> None:
        """Keep their latest messages."""
        for seen in sorted(person.got[-messages:], key=lambda seen: (bool(seen.document), bool(seen.photo))):
            drawn = ["(a picture)"] if seen.photo else [f"(a file, {seen.document[0]})"] if seen.document else []
            labels = [f"[{label}]" for label in seen.labels]
            self.said += [f"{person.first_name} reads:", *filter(None, [seen.text]), *drawn, *labels, ""]


def prompts() -> list[tuple[str, str]]:
    """What README shows of the questions and of what is typed; the token is typed, but not shown."""
    shown = [line.strip() for line in SECTION.splitlines() if "]:" in line]
    found = [(f"{before}]:", after.strip()) for before, _, after in (line.partition("]:") for line in shown)]
    return [*found[:-1], (found[-1][0], TOKEN)]


async def test_from_nothing_to_the_first_patient_as_the_readme_says(tmp_path: Path):
    assert re.findall(r"\.venv/bin/holdlower (\w+)", SECTION) == ["setup", "serve", "check"]
    assert re.findall(r"`/(\w+)", SECTION) == ["clinic", "invite"]
    async with StandIn(utc_now) as service:
        walk = Walk(tmp_path, service)
        lead, patient = service.person("Anna", chat=71), service.person("Ines", chat=72)

        code, printed = await walk.run("setup", typed="".join(f"{answer}\n" for _, answer in prompts()))
        assert code == 0
        for question, _ in prompts():
            assert question in printed
        link = re.search(r"https://t\.me/\w+\?start=(\w+)", printed)
        assert link

        async with walk.serving():
            assert "You are the lead of this clinic" in await walk.says(lead, f"/start {link[1]}")
            assert "In an emergency, call 112." in await walk.says(lead, "/clinic")
            await walk.says(lead, "/invite A. B.", messages=3)  # what is drawn comes when it is ready
            way_in = re.search(r"\?start=(\w+)", "\n".join(seen.text for seen in lead.got[-3:]))
            assert way_in
            before = len(lead.got)
            await walk.says(patient, f"/start {way_in[1]}")
            await until(lambda: len(lead.got) > before, within=READS)
            walk.reads(lead)
            before = len(patient.got)
            await walk.says(lead, tap=re.search(r"\[(Yes[^]]*)\]", SECTION)[1])
            await until(lambda: len(patient.got) > before, within=READS)
            walk.reads(patient)
            for label in ENROLMENT[:-1]:
                await walk.says(patient, tap=label)
            await walk.says(patient, tap=ENROLMENT[-1], messages=3)
            assert "Your first day is" in patient.got[-3].text

            code, left = await walk.run("check")
            assert [line.split()[2] for line in left.splitlines() if line.startswith("TO DO")] == ["last"]
            assert code == 1
        assert service.violations == []

    said = "\n".join(walk.said)
    assert TOKEN not in said
    for pattern, shown in VARIES:
        said = re.sub(pattern, shown, said)
    as_approved("first-patient", said + "\n")
