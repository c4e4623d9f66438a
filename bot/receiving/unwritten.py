"""Danger that cannot be written down, since the database is full or away: the advice needs no disk."""

import json
import logging
from collections import OrderedDict
from collections.abc import Awaitable, Callable, Sequence

from bot.ports import DeliveryError, Rendered
from bot.telegram.updates import parse
from bot.wording.messages import in_words
from core.answers import understand
from core.errors import SettingsError
from core.model import DANGER
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
            came = parse(json.loads(row.payload), row.received_at)
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
