"""SIGKILL in the middle of polling and sending: nothing incoming is lost, nothing outgoing is skipped."""

import asyncio
import contextlib
import random
import sys
from collections import Counter
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from core.store import SqlStore
from tests.builders import a_message, a_person
from tests.standin import StandIn
from tests.standin.fixtures import NOW

pytestmark = pytest.mark.long

IN_FLIGHT = 16
UPDATES, MESSAGES, KILLS = 300, 120, 3


@contextlib.asynccontextmanager
async def working(standin: StandIn, database: Path, key: bytes, hours: int) -> AsyncIterator[None]:
    """A process at work, killed without warning at the end; each starts an hour later, so that leases have run out."""
    arguments = (standin.api, f"sqlite:///{database}", key.decode(), str(hours))
    child = await asyncio.create_subprocess_exec(
        sys.executable, "-m", "tests.bot.messaging.work_child", *arguments, cwd=Path(__file__).parents[3]
    )
    try:
        yield
    finally:
        child.kill()
        await child.wait()


async def test_killed_at_any_moment_nothing_is_lost_and_only_what_was_under_way_may_come_twice(
    standin: StandIn, sqlite_store: SqlStore, tmp_path: Path, key: bytes
) -> None:
    dice, people = random.Random(20260302), [standin.person(f"P{n}") for n in range(30)]
    keys, database = [f"message {n}" for n in range(MESSAGES)], tmp_path / "store.db"
    with sqlite_store.writing() as unit:
        for n, one in enumerate(keys):
            person = a_person(id=f"p{n}", channel="telegram", address=str(people[n % 30].chat))
            unit.outbox.put(a_message(person, key=one, at=NOW))
        unit.commit()

    for hours in range(KILLS):
        for n in range(UPDATES // KILLS):
            dice.choice(people).says(f"answer {hours} {n}")
        goal = len(standin.sent("sendMessage")) + dice.randint(5, 30)
        async with working(standin, database, key, hours), asyncio.timeout(20):
            while len(standin.sent("sendMessage")) < goal:
                await asyncio.sleep(0.002)
    async with working(standin, database, key, KILLS), asyncio.timeout(20):
        while len({text for person in people for text in person.texts}) < MESSAGES or standin.waiting:
            await asyncio.sleep(0.01)

    copies = Counter(text for person in people for text in person.texts)
    assert set(copies) == set(keys)
    assert max(copies.values()) <= 1 + KILLS
    assert sum(count - 1 for count in copies.values()) <= KILLS * IN_FLIGHT
    stored: list[int] = []
    with sqlite_store.writing() as unit:
        while batch := unit.inbox.claim(NOW, 100):
            stored += [item.update.update_id for item in batch]
            for item in batch:
                unit.inbox.done(item.id, NOW)
    assert sorted(stored) == sorted(standin.confirmed)
    assert len(stored) == UPDATES
