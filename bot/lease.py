"""What only one of several processes may do at a time, and the others' waiting for its end or its death."""

import asyncio
import contextlib
import datetime as dt
import logging
import time
from collections.abc import Awaitable, Callable

from bot.in_store import InStore
from bot.logs import trail
from bot.sending.pace import any_of
from core.errors import StoreError
from core.ports import Store

log = logging.getLogger(__name__)

# Judgement; seconds. Whoever takes over looks every LOOK_S, so that a death costs 18 s at most.
LEASE_S = 15.0
LOOK_S = 3.0


class Lease:
    """The right to a task called `name`, held in the database by one `owner` at a time, and renewed while it works."""

    def __init__(
        self,
        store: Store,
        in_store: InStore,
        clock: Callable[[], dt.datetime],
        name: str,
        owner: str,
        *,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        self._store, self._in_store, self._clock = store, in_store, clock
        self._name, self._owner, self._monotonic = name, owner, monotonic
        self._ours_until = -1.0

    async def run(self, stop: asyncio.Event, work: Callable[[asyncio.Event], Awaitable[None]]) -> None:
        """Do `work` while the lease is ours, until `stop` or its end; it must leave soon after its event is set.

        What `work` raises is raised. The lease is given back at the end, so that another need not wait.
        """
        try:
            while not stop.is_set():
                if await self._take():
                    log.info("ours to do", extra={"task": self._name})
                    await self._hold(stop, work)
                else:
                    await any_of((stop,), LOOK_S)
        finally:
            with contextlib.suppress(StoreError):
                await self._in_store(self._drop)

    async def _hold(self, stop: asyncio.Event, work: Callable[[asyncio.Event], Awaitable[None]]) -> None:
        leave, ended = asyncio.Event(), asyncio.Event()
        task = asyncio.ensure_future(work(leave))
        task.add_done_callback(lambda _: ended.set())
        try:
            while True:
                await any_of((stop, ended), LOOK_S)
                if stop.is_set() or ended.is_set() or not await self._take():
                    break
        finally:
            leave.set()
            await task

    async def _take(self) -> bool:
        """Take or renew it. While the database is away it stays ours to its end: nobody else can take it either."""
        began = self._monotonic()
        try:
            ours = await self._in_store(self._ask)
        except StoreError as error:
            log.warning("lease not renewed", extra={"task": self._name, "why": trail(error)})
            return self._monotonic() + LOOK_S < self._ours_until
        self._ours_until = began + LEASE_S if ours else -1.0
        return ours

    def _ask(self) -> bool:
        with self._store.writing() as unit:
            ours = unit.take_lease(self._name, self._owner, self._clock(), LEASE_S)
            unit.commit()
        return ours

    def _drop(self) -> None:
        with self._store.writing() as unit:
            unit.drop_lease(self._name, self._owner)
            unit.commit()
