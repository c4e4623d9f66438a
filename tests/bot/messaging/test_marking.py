"""What became of messages is written in groups, and no group loses what one of it cannot do."""

import asyncio
from collections.abc import Callable
from typing import Any

import pytest

from bot.messaging.claims import Marker, Sent
from bot.run.in_store import in_thread
from core.errors import StoreError
from core.ports import UnitOfWork
from core.records import OutboxState
from tests.bot.messaging.polling import FailingStore
from tests.bot.messaging.world import World
from tests.standin import StandIn


def claimed(world: World, standin: StandIn, count: int) -> list[tuple[str, int]]:
    """(key, row) of so many messages on their way."""
    keys = [world.put(standin.person(f"P{n}")) for n in range(count)]
    with world.store.writing() as unit:
        items = unit.sending.claim(world.clock(), count, "one", 60)
        unit.sending.leaves([item.id for item in items], "one")
        unit.commit()
    return list(zip(keys, sorted(item.id for item in items), strict=True))


def sent(world: World, row: int) -> Sent:
    return Sent(row, world.clock(), "7")


async def test_marks_that_come_during_a_commit_share_the_next_one(world: World, standin: StandIn) -> None:
    commits = 0

    async def counting(job: Callable[[], Any]) -> Any:
        nonlocal commits
        commits += 1
        return await in_thread(job)

    rows, marker = claimed(world, standin, 40), Marker(world.store, counting)

    await asyncio.gather(*(marker(row, sent(world, row)) for _, row in rows))

    assert {world.state(key) for key, _ in rows} == {OutboxState.SENT}
    assert commits <= 2


async def test_a_mark_that_cannot_be_written_is_told_and_the_others_of_its_group_are_written(
    world: World, standin: StandIn
) -> None:
    def broken(unit: UnitOfWork) -> None:
        raise KeyError("a mark with a fault of its own")

    rows, marker = claimed(world, standin, 3), Marker(world.store, in_thread)

    told = await asyncio.gather(
        *(marker(row, broken if place == 1 else sent(world, row)) for place, (_, row) in enumerate(rows)),
        return_exceptions=True,
    )

    assert [type(one) for one in told] == [type(None), KeyError, type(None)]
    assert [world.state(key) for key, _ in rows] == [OutboxState.SENT, OutboxState.SENDING, OutboxState.SENT]


async def test_a_database_that_is_away_for_a_moment_is_waited_for(
    world: World, standin: StandIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.messaging.claims.MARK_RETRIES_S", (0.01, 0.01))
    rows = claimed(world, standin, 2)
    away: Any = FailingStore(world.store, 3)  # the first write, then once for each of the two

    marker = Marker(away, in_thread)
    await asyncio.gather(*(marker(row, sent(world, row)) for _, row in rows))
    assert {world.state(key) for key, _ in rows} == {OutboxState.SENT}

    away.failures = 100
    with pytest.raises(StoreError):
        await marker(rows[0][1], sent(world, rows[0][1]))
