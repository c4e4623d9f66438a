"""What the clock brings, by a few steady ticks however many patients there are: closings, questions, reminders.

One person, one transaction: none holds up the rest.
"""

import asyncio
import datetime as dt
import logging
import time
from collections import Counter
from collections.abc import Callable
from typing import Any

from apscheduler.schedulers.asyncio import AsyncIOScheduler

from bot.run.app import App
from bot.run.in_store import InStore
from bot.run.logs import trail
from core.errors import StoreError, StoreTroubleError, UnreadableError
from core.records import Due
from core.use_cases.due import ACTS, plan_again
from core.use_cases.noticing import tell_lost, tell_unreadable
from core.use_cases.staffing import retain

log = logging.getLogger(__name__)

KEEP_UPDATES = dt.timedelta(days=14)  # update numbers drop repeats; the service itself forgets after a day
KEEP_MESSAGES = dt.timedelta(days=2)  # what was told; the decisions themselves stay
KEEP_INVITATIONS = dt.timedelta(days=30)  # that nobody used, after they ran out: "it has run out" is still told

PUT_OFF = dt.timedelta(minutes=10)  # judgement: what failed is tried again, and the log says so each time


def tick(app: App) -> int:
    """Do everything that is due at this moment; returns how much was done. Nothing due costs one look."""
    with app.store.reading() as uow:
        waiting, lost = uow.due.kinds(app.clock()), uow.outbox.lost(1)
    done = sum(_drain(app, due) for due in Due if due in waiting) + (_say_lost(app) if lost else 0)
    if Due.DANGER in waiting:
        _say_untold(app)
    return done


def _say_untold(app: App) -> None:
    """Danger that has reached nobody is for whoever can mend it: loud, each time it is looked at."""
    with app.store.reading() as uow:
        untold = uow.figures.queues(app.clock()).untold
    if untold.waiting:
        told = {"count": untold.waiting, "since": str(untold.since)}
        log.error("danger has reached nobody on the staff", extra=told)


def _say_lost(app: App) -> int:
    """What was given up is an error, counted, and told to the leads."""
    with app.store.writing() as uow:
        lost = tell_lost(app.work(uow))
        uow.commit()
    for kind, count in Counter(each.kind for each in lost).items():
        log.error("messages given up", extra={"kind": kind, "count": count})
        app.meter.lost(kind, count)
    return len(lost)


def _drain(app: App, what: Due) -> int:
    done = 0
    while True:
        which = ""
        try:
            with app.store.writing() as uow:
                work = app.work(uow)
                (which,) = uow.due.ids(what, work.now, 1) or ("",)
                if not which:
                    return done
                ACTS[what](work, which)
                uow.commit()
        except StoreTroubleError:
            raise  # nobody's fault: everything waits for the next tick
        except Exception as error:
            log.error("due work failed, put off", extra={"due": what.value, "id": which, "why": trail(error)})
            if not which:
                return done
            with app.store.writing() as uow:
                uow.due.put_off(what, which, app.clock() + PUT_OFF)
                if isinstance(error, UnreadableError):
                    tell_unreadable(app.work(uow), error)
                uow.commit()
        done += 1


def sweep(app: App) -> None:
    """Plan anew what a wrong clock put off, and forget updates and messages that nobody needs any more."""
    now = app.clock()
    with app.store.writing() as uow:
        again = plan_again(app.work(uow))
        uow.commit()
    if again:
        log.warning("planned again: it was due days later than its plan; was the clock wrong?", extra={"count": again})
    with app.store.writing() as uow:
        faded = retain(app.work(uow))
        uow.commit()
    if faded:
        log.info("closed courses looked at", extra={"count": faded})
    with app.store.writing() as uow:
        uow.inbox.forget(now - KEEP_UPDATES)
        uow.outbox.forget(now - KEEP_MESSAGES)
        uow.invitations.forget(now - KEEP_INVITATIONS)
        uow.commit()


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
