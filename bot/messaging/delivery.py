"""The outbox on its way out: claimed, drawn, paced, sent, and marked by what the answer means."""

import asyncio
import contextlib
import datetime as dt
import logging
import random
from collections.abc import Awaitable, Callable, Mapping

from bot.messaging.claims import Claims, Mark, Marker, Sent, failed, later, put_back, retry
from bot.messaging.pace import PER_CHAT_S, Pace
from bot.ports import UNMETERED, Channel, DeliveryUnknown, Meter, NotDelivered, Refused, Rendered, TooFast, Unreachable
from bot.run.in_store import InStore, Told, any_of
from bot.run.logs import trail
from core.errors import SettingsError, StoreError
from core.ports import Store
from core.records import OutboxItem, Outgoing

log = logging.getLogger(__name__)

_RESULTS = {NotDelivered: "not_delivered", DeliveryUnknown: "unknown", Refused: "refused", Unreachable: "unreachable"}
Render = Callable[[Outgoing], Awaitable[Rendered]]

# All judgement; seconds.
LONGEST_DRAWING_S = 60.0
LONGEST_WAIT_S = 20.0  # for further parts of a message whose first has arrived
LONGEST_HERE_S = 0.9  # what has to wait longer goes back, so that the most urgent goes first afterwards
MOST_PREPARED = 4
MOMENT_S = 0.001


class Delivery:
    """Drains the outbox; that replies go first, and one message of a chat at a time, is what the store hands out.

    `render` draws what belongs to one message, `on_unreachable` is told the person's id when they have blocked us,
    `clock` is the program's own (it stamps rows). `owner` names this process. `drawn` True delivers only what takes
    seconds to make, False only the rest, so that two of these keep apart.
    """

    def __init__(
        self,
        store: Store,
        channels: Mapping[str, Channel],
        render: Render,
        pace: Pace,
        clock: Callable[[], dt.datetime],
        in_store: InStore,
        *,
        owner: str,
        on_unreachable: Callable[[str], Awaitable[None]] | None = None,
        drawn: bool | None = None,
        meter: Meter = UNMETERED,
        in_flight: int = 16,
        idle_s: float = 1.0,
        told: Told | None = None,
        dice: random.Random | None = None,
    ) -> None:
        self._channels, self._render = channels, render
        self._pace, self._bucket, self._monotonic, self._clock = pace, pace.bucket, pace.now, clock
        apart_s = PER_CHAT_S if pace.shared else 0.0
        self._told = told or Told()
        self._claims = Claims(
            store, in_store, clock, owner, self._told, drawn=drawn, apart_s=apart_s, monotonic=pace.now
        )
        self._on_unreachable, self._meter = on_unreachable, meter
        self._in_flight, self._idle_s = in_flight, idle_s
        self._dice = dice or random.Random()
        self._mark = Marker(store, in_store)
        self._sending: set[asyncio.Task[None]] = set()
        self._prepared: set[int] = set()  # claimed, being drawn or waiting for their turn
        self._changed = asyncio.Event()
        self._stopped_by: SettingsError | None = None

    async def run(self, stop: asyncio.Event, wake: asyncio.Event, *, grace_s: float = 10.0) -> None:
        """Deliver until `stop`, looking again at every `wake`, when `told`, and each `idle_s`.

        What is under way then has `grace_s` seconds; after that it stays claimed until its lease ends, as unknown.
        Raises SettingsError when the service no longer accepts the token.
        """
        failures, woken, keeping = 0, True, asyncio.create_task(self._claims.keep())
        while not stop.is_set() and self._stopped_by is None:
            wake.clear()
            self._told.clear()
            self._changed.clear()
            try:
                started = await self._recover_and_start() if woken or await self._claims.anything() else 0
                failures, woken = 0, True
            except StoreError as error:
                log.error("outbox not readable", extra={"why": type(error).__name__})
                started, failures = 0, failures + 1
            if failures:
                await any_of((stop,), min(self._idle_s * 2.0**failures, 30.0))
            elif pause := self._bucket.free_in(self._monotonic()):
                await any_of((stop,), min(pause, self._idle_s))
            elif not started:
                idle_s = self._told.within(self._idle_s)
                await any_of((stop, wake, self._told, self._changed), min(idle_s, self._rested_in()))
                woken = wake.is_set() or self._changed.is_set()
        await self._end(grace_s, keeping)

    async def drain_once(self) -> int:
        """Deliver everything that is due now and what becomes due meanwhile; returns how many were taken in hand.

        Ends early while the service has halted us. Raises StoreError, or SettingsError when the service does not
        accept the token.
        """
        taken, keeping = 0, asyncio.create_task(self._claims.keep())
        try:
            while self._stopped_by is None:
                self._changed.clear()
                started = await self._start()
                taken += started
                if self._bucket.halted_for(self._monotonic()):
                    break
                if pause := self._bucket.free_in(self._monotonic()):
                    await asyncio.sleep(pause)
                elif self._sending and not started:
                    await self._changed.wait()
                elif started or self._changed.is_set():  # what ended meanwhile may have let others go
                    continue
                elif (rest := self._bucket.rested_in(self._monotonic())) <= self._bucket.chat_gap:
                    await asyncio.sleep(rest + MOMENT_S)
                else:
                    break
        finally:
            await self._end(None, keeping)
        return taken

    def _rested_in(self) -> float:
        return self._bucket.rested_in(self._monotonic()) + MOMENT_S

    async def _end(self, grace_s: float | None, keeping: asyncio.Task[None]) -> None:
        """Wait for what is under way, `grace_s` seconds at most; then tell what stopped us."""
        if self._sending:
            await asyncio.wait(self._sending, timeout=grace_s)
        for task in (keeping, *self._sending):
            task.cancel()
        await asyncio.gather(keeping, *self._sending, return_exceptions=True)
        await self._mark.stop()
        if self._stopped_by is not None:
            raise self._stopped_by

    async def _recover_and_start(self) -> int:
        await self._claims.recover()
        return await self._start()

    async def _start(self) -> int:
        """Claim what can leave now, committed before anything leaves, and set out with each; returns how many.

        No more than that is claimed: a claimed message that waits here lets no reply pass, and counts as unknown after
        a crash although it never left.
        """
        room = self._bucket.room(self._monotonic())
        ready = max(MOST_PREPARED, room) - len(self._prepared)
        places = min(room, ready, self._in_flight - len(self._sending))
        if places <= 0:
            return 0
        items = await self._claims.take(places, self._bucket.resting(self._monotonic()))
        for item in items:
            self._prepared.add(item.id)
            task = asyncio.create_task(self._deliver(item))
            self._sending.add(task)
            task.add_done_callback(self._gone)
        return len(items)

    def _gone(self, task: asyncio.Task[None]) -> None:
        self._sending.discard(task)
        self._changed.set()

    def _leaves(self, item: OutboxItem) -> None:
        """It waits for nothing of ours any more."""
        self._prepared.discard(item.id)
        self._changed.set()

    async def _deliver(self, item: OutboxItem) -> None:
        """One claimed message to its end. Nothing that goes wrong with it may reach the others."""
        began = self._monotonic()
        try:
            try:
                mark = await self._attempt(item)
            finally:
                self._leaves(item)
            if mark is not None:
                await self._mark(item.id, mark)
        except SettingsError as error:
            self._stopped_by = error
            with contextlib.suppress(StoreError):  # then the lease gives it back
                await self._mark(item.id, later(NotDelivered(str(error)), item, self._clock(), self._dice))
        except Exception as error:
            # Left claimed: when the lease ends its delivery is unknown, which is exactly what we know.
            log.error("delivery broke off", extra={"outbox": item.id, "why": trail(error)})
        finally:
            self._claims.let_go(item)
        log.debug("delivery done", extra={"outbox": item.id, "ms": round((self._monotonic() - began) * 1000)})

    async def _attempt(self, item: OutboxItem) -> Mark | None:
        message = item.message
        channel = self._channels.get(message.channel)
        if channel is None:
            return failed(item, f"no channel called {message.channel}", self._clock())
        try:
            async with asyncio.timeout(LONGEST_DRAWING_S):
                rendered = await self._render(message)
        except (StoreError, TimeoutError) as error:
            return later(NotDelivered(type(error).__name__), item, self._clock(), self._dice)
        except Exception as error:
            return failed(item, f"drawing failed: {trail(error)}", self._clock())
        try:
            if wait := await self._pace.turn(message.address, longest_s=LONGEST_HERE_S):
                return put_back(item, self._clock() + dt.timedelta(seconds=wait))
            ours = await self._claims.leaves(item)
        except StoreError as error:
            return later(NotDelivered(type(error).__name__), item, self._clock(), self._dice)
        if not ours:
            log.warning("not sent, it is not ours any more", extra={"outbox": item.id})
            return None
        self._leaves(item)
        self._bucket.leaves(message.address, self._monotonic())
        result, mark = await self._send(channel, item, rendered)
        self._meter.sent(message.kind, result)
        return mark

    async def _send(self, channel: Channel, item: OutboxItem, rendered: Rendered) -> tuple[str, Mark]:
        """One call to the channel: what came of it in a word, and as a change to be stored. Raises SettingsError."""
        try:
            sent_as = await channel.send(item.message.address, rendered)
        except TooFast as error:
            everybody = await self._pace.refused(item.message.address, error.seconds)
            told = {"outbox": item.id, "seconds": error.seconds, "everybody": everybody}
            log.warning("too fast, sending halted", extra=told)
            return "halted", retry(item, self._clock() + dt.timedelta(seconds=error.seconds))
        except (NotDelivered, DeliveryUnknown) as error:
            return _RESULTS.get(type(error), "unknown"), later(error, item, self._clock(), self._dice)
        except (Refused, Unreachable) as error:
            await self._tell_unreachable(error, item)
            gone = isinstance(error, Unreachable)
            result = _RESULTS.get(type(error), "unknown")
            return result, failed(item, str(error), self._clock(), lost=not gone)
        except SettingsError:
            raise
        except Exception as error:
            return "unknown", later(DeliveryUnknown(trail(error)), item, self._clock(), self._dice)
        log.info("message sent", extra={"outbox": item.id, "kind": item.message.kind, "tries": item.tries})
        now = self._clock()
        if due := item.message.due_at:
            self._meter.late(max((now - due).total_seconds(), 0.0))
        return "sent", Sent(item.id, now, sent_as)

    async def _tell_unreachable(self, error: Exception, item: OutboxItem) -> None:
        if isinstance(error, Unreachable) and self._on_unreachable is not None:
            try:
                await self._on_unreachable(item.message.person_id)
            except Exception as failure:
                log.error("unreachable person not noted", extra={"outbox": item.id, "why": trail(failure)})
