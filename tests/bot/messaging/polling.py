"""A poller with its real parts, and looks into the inbox it fills."""

import asyncio
import contextlib
import datetime as dt
import random
import time
from collections.abc import AsyncIterator, Callable
from typing import Any

from telegram import Bot

from bot.messaging.intake import Intake
from bot.messaging.poller import Poller
from bot.run.in_store import in_thread
from bot.telegram.channel import TelegramChannel
from core.errors import StoreError
from core.records import InboxItem
from core.store import SqlStore
from tests.bot.messaging.world import Clock
from tests.standin.fixtures import NOW


async def until(condition: Callable[[], bool], seconds: float = 5.0) -> None:
    """Wait until it holds; fails when it does not within the time."""
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, "waited in vain"
        await asyncio.sleep(0.005)


class FailingStore:
    """The real store, failing its first writes as a lost database does."""

    def __init__(self, store: SqlStore, failures: int) -> None:
        self.store, self.failures = store, failures

    def writing(self) -> Any:
        if self.failures:
            self.failures -= 1
            raise StoreError("the database cannot be reached")
        return self.store.writing()

    def reading(self) -> Any:
        return self.store.reading()

    def close(self) -> None:
        self.store.close()


def poller_of(bot: Bot, store: Any, channel: TelegramChannel, wake: asyncio.Event, clock: Clock, **more: Any) -> Poller:
    quick: dict[str, Any] = {"first_pause_s": 0.02, "longest_pause_s": 0.1, "poll_s": 20.0, "dice": random.Random(1)}
    intake = Intake(store, in_thread, channel.confirm_tap, wake, clock, more.pop("unwritten", None))
    return Poller(bot, intake, **(quick | more))


@contextlib.asynccontextmanager
async def running(poller: Poller) -> AsyncIterator[asyncio.Task[None]]:
    stop = asyncio.Event()
    task = asyncio.create_task(poller.run(stop))
    try:
        yield task
    finally:
        stop.set()
        await task


def stored(store: SqlStore) -> list[InboxItem]:
    """Everything in the inbox, taken out in the order it is handed out."""
    items: list[InboxItem] = []
    with store.writing() as unit:
        while batch := unit.inbox.claim(NOW + dt.timedelta(days=1), 100):
            items += batch
            for item in batch:
                unit.inbox.done(item.id, NOW)
    return items
