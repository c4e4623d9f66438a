"""One token bucket for several processes: turns at sending are taken in the database, a few at a time."""

import asyncio
import contextlib
import time
from collections import deque
from collections.abc import Callable

from bot.run.in_store import InStore
from bot.sending.pace import USED
from core.errors import StoreError
from core.ports import Store
from core.records import Turns

AHEAD_S = 0.25  # turns are taken this far ahead: enough for an even rate, little for a reply to wait behind
ASK_AGAIN_S = 0.5  # a halt may be another process's, and a longer one


class SharedPace:
    """`per_second` turns for all processes of the clinic together, evenly spaced by the database server's clock."""

    def __init__(
        self,
        store: Store,
        in_store: InStore,
        per_second: float,
        *,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        self._store, self._in_store, self._monotonic = store, in_store, monotonic
        self._gap_s = 1 / (per_second * USED)
        self._waiting: deque[tuple[float, asyncio.Future[float]]] = deque()  # (latest moment, when its turn is)
        self._asking: asyncio.Task[None] | None = None

    async def turn(self, *, longest_s: float) -> float:
        """Wait for a turn and return 0.0; the seconds still to wait, at once, when that would exceed `longest_s`.

        Raises StoreError when the database cannot be asked.
        """
        asked: asyncio.Future[float] = asyncio.get_running_loop().create_future()
        self._waiting.append((self._monotonic() + longest_s, asked))
        if self._asking is None or self._asking.done():
            self._asking = asyncio.create_task(self._ask())
        at = await asked
        if at < 0:
            return -at
        await asyncio.sleep(at - self._monotonic())
        return 0.0

    async def halt(self, seconds: float) -> None:
        """No turn for anybody within the next `seconds`; where the database cannot be told, at least none here."""
        with contextlib.suppress(StoreError):
            await self._in_store(lambda: self._halt(seconds))

    async def _ask(self) -> None:
        """Take turns for all who wait in this process, in their order, in as few transactions as that takes."""
        while self._waiting:
            count = len(self._waiting)
            try:
                turns = await self._in_store(lambda: self._take(count))  # noqa: B023 run before it changes
            except StoreError as error:
                self._fail(error)
                return
            self._hand_out(turns)
            if not turns.given:
                await asyncio.sleep(max(0.001, min(turns.first_s - AHEAD_S / 2, ASK_AGAIN_S)))

    def _hand_out(self, turns: Turns) -> None:
        now = self._monotonic()
        for number in range(turns.given):
            _, asked = self._waiting.popleft()
            if not asked.done():
                asked.set_result(now + turns.first_s + number * self._gap_s)
        if not turns.given:
            too_late = [each for each in self._waiting if now + turns.first_s > each[0]]
            for each in too_late:
                self._waiting.remove(each)
                if not each[1].done():
                    each[1].set_result(-turns.first_s)

    def _fail(self, error: StoreError) -> None:
        while self._waiting:
            _, asked = self._waiting.popleft()
            if not asked.done():
                asked.set_exception(error)

    def _take(self, count: int) -> Turns:
        with self._store.writing() as unit:
            turns = unit.pace.take(count, self._gap_s, AHEAD_S)
            unit.commit()
        return turns

    def _halt(self, seconds: float) -> None:
        with self._store.writing() as unit:
            unit.pace.halt(seconds)
            unit.commit()
