"""The way in for updates: stored and confirmed; and danger words answered from memory while nothing can be stored."""

import asyncio
import datetime as dt
import json
import logging
from collections import OrderedDict
from collections.abc import Awaitable, Callable, Mapping, Sequence
from functools import partial
from typing import Any

from bot.ports import DeliveryError, Rendered
from bot.run.in_store import InStore, Together
from bot.telegram.updates import NAME, address_of, parse_update, tap_id, update_id
from bot.wording.messages import in_words
from core.answers import understand
from core.errors import SettingsError, StoreError
from core.model import DANGER
from core.ports import Store
from core.records import Clinic, Update

log = logging.getLogger(__name__)

MOST_KNOWN = 1000


class Unwritten:
    """Answers danger words from memory, once an update; the service repeats it until it is stored, and more follows.

    `say` sends a message to a chat at once. What is told to nobody on the staff is said to be so.
    """

    def __init__(self, say: Callable[[str, Rendered], Awaitable[object]], clinic: Clinic) -> None:
        self._say, self._clinic = say, clinic
        self._known: OrderedDict[tuple[str, int], None] = OrderedDict()

    async def answer(self, rows: Sequence[Update]) -> None:
        for row in rows:
            came = parse_update(row)
            if came is None or (row.address, row.update_id) in self._known:
                continue
            language = came.language or self._clinic.language
            found = understand(came.text, language)
            if found.flag in DANGER or found.maybe:
                await self._advise(row, language)

    async def _advise(self, row: Update, language: str) -> None:
        self._known[row.address, row.update_id] = None
        if len(self._known) > MOST_KNOWN:
            self._known.popitem(last=False)
        log.error("danger could not be stored; answered from memory, nobody on the staff knows of it")
        try:
            words = in_words("danger.unwritten", language, {"emergency": self._clinic.emergency})
            await self._say(row.address, Rendered.of(words))
        except (DeliveryError, SettingsError) as error:
            del self._known[row.address, row.update_id]  # it comes again with the update
            log.error("the advice did not arrive", extra={"why": str(error)})


class Intake:
    """Keeps updates. Those that come while a commit is under way share the next one.

    `confirm` answers a tap, `wake` is set when something new lies in the inbox, `unwritten` answers danger that
    cannot be stored.
    """

    def __init__(
        self,
        store: Store,
        in_store: InStore,
        confirm: Callable[[str], Awaitable[None]],
        wake: asyncio.Event,
        clock: Callable[[], dt.datetime],
        unwritten: Unwritten | None = None,
    ) -> None:
        self._store, self._unwritten = store, unwritten
        self._confirm, self._wake, self._clock = confirm, wake, clock
        self._taps: set[asyncio.Task[None]] = set()
        self._put: Together[Sequence[Update], int] = Together(lambda parts: in_store(partial(self._commit, parts)))

    def rows(self, payloads: Sequence[object]) -> list[Update]:
        """The updates as rows; one without a number that could be stored is left out."""
        now = self._clock()
        return [row for payload in payloads if (row := _row(payload, now)) is not None]

    async def keep(self, payloads: Sequence[Mapping[str, Any]], rows: Sequence[Update]) -> int:
        """Confirm the taps and commit the rows; returns how many were new. Raises StoreError: nothing is stored."""
        self._confirm_taps(payloads)
        if not rows:
            return 0
        try:
            new = await self._put(rows)
        except StoreError:
            if self._unwritten is not None:
                await self._unwritten.answer(rows)
            raise
        if new:
            self._wake.set()
            log.info("updates stored", extra={"new": new, "received": len(rows)})
        return new

    async def close(self) -> None:
        """Confirm no further tap; a commit under way is waited for."""
        for task in self._taps:
            task.cancel()
        await asyncio.gather(*self._taps, self._put.close(), return_exceptions=True)

    def _commit(self, parts: Sequence[Sequence[Update]]) -> list[int]:
        with self._store.writing() as unit:
            news = [unit.inbox.put(rows) for rows in parts]
            unit.commit()
        return news

    def _confirm_taps(self, payloads: Sequence[Mapping[str, Any]]) -> None:
        """Beside the storing, since a tap waits visibly on the phone; a failure costs only that."""
        for payload in payloads:
            if number := tap_id(payload):
                task = asyncio.create_task(self._confirm_one(number))
                self._taps.add(task)
                task.add_done_callback(self._taps.discard)

    async def _confirm_one(self, number: str) -> None:
        try:
            await self._confirm(number)
        except (DeliveryError, SettingsError) as error:
            log.debug("tap not confirmed", extra={"why": type(error).__name__})


def _row(payload: object, now: dt.datetime) -> Update | None:
    number = update_id(payload)
    if number is None:
        return None
    # ASCII JSON keeps lone surrogates and NUL as escapes, so that every database takes it.
    text = json.dumps(payload, ensure_ascii=True, separators=(",", ":"))
    return Update(NAME, number, address_of(payload), now, text)
