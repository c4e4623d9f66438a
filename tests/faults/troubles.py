"""The faults, each a thing done to a trial while its patients are asked and answer."""

import asyncio
import contextlib
import copy
import resource
import time
from collections.abc import Callable
from typing import Any

from tests.faults.trial import Fault, Trial
from tests.standin import DropAfter, DropBefore, Late, slow_down, trouble

WORKS_WITHIN_S = 10.0  # a process has started and something is due
SPREAD_S = 6.0  # over which a fault happens again and again: from before the first question to the last answers


async def _again(trial: Trial, times: int, do: Callable[[], None]) -> None:
    for _ in range(times):
        await asyncio.sleep(trial.dice.uniform(0.3, 1.7) * SPREAD_S / times)
        do()
        trial.faults += 1


def on_sending(times: int, make: Callable[[], Any], burst: int = 1) -> Fault:
    """So many sends (bursts of them) meet this."""

    async def fault(trial: Trial) -> None:
        await trial.begun()  # or all of them would meet the first questions
        await _again(trial, times, lambda: trial.standin.troubles.add("sendMessage", *(make() for _ in range(burst))))

    return fault


def on_polling(times: int, make: Callable[[], Any]) -> Fault:
    """So many polls meet this."""

    async def fault(trial: Trial) -> None:
        await _again(trial, times, lambda: trial.standin.troubles.add("getUpdates", make()))

    return fault


def cut_before(times: int = 6) -> Fault:
    return on_sending(times, DropBefore)


def cut_after(times: int = 6) -> Fault:
    return on_sending(times, DropAfter)


async def late_answers(trial: Trial) -> None:
    """Sends arrive, and are answered late: whoever is killed in between cannot know. Counted with what kills."""
    trial.standin.troubles.add("sendMessage", *[Late(0.4)] * 1000)


def too_fast(times: int = 3) -> Fault:
    return on_sending(times, lambda: slow_down(1))


def broken_front(times: int = 3) -> Fault:
    return on_sending(times, lambda: trouble(502), burst=3)


def broken_polls(times: int = 4) -> Fault:
    return on_polling(times, lambda: trouble(504))


def cut_polls(times: int = 4) -> Fault:
    return on_polling(times, DropAfter)


async def blocked(trial: Trial) -> None:
    """One patient blocks the bot as soon as they have said something; another one's send meets 403 unannounced."""
    patient = trial.patients[-1]
    await patient.asked.wait()
    await asyncio.sleep(0.2)
    patient.phone.blocked = True
    trial.faults += 1


def repeated(times: int = 8) -> Fault:
    """The service delivers an update again that it has delivered."""

    async def fault(trial: Trial) -> None:
        past: list[dict[str, Any]] = []
        emit = trial.standin.emit_raw

        def remember(update: dict[str, Any]) -> None:
            past.append(copy.deepcopy(update))
            emit(update)

        trial.standin.emit_raw = remember  # type: ignore[method-assign]
        while not past:
            await asyncio.sleep(0.05)
        await _again(trial, times, lambda: emit(copy.deepcopy(trial.dice.choice(past))))

    return fault


def shuffled(times: int = 12) -> Fault:
    """What waits at the service comes in another order than it was written."""

    async def fault(trial: Trial) -> None:
        await _again(trial, times, lambda: trial.dice.shuffle(trial.standin.waiting))

    return fault


def killed(times: int = 4) -> Fault:
    """Processes end without warning while they work, at any instant, and others are started instead."""

    async def fault(trial: Trial) -> None:
        for _ in range(times):
            goal = len(trial.standin.sent("sendMessage")) + trial.dice.randint(1, 3)
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(WORKS_WITHIN_S):
                    while len(trial.standin.sent("sendMessage")) < goal:
                        await asyncio.sleep(0.005)
            await asyncio.sleep(trial.dice.uniform(0.0, 0.5))
            await trial.kill(trial.dice.choice(trial.processes))
            trial.faults += 1
            await trial.start()

    return fault


def restarted(times: int = 2) -> Fault:
    """The database server ends at once and starts again."""

    async def fault(trial: Trial) -> None:
        assert trial.cluster is not None
        for number in range(times):
            await trial.patients[number].asked.wait()
            await asyncio.sleep(trial.dice.uniform(0.0, 1.0))
            await asyncio.to_thread(trial.cluster.crash)
            trial.faults += 1

    return fault


def full_disk(times: int = 2) -> Fault:
    """No file may grow any more for a while: writes fail as on a full disk. Counted where it was felt."""

    async def fault(trial: Trial) -> None:
        await trial.begun()
        for _ in range(times):
            largest = max(path.stat().st_size for path in (trial.folder / "data").iterdir())
            (process,) = trial.processes
            resource.prlimit(process.pid, resource.RLIMIT_FSIZE, (largest, resource.RLIM_INFINITY))
            told, until = trial.told, time.monotonic() + 5
            while trial.told == told and time.monotonic() < until:
                await asyncio.sleep(0.02)
            await asyncio.sleep(0.5)
            trial.faults += trial.told > told
            resource.prlimit(process.pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
            await asyncio.sleep(trial.dice.uniform(0.0, 1.0))

    return fault


def stepped_clock(times: int = 4, *, most_s: float = 1800.0) -> Fault:
    """The clock is set forward and back."""

    async def fault(trial: Trial) -> None:
        for number in range(times):
            await asyncio.sleep(trial.dice.uniform(0.8, 1.6))
            trial.set_clock(trial.dice.uniform(0.2, 1.0) * most_s * (-1) ** number)
            trial.faults += 1
        trial.set_clock(0)

    return fault


async def poisonous(trial: Trial) -> None:
    """Counted only: each patient sends an update on which the program breaks (see child.py)."""
    trial.faults += len(trial.patients)
