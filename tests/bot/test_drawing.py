import asyncio
import multiprocessing
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from bot import drawing as drawing_module
from bot.drawing import Drawing, DrawingError
from bot.drawing.charts import draw
from tests.bot.progress_cases import ENGLISH, a_course

pytestmark = pytest.mark.long

PROGRAM = """
import asyncio, multiprocessing, os, sys
from bot.drawing import Drawing
from bot.drawn.course import Day, ProgressFacts, Words

FACTS = ProgressFacts((Day("2026-03-09", 4, True),), (), (), Words(*9 * ("x",), ("x",) * 12))

async def main():
    drawing = Drawing()
    picture = await drawing.draw(FACTS)
    print(len(picture), *sorted({name.partition(".")[0] for name in sys.modules}))
    if "--die" in sys.argv:
        print(multiprocessing.active_children()[0].pid, flush=True)
        os.kill(os.getpid(), 9)
    drawing.close()

if __name__ == "__main__":
    asyncio.run(main())
"""


@pytest.fixture
async def drawing():
    drawing = Drawing()
    yield drawing
    drawing.close()


@pytest.fixture
def program(tmp_path):
    script = tmp_path / "program.py"
    script.write_text(PROGRAM)
    return [sys.executable, str(script)]


def child() -> int:
    (process,) = multiprocessing.active_children()
    assert process.pid
    return process.pid


async def test_a_child_that_was_killed_costs_no_picture(drawing):
    facts = a_course(60)
    expected = draw(facts)

    assert await drawing.draw(facts) == expected
    first = child()
    os.kill(first, signal.SIGKILL)  # while idle
    assert await drawing.draw(facts) == expected
    at_work = asyncio.gather(*(drawing.draw(facts) for _ in range(8)))
    await asyncio.sleep(0.02)
    os.kill(child(), signal.SIGKILL)

    assert await at_work == [expected] * 8
    assert child() != first


async def test_facts_that_cannot_be_drawn_are_told_and_the_child_goes_on(drawing):
    good = a_course(3)
    bad = type(good)(days=good.days, bands=good.bands, flares=("yesterday",), words=ENGLISH)

    with pytest.raises(DrawingError, match="cannot be drawn"):
        await drawing.draw(bad)
    pid = child()

    assert await drawing.draw(good)
    assert child() == pid


async def test_a_picture_that_takes_too_long_is_given_up_and_leaves_no_process():
    drawing = Drawing(limit_s=0.005)  # no picture is that quick

    with pytest.raises(DrawingError, match=r"more than 0\.005 s"):
        await drawing.draw(a_course(730))

    drawing.close()
    assert await gone_children()


async def gone_children() -> bool:
    for _ in range(100):
        if not multiprocessing.active_children():
            return True
        await asyncio.sleep(0.02)
    return False


async def test_a_crowd_is_turned_away_at_once_and_closing_ends_the_child(drawing, monkeypatch):
    monkeypatch.setattr(drawing_module, "WAITING", 2)
    facts = a_course(3)

    outcomes = await asyncio.gather(*(drawing.draw(facts) for _ in range(5)), return_exceptions=True)
    drawing.close()

    assert sorted(type(outcome).__name__ for outcome in outcomes) == ["DrawingError"] * 3 + ["bytes"] * 2
    assert not multiprocessing.active_children()
    with pytest.raises(DrawingError, match="closing"):
        await drawing.draw(facts)


def test_the_parent_never_imports_the_plotting_library(program):
    ran = subprocess.run(program, capture_output=True, text=True, timeout=60, check=True)

    size, *modules = ran.stdout.split()
    assert int(size) > 10_000
    assert not {"matplotlib", "numpy", "PIL"} & set(modules)


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="reads process states from /proc")
def test_a_killed_parent_leaves_no_child_behind(program):
    ran = subprocess.run([*program, "--die"], capture_output=True, text=True, timeout=60, check=False)
    pid = int(ran.stdout.split()[-1])

    deadline = time.monotonic() + 10
    while state(pid) not in ("gone", "Z") and time.monotonic() < deadline:
        time.sleep(0.02)

    assert ran.returncode == -signal.SIGKILL
    assert state(pid) in ("gone", "Z")


def state(pid: int) -> str:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return "gone"
