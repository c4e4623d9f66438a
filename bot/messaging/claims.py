"""That messages leave and what became of them, on its way into the store: many share a commit."""

import asyncio
import contextlib
import datetime as dt
import logging
import random
import time
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from bot.ports import DeliveryUnknown, NotDelivered
from bot.run.in_store import InStore, Together, Told
from bot.run.logs import trail
from core.errors import StoreError
from core.ports import Store, UnitOfWork
from core.records import LOCKED, OutboxItem, Outgoing, Priority

log = logging.getLogger(__name__)

Mark = Callable[[UnitOfWork], None]

# All judgement; seconds. The longest pause bounds what is untold after an outage; for what may have arrived it bounds
# the copies, too. Of danger a copy is harmless.
FIRST_RETRY_S = 2.0
LONGEST_RETRY_S, LONGEST_UNKNOWN_S, LONGEST_OF_DANGER_S = 300.0, 600.0, 120.0
UNTIL_DELIVERED = frozenset({Priority.DANGER, Priority.NOTICE})
GIVE_UP_AFTER = dt.timedelta(hours=24)
GIVE_UP_REPLY_AFTER = dt.timedelta(hours=6)  # later the person has asked again, or read it elsewhere


@dataclass(frozen=True, slots=True)
class Sent:
    """It has arrived; many of these are written together."""

    item_id: int
    at: dt.datetime
    message_id: str | None

    def __call__(self, unit: UnitOfWork) -> None:
        unit.sending.sent(self.item_id, self.at, self.message_id)


def retry(item: OutboxItem, not_before: dt.datetime) -> Mark:
    """It has not been delivered and shall be tried from `not_before` on."""
    return lambda unit: unit.sending.retry(item.id, not_before)


def put_back(item: OutboxItem, not_before: dt.datetime) -> Mark:
    """It had to wait too long for its turn, and has not been tried."""
    return lambda unit: unit.sending.put_back(item.id, not_before)


def failed(item: OutboxItem, why: str, now: dt.datetime, *, lost: bool = True) -> Mark:
    """It is given up; `lost` when somebody has to be told so. `why` must not hold what the message says."""
    log.error("message given up", extra={"outbox": item.id, "kind": item.message.kind, "why": why})
    return lambda unit: unit.sending.failed(item.id, now, why, lost=lost)


def gives_up_after(message: Outgoing) -> dt.timedelta | None:
    """How long it is tried; None: until it is delivered, or until it expires."""
    if message.priority in UNTIL_DELIVERED or message.expires_at:
        return None
    return GIVE_UP_REPLY_AFTER if message.priority == Priority.REPLY else GIVE_UP_AFTER


def later(error: NotDelivered | DeliveryUnknown, item: OutboxItem, now: dt.datetime, dice: random.Random) -> Mark:
    """Another try after a growing and jittered pause, or the end of trying."""
    unknown = isinstance(error, DeliveryUnknown)
    phrase = "delivery unknown" if unknown else "not delivered"
    log.warning(phrase, extra={"outbox": item.id, "tries": item.tries, "why": str(error)})
    patience = gives_up_after(item.message)
    if patience is not None and now - item.message.at > patience:
        return failed(item, f"{phrase} for {patience.total_seconds() / 3600:g} hours", now)
    longest = LONGEST_UNKNOWN_S if unknown else LONGEST_RETRY_S
    if item.message.priority == Priority.DANGER:
        longest = LONGEST_OF_DANGER_S
    pause = min(FIRST_RETRY_S * 2.0 ** min(max(item.tries - 1, 0), 16), longest) * dice.uniform(0.5, 1.0)
    not_before = now + dt.timedelta(seconds=pause)
    if unknown:
        return lambda unit: unit.sending.unknown(item.id, not_before)
    return retry(item, not_before)


MARK_RETRIES_S = (0.1, 0.5, 2.0, 5.0, 10.0, 20.0)  # judgement


class Marker:
    """Writes marks. After a send this must not fail lightly: unmarked means sent again."""

    def __init__(self, store: Store, in_store: InStore) -> None:
        self._store, self._in_store = store, in_store
        self._put = Together(self._write)

    async def __call__(self, item_id: int, mark: Mark) -> None:
        """Write one mark; returns when it is committed. Raises StoreError when that fails again and again."""
        await self._put((item_id, mark))

    async def stop(self) -> None:
        """Give up what is not written yet: its lease gives it back, as unknown."""
        await self._put.close(at_once=True)

    async def _write(self, group: Sequence[tuple[int, Mark]]) -> Sequence[Exception | None]:
        try:
            await self._in_store(partial(self._commit, [mark for _, mark in group]))
        except Exception as error:
            # one bad mark must not spoil the others
            log.error("outcomes not stored together", extra={"count": len(group), "why": type(error).__name__})
            return await asyncio.gather(*(self._alone(item_id, mark) for item_id, mark in group))
        return [None] * len(group)

    async def _alone(self, item_id: int, mark: Mark) -> Exception | None:
        """Write one by itself; returns the error in which that ended."""
        for pause in (*MARK_RETRIES_S, None):
            try:
                await self._in_store(partial(self._commit, [mark]))
            except StoreError as error:
                if pause is None:
                    return error
                log.error("outcome not stored, trying again", extra={"outbox": item_id, "pause_s": pause})
                await asyncio.sleep(pause)
            except Exception as error:
                return error
            else:
                return None
        return None

    def _commit(self, marks: Sequence[Mark]) -> None:
        with self._store.writing() as unit:
            sent = [mark for mark in marks if isinstance(mark, Sent)]
            unit.sending.all_sent([(mark.item_id, mark.at, mark.message_id) for mark in sent])
            for mark in marks:
                if not isinstance(mark, Sent):
                    mark(unit)
            unit.commit()


T = TypeVar("T")

# All judgement; seconds. A process that dies gives its messages back after LEASE_S + RECOVER_S at most; where its lock
# tells of its death, when the lock has been free for DEAD_S: so long a live one may take to connect anew.
LEASE_S = 20.0
RENEW_S = 5.0
RECOVER_S = 5.0
DEAD_S, LOOK_S = 1.5, 1.0


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
        told: Told,
        *,
        drawn: bool | None = None,
        apart_s: float = 0.0,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        self._store, self._in_store, self._clock, self._told = store, in_store, clock, told
        self._owner, self._drawn, self._apart_s, self._monotonic = owner, drawn, apart_s, monotonic
        self._ours_until: dict[int, float] = {}
        self._recover_at = self._look_at = monotonic()
        self._free: dict[str, float] = {}  # since when the locks of others have been found free
        self._leaving = Together(self._leave)

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

    async def leaves(self, item: OutboxItem) -> bool:
        """Note, just before its call, that it leaves; False when it is not ours to send any more.

        Raises StoreError: it must not be sent now.
        """
        return self._sure(item) and await self._leaving(item.id) and self._sure(item)

    def _sure(self, item: OutboxItem) -> bool:
        """Whether the lease holds: a process that stood still must not send what another one may have taken over."""
        return self._monotonic() < self._ours_until.get(item.id, -1.0)

    def let_go(self, item: OutboxItem) -> None:
        """Its end has been told, or it shall be found by its lease."""
        self._ours_until.pop(item.id, None)

    async def recover(self) -> None:
        """Take back what those had in hand who died, and every RECOVER_S whatever has lapsed. Raises StoreError."""
        dead = await self._dead()
        if not dead and self._monotonic() < self._recover_at:
            return
        await self._renew()  # ours first, after a while without the database
        now = self._clock()
        count = await self._in_store(lambda: self._commit(lambda unit: unit.sending.recover(now, dead=dead)))
        self._recover_at = self._monotonic() + RECOVER_S
        if count:
            log.warning("deliveries cut off, now unknown", extra={"count": count})

    async def _dead(self) -> Collection[str]:
        now = self._monotonic()
        if not self._told.locked or now < self._look_at:
            return ()
        free = await self._in_store(self._unlocked)
        self._look_at = now + LOOK_S
        self._free = {owner: self._free.get(owner, now) for owner in free}
        return [owner for owner, since in self._free.items() if now >= since + DEAD_S]

    def _unlocked(self) -> Collection[str]:
        with self._store.reading() as unit:
            owners = unit.sending.owners()
        return [each for each in owners if each.startswith(LOCKED) and not self._store.held(each)]

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

    async def _leave(self, item_ids: Sequence[int]) -> Sequence[bool]:
        try:
            left = await self._in_store(
                lambda: self._commit(lambda unit: unit.sending.leaves(item_ids, self._owner))
            )
        except StoreError:
            raise
        except Exception as error:
            raise StoreError(trail(error)) from error
        return [item_id in left for item_id in item_ids]

    def _look(self, now: dt.datetime) -> bool:
        with self._store.reading() as unit:
            return unit.outbox.waits(now)

    def _claim(self, now: dt.datetime, most: int, resting: Sequence[str]) -> Sequence[OutboxItem]:
        owner = LOCKED + self._owner if self._told.locked else self._owner
        with self._store.writing() as unit:
            items = unit.sending.claim(
                now, most, owner, LEASE_S, drawn=self._drawn, apart_s=self._apart_s, resting=resting
            )
            unit.commit()
        return items

    def _commit(self, work: Callable[[UnitOfWork], T]) -> T:
        with self._store.writing() as unit:
            result = work(unit)
            unit.commit()
        return result
