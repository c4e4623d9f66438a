"""A few steady ticks, however many patients there are; who is due, the store knows."""

import asyncio
import datetime as dt
import logging
import time
from collections.abc import Callable
from typing import Any

from apscheduler.schedulers.asyncio import AsyncIOScheduler

from bot.run.app import App
from bot.run.in_store import InStore
from bot.run.logs import trail
from bot.run.ticks import sweep, tick
from core.errors import StoreError

log = logging.getLogger(__name__)

TICK_S = 5
SWEEP_S = 3600
JUMP_S = 3600.0


class Jumps:
    """Notices when the wall clock moves otherwise than time does: it was set, or the machine slept."""

    def __init__(self, clock: Callable[[], dt.datetime], steady: Callable[[], float] = time.monotonic) -> None:
        self._clock, self._steady = clock, steady
        self._offset = self._now()

    def _now(self) -> float:
        return self._clock().timestamp() - self._steady()

    def noticed(self) -> bool:
        """Whether it moved by more than an hour since the last look; says so in the log."""
        moved, self._offset = self._now() - self._offset, self._now()
        if abs(moved) <= JUMP_S:
            return False
        log.warning("the clock jumped", extra={"seconds": round(moved)})
        return True


class Ticks:
    """The ticks on the running loop. A late one is run late, never dropped; several missed ones become one."""

    def __init__(self, app: App, in_store: InStore, sent: asyncio.Event, tick_s: float = TICK_S) -> None:
        self._app, self._in_store, self._sent = app, in_store, sent
        self._busy = asyncio.Lock()
        self._jumps = Jumps(app.clock)
        self._scheduler = AsyncIOScheduler(timezone="UTC")
        always: dict[str, Any] = {"misfire_grace_time": None, "coalesce": True, "max_instances": 1}
        self._scheduler.add_job(self._tick, "interval", seconds=tick_s, **always)
        self._scheduler.add_job(self._sweep, "interval", seconds=SWEEP_S, **always)
        self._scheduler.start()
        self._first = asyncio.create_task(self._start())  # what waited while nobody was at work waits no longer

    async def stop(self) -> None:
        """No further tick; the one at work is waited for, since its thread holds the database."""
        self._scheduler.pause()
        await self._first
        async with self._busy:
            self._scheduler.shutdown(wait=False)

    async def _start(self) -> None:
        await self._sweep()
        await self._tick()

    async def _tick(self) -> None:
        if self._jumps.noticed():
            await self._sweep()
        async with self._busy:
            if await _safely(self._in_store, lambda: tick(self._app)):
                self._sent.set()

    async def _sweep(self) -> None:
        async with self._busy:
            await _safely(self._in_store, lambda: sweep(self._app))


async def _safely(in_store: InStore, job: Callable[[], Any]) -> Any:
    try:
        return await in_store(job)
    except StoreError as error:
        log.error("tick not done, comes again", extra={"why": trail(error)})
        return None
