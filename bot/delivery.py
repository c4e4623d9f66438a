"""The outbox on its way out: claimed, worded, paced, sent, and marked by what the answer means."""

import asyncio
import contextlib
import datetime as dt
import logging
import random
import time
from collections.abc import Awaitable, Callable, Mapping, Sequence
from typing import TypeVar

from bot.bucket import Bucket
from bot.in_store import InStore
from bot.logs import trail
from bot.pace import wait_turn
from bot.ports import (
    Channel,
    DeliveryUnknown,
    NotDelivered,
    Refused,
    Rendered,
    TooFast,
    Unreachable,
)
from core.errors import SettingsError, StoreError
from core.ports import Store, UnitOfWork
from core.records import OutboxItem, Outgoing

log = logging.getLogger(__name__)
T = TypeVar("T")

Render = Callable[[Outgoing], Awaitable[Rendered]]

# All judgement; seconds. A lease outlasts the longest wait in the bucket and the longest call, so that nobody else
# takes a message that is still on its way.
LEASE_S = 180.0
LONGEST_WAIT_S = 20.0
FIRST_RETRY_S, LONGEST_RETRY_S = 2.0, 300.0
UNKNOWN_RETRY_S = 15.0
GIVE_UP_AFTER = dt.timedelta(hours=24)
MARK_RETRIES_S = (0.1, 0.5, 2.0, 5.0, 10.0, 20.0)


class Delivery:
    """Drains the outbox; that replies go first, and one message of a chat at a time, is what the store hands out.

    `render` words one message, `on_unreachable` is told the person's id when they have blocked us, `clock` is the
    program's own (it stamps rows), `monotonic` real time in seconds (it paces). `owner` names this process.
    """

    def __init__(
        self,
        store: Store,
        channels: Mapping[str, Channel],
        render: Render,
        bucket: Bucket,
        clock: Callable[[], dt.datetime],
        in_store: InStore,
        *,
        owner: str,
        on_unreachable: Callable[[str], Awaitable[None]] | None = None,
        in_flight: int = 16,
        idle_s: float = 1.0,
        monotonic: Callable[[], float] = time.monotonic,
        dice: random.Random | None = None,
    ) -> None:
        self._store, self._channels, self._render = store, channels, render
        self._bucket, self._clock, self._in_store = bucket, clock, in_store
        self._owner, self._on_unreachable = owner, on_unreachable
        self._in_flight, self._idle_s = in_flight, idle_s
        self._monotonic, self._dice = monotonic, dice or random.Random()
        self._sending: set[asyncio.Task[None]] = set()
        self._stopped_by: SettingsError | None = None

    async def run(self, stop: asyncio.Event, wake: asyncio.Event, *, grace_s: float = 10.0) -> None:
        """Deliver until `stop`, looking again at every `wake` and each `idle_s`.

        What is under way then has `grace_s` seconds; after that it stays claimed until its lease ends, as unknown.
        Raises SettingsError when the service no longer accepts the token.
        """
        recover_at, failures = self._monotonic(), 0
        while not stop.is_set() and self._stopped_by is None:
            wake.clear()
            try:
                if self._monotonic() >= recover_at:
                    await self._recover()
                    recover_at = self._monotonic() + LEASE_S / 2
                await self._start(self._in_flight - len(self._sending))
                failures = 0
            except StoreError as error:
                log.error("outbox not readable", extra={"why": type(error).__name__})
                failures += 1
            pause = min(self._idle_s * 2.0**failures, 30.0) if failures else self._idle_s
            await self._until_something(stop, wake, pause, slots=not failures)
        if self._sending:
            await asyncio.wait(self._sending, timeout=grace_s)
            for task in self._sending:
                task.cancel()
            await asyncio.gather(*self._sending, return_exceptions=True)
        if self._stopped_by is not None:
            raise self._stopped_by

    async def drain_once(self) -> int:
        """Deliver everything that is due now and what becomes due meanwhile; returns how many were taken in hand.

        Raises StoreError, or SettingsError when the service does not accept the token.
        """
        taken = 0
        while self._stopped_by is None and (started := await self._start(self._in_flight)):
            taken += started
            await asyncio.gather(*self._sending)
        if self._stopped_by is not None:
            raise self._stopped_by
        return taken

    async def _start(self, places: int) -> int:
        """Claim up to `places` messages, committed before anything leaves, and set out with each."""
        if places <= 0 or self._bucket.halted_for(self._monotonic()):
            return 0  # a claimed message would only wait here and use up its lease
        now = self._clock()
        items = await self._in_store(lambda: self._claim(now, places))
        for item in items:
            task = asyncio.create_task(self._deliver(item))
            self._sending.add(task)
            task.add_done_callback(self._sending.discard)
        return len(items)

    def _claim(self, now: dt.datetime, places: int) -> Sequence[OutboxItem]:
        with self._store.writing() as unit:
            items = unit.claim_outbox(now, places, self._owner, LEASE_S)
            unit.commit()
        return items

    async def _recover(self) -> None:
        now = self._clock()
        count = await self._in_store(lambda: self._commit(lambda unit: unit.recover_outbox(now)))
        if count:
            log.warning("deliveries cut off, now unknown", extra={"count": count})

    async def _until_something(
        self, stop: asyncio.Event, wake: asyncio.Event, pause: float, *, slots: bool
    ) -> None:
        """Wait for `stop`, `wake`, a place that becomes free, or `pause` seconds."""
        waits = [asyncio.ensure_future(stop.wait()), asyncio.ensure_future(wake.wait())]
        try:
            watched = {*waits, *self._sending} if slots else {waits[0]}
            await asyncio.wait(watched, timeout=pause, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for wait in waits:
                wait.cancel()

    async def _deliver(self, item: OutboxItem) -> None:
        """One claimed message to its end. Nothing that goes wrong with it may reach the others."""
        began = self._monotonic()
        try:
            mark = await self._attempt(item)
            await self._mark(item, mark)
        except SettingsError as error:
            self._stopped_by = error
            await self._mark(item, self._later(NotDelivered(str(error)), item))
        except Exception as error:
            # Left claimed: when the lease ends its delivery is unknown, which is exactly what we know.
            log.error("delivery broke off", extra={"outbox": item.id, "why": trail(error)})
        log.debug("delivery done", extra={"outbox": item.id, "ms": round((self._monotonic() - began) * 1000)})

    async def _attempt(self, item: OutboxItem) -> "Mark":
        message = item.message
        channel = self._channels.get(message.channel)
        if channel is None:
            return self._failed(item, f"no channel called {message.channel}")
        try:
            rendered = await self._render(message)
        except StoreError as error:
            return self._later(NotDelivered(type(error).__name__), item)
        except Exception as error:
            return self._failed(item, f"wording failed: {trail(error)}")
        wait = await wait_turn(
            self._bucket, message.address, longest_s=LONGEST_WAIT_S, monotonic=self._monotonic
        )
        if wait:
            return _retry(item, self._clock() + dt.timedelta(seconds=wait))
        try:
            sent_as = await channel.send(message.address, rendered)
        except TooFast as error:
            return self._halt(error, item)
        except (NotDelivered, DeliveryUnknown) as error:
            return self._later(error, item)
        except (Refused, Unreachable) as error:
            await self._tell_unreachable(error, item)
            return self._failed(item, str(error))
        except SettingsError:
            raise
        except Exception as error:
            return self._later(DeliveryUnknown(trail(error)), item)
        log.info("message sent", extra={"outbox": item.id, "kind": message.kind, "tries": item.tries})
        return lambda unit: unit.outbox_sent(item.id, self._clock(), sent_as)

    def _halt(self, error: TooFast, item: OutboxItem) -> "Mark":
        self._bucket.halt(self._monotonic() + error.seconds)
        log.warning("too fast for the service, all sending halted", extra={"outbox": item.id, "seconds": error.seconds})
        return _retry(item, self._clock() + dt.timedelta(seconds=error.seconds))

    def _later(self, error: NotDelivered | DeliveryUnknown, item: OutboxItem) -> "Mark":
        now = self._clock()
        unknown = isinstance(error, DeliveryUnknown)
        phrase = "delivery unknown" if unknown else "not delivered"
        log.warning(phrase, extra={"outbox": item.id, "tries": item.tries, "why": str(error)})
        if unknown:
            return lambda unit: unit.outbox_unknown(item.id, now + dt.timedelta(seconds=UNKNOWN_RETRY_S))
        if now - item.message.at > GIVE_UP_AFTER:
            return self._failed(item, "not delivered within a day")
        longest = min(FIRST_RETRY_S * 2.0 ** min(max(item.tries - 1, 0), 16), LONGEST_RETRY_S)
        return _retry(item, now + dt.timedelta(seconds=longest * self._dice.uniform(0.5, 1.0)))

    def _failed(self, item: OutboxItem, why: str) -> "Mark":
        log.error("message given up", extra={"outbox": item.id, "kind": item.message.kind, "why": why})
        return lambda unit: unit.outbox_failed(item.id, self._clock(), why)

    async def _tell_unreachable(self, error: Exception, item: OutboxItem) -> None:
        if isinstance(error, Unreachable) and self._on_unreachable is not None:
            try:
                await self._on_unreachable(item.message.person_id)
            except Exception as failure:
                log.error("unreachable person not noted", extra={"outbox": item.id, "why": trail(failure)})

    async def _mark(self, item: OutboxItem, mark: "Mark") -> None:
        """Write what became of a message. After a send this must not fail lightly: unmarked means sent again."""
        for pause in MARK_RETRIES_S:
            with contextlib.suppress(StoreError):
                return await self._in_store(lambda: self._commit(mark))
            log.error("outcome not stored, trying again", extra={"outbox": item.id, "pause_s": pause})
            await asyncio.sleep(pause)
        return await self._in_store(lambda: self._commit(mark))

    def _commit(self, work: Callable[[UnitOfWork], T]) -> T:
        with self._store.writing() as unit:
            result = work(unit)
            unit.commit()
        return result


Mark = Callable[[UnitOfWork], None]


def _retry(item: OutboxItem, not_before: dt.datetime) -> Mark:
    return lambda unit: unit.outbox_retry(item.id, not_before)
