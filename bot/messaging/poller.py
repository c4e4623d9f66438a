"""Long polling: every update is stored and committed before the service may forget it."""

import asyncio
import contextlib
import logging
import random
from collections.abc import Coroutine, Mapping
from typing import Any, TypeVar

from telegram import Bot
from telegram.error import Conflict, TelegramError

from bot.messaging.intake import Intake
from bot.ports import TooFast
from bot.run.in_store import any_of
from bot.telegram import raw_updates
from bot.telegram.channel import meaning
from core.errors import SettingsError, StoreError

log = logging.getLogger(__name__)
T = TypeVar("T")

CONFLICT_S = 10.0  # judgement: the other poller's call lasts about this long


class Poller:
    """Fetches updates and puts them into the inbox. One per token; a second one elsewhere is told by the service.

    `poll_s` is how long one call waits.
    """

    def __init__(
        self,
        bot: Bot,
        intake: Intake,
        *,
        poll_s: float = 50.0,
        first_pause_s: float = 1.0,
        longest_pause_s: float = 60.0,
        dice: random.Random | None = None,
    ) -> None:
        self._bot, self._intake = bot, intake
        self._poll_s = poll_s
        self._first_pause_s, self._longest_pause_s = first_pause_s, longest_pause_s
        self._dice = dice or random.Random()
        self._offset: int | None = None

    async def pull_backlog(self) -> int:
        """Store everything that waits at the service; returns how many updates were new.

        For the start, so that an answer given while we were down counts before anything is asked or closed.
        Raises SettingsError, a DeliveryError or StoreError; nothing is lost, call again.
        """
        new = 0
        while True:
            try:
                batch = await raw_updates(self._bot, self._offset, 0)
                new += await self._keep(batch)
            except TelegramError as error:
                raise meaning(error) from None
            if not batch:
                return new

    async def run(self, stop: asyncio.Event) -> None:
        """Poll until `stop`; trouble of the network or the database is waited out. Raises SettingsError."""
        failures = 0
        try:
            while not stop.is_set():
                pause = await self._once(stop, failures)
                failures = failures + 1 if pause else 0
                if pause:
                    await any_of((stop,), pause)
        finally:
            await self._intake.close()

    async def _once(self, stop: asyncio.Event, failures: int) -> float:
        """One call and its storing; returns the seconds to pause, 0.0 when all went well."""
        try:
            batch = await _unless(stop, raw_updates(self._bot, self._offset, self._poll_s))
            if batch is None:
                return 0.0
            await self._keep(batch)
        except Conflict:
            log.warning("another process polls with this token; stop one of the two", extra={"pause_s": CONFLICT_S})
            return self._dice.uniform(0.5, 1.0) * CONFLICT_S
        except TelegramError as error:
            return self._pause_after(meaning(error), failures)
        except StoreError as error:
            # The offset has not moved: the service gives the same updates again.
            log.error("updates not stored, asked for again", extra={"why": str(error)})
            return self._pause(failures)
        return 0.0

    def _pause_after(self, error: Exception, failures: int) -> float:
        if isinstance(error, SettingsError):
            raise error
        pause = max(self._pause(failures), error.seconds if isinstance(error, TooFast) else 0.0)
        level = logging.WARNING if failures else logging.INFO  # one lost long poll is an ordinary thing
        log.log(level, "polling failed", extra={"why": str(error), "pause_s": pause})
        return pause

    def _pause(self, failures: int) -> float:
        longest = min(self._first_pause_s * 2.0 ** min(failures, 16), self._longest_pause_s)
        return round(longest * self._dice.uniform(0.5, 1.0), 3)  # jitter: not everybody comes back at once

    async def _keep(self, batch: list[Mapping[str, Any]]) -> int:
        """Confirm the taps, commit the rows, and only then raise the offset; returns how many rows were new."""
        rows = self._intake.rows(batch)
        new = await self._intake.keep(batch, rows)
        # Passed once and then left out again: after a quiet week numbers start anew, perhaps below the last one.
        self._offset = max(row.update_id for row in rows) + 1 if rows else None
        if len(rows) < len(batch):
            log.error("updates without a number passed over", extra={"count": len(batch) - len(rows)})
            if not rows:
                raise TelegramError("No update of the batch has a number")
        return new


async def _unless(stop: asyncio.Event, work: Coroutine[Any, Any, T]) -> T | None:
    """The result of `work`, or None as soon as `stop` is set; then the work is cancelled."""
    task, stopping = asyncio.ensure_future(work), asyncio.ensure_future(stop.wait())
    try:
        await asyncio.wait((task, stopping), return_when=asyncio.FIRST_COMPLETED)
        return task.result() if task.done() else None
    finally:
        stopping.cancel()
        if not task.done():
            task.cancel()
            with contextlib.suppress(asyncio.CancelledError, TelegramError):
                await task
