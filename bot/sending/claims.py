"""The outbox's messages in this process's hand: claimed by a lease that is renewed while they are on their way."""

import asyncio
import contextlib
import datetime as dt
import logging
import time
from collections.abc import Callable, Sequence
from typing import TypeVar

from bot.run.in_store import InStore
from core.errors import StoreError
from core.ports import Store, UnitOfWork
from core.records import OutboxItem

log = logging.getLogger(__name__)
T = TypeVar("T")

# All judgement; seconds. A process that dies gives its messages back after LEASE_S + RECOVER_S at most.
LEASE_S = 20.0
RENEW_S = 5.0
RECOVER_S = 5.0


class Claims:
    """Takes messages and keeps their leases alive.

    `owner` names this process, `drawn` its lane (as in core.ports.Sending), `apart_s` keeps a chat's messages apart
    where others send, too.
    """

    def __init__(
        self,
        store: Store,
        in_store: InStore,
        clock: Callable[[], dt.datetime],
        owner: str,
        *,
        drawn: bool | None = None,
        apart_s: float = 0.0,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        self._store, self._in_store, self._clock = store, in_store, clock
        self._owner, self._drawn, self._apart_s, self._monotonic = owner, drawn, apart_s, monotonic
        self._ours_until: dict[int, float] = {}
        self._recover_at = monotonic()

    async def anything(self) -> bool:
        """Whether there is anything to take or to take back: a look without a lock. Raises StoreError."""
        now = self._clock()
        return bool(self._ours_until) or await self._in_store(lambda: self._look(now))

    async def take(self, most: int, resting: Sequence[str] = ()) -> Sequence[OutboxItem]:
        """Claim messages that are due, but none for a chat that is resting."""
        now, began = self._clock(), self._monotonic()
        items = await self._in_store(lambda: self._claim(now, most, resting))
        self._ours_until |= {item.id: began + LEASE_S for item in items}
        return items

    def sure(self, item: OutboxItem) -> bool:
        """Whether the lease holds: a process that stood still must not send what another one may have taken over."""
        return self._monotonic() < self._ours_until.get(item.id, -1.0)

    def let_go(self, item: OutboxItem) -> None:
        """Its end has been told, or it shall be found by its lease."""
        self._ours_until.pop(item.id, None)

    async def recover(self) -> None:
        """Every RECOVER_S, take back what those had in hand who died. Raises StoreError."""
        if self._monotonic() < self._recover_at:
            return
        await self._renew()  # ours first, after a while without the database
        now = self._clock()
        count = await self._in_store(lambda: self._commit(lambda unit: unit.sending.recover(now)))
        self._recover_at = self._monotonic() + RECOVER_S
        if count:
            log.warning("deliveries cut off, now unknown", extra={"count": count})

    async def keep(self) -> None:
        """Renew the leases for ever."""
        while True:
            await asyncio.sleep(RENEW_S)
            with contextlib.suppress(StoreError):
                await self._renew()

    async def _renew(self) -> None:
        if not self._ours_until:
            return
        ids, began = list(self._ours_until), self._monotonic()
        until = self._clock() + dt.timedelta(seconds=LEASE_S)
        still = await self._in_store(lambda: self._commit(lambda unit: unit.sending.renew(ids, self._owner, until)))
        if still == len(ids):  # else some are done, or another's by now; the rest is renewed the next time
            self._ours_until |= {number: began + LEASE_S for number in ids if number in self._ours_until}

    def _look(self, now: dt.datetime) -> bool:
        with self._store.reading() as unit:
            return unit.outbox.waits(now)

    def _claim(self, now: dt.datetime, most: int, resting: Sequence[str]) -> Sequence[OutboxItem]:
        with self._store.writing() as unit:
            items = unit.sending.claim(
                now, most, self._owner, LEASE_S, drawn=self._drawn, apart_s=self._apart_s, resting=resting
            )
            unit.commit()
        return items

    def _commit(self, work: Callable[[UnitOfWork], T]) -> T:
        with self._store.writing() as unit:
            result = work(unit)
            unit.commit()
        return result
