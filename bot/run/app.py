"""The program put together, in the one place that does so, with its clock and its ids."""

import datetime as dt
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bot.conversation.talk import ChatSettings
from bot.drawing import Drawing
from bot.messaging.rendering import DigestRendering
from bot.ports import UNMETERED, Incoming, Meter
from bot.run.in_store import InStore
from bot.wording.catalogue import text_in
from bot.wording.messages import in_words
from core.ports import NewId, Store, UnitOfWork, Wording
from core.programme import Programme
from core.records import Clinic, Update
from core.use_cases.work import Programmes, Work

Clock = Callable[[], dt.datetime]
Parse = Callable[[Update], Incoming | None]


@dataclass(frozen=True, slots=True)
class App:
    """The program without a channel of its own: the store, the clock, and what every conversation shares."""

    store: Store
    clock: Clock
    new_id: NewId
    programmes: Programmes
    chats: ChatSettings
    parse: Mapping[str, Parse]  # by channel
    most_a_minute: int | None = None
    meter: Meter = UNMETERED
    wording: Wording = in_words

    def digests(self, in_store: InStore, drawing: Drawing) -> DigestRendering:
        """What makes the weekly digest on this store."""
        return DigestRendering(self.store, self.work, self.chats.clinic.name, in_store, drawing)

    def work(self, uow: UnitOfWork) -> Work:
        """One piece of work at this moment, in that transaction."""
        return Work(uow, self.clock(), self.new_id, self.programmes, self.wording, self.meter.deciding)


def build(
    store: Store,
    clock: Clock,
    new_id: NewId,
    programme: Programme,
    clinic: Clinic,
    evening: dt.time,
    parse: Mapping[str, Parse],
    most_a_minute: int | None = None,
    *,
    founding: bool = True,
) -> App:
    """Put the program together on an open store.

    `founding` stores the clinic's facts and the programme's text; commands that only look do without. A chat that sends
    more than `most_a_minute` is heard but not answered for a while; None: no limit.
    """
    if founding:
        with store.writing() as uow:
            uow.clinics.save(clinic)
            uow.clinics.save_programme(programme.version, programme.text, clock())
            uow.commit()
    chats = ChatSettings(clinic, evening, lambda key, language: text_in(language).words(key))
    return App(store, clock, new_id, Programmes(programme), chats, parse, most_a_minute)


def utc_now() -> dt.datetime:
    """The present moment in UTC."""
    return dt.datetime.now(dt.UTC)


def random_id() -> str:
    """A new id: 80 random bits, short enough for a button's 64 bytes."""
    return secrets.token_hex(10)


class SteppedClock:
    """A clock that stands still until it is moved; it never goes back."""

    def __init__(self, start: dt.datetime) -> None:
        self._now = start

    def __call__(self) -> dt.datetime:
        return self._now

    def move_to(self, moment: dt.datetime) -> None:
        self._now = max(self._now, moment)
