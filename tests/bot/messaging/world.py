"""One clinic's outbox with everything around it, for the tests of delivery."""

import datetime as dt
import random
import time
from collections.abc import Awaitable, Callable
from typing import Any

from bot.messaging.delivery import Delivery
from bot.messaging.pace import Bucket, Pace
from bot.ports import Rendered
from bot.run.in_store import in_thread
from bot.telegram.channel import TelegramChannel
from core.records import Button, OutboxState, Outgoing, Worded
from core.store import SqlStore
from tests.builders import a_message, a_person
from tests.standin import Person, StandIn
from tests.standin.fixtures import NOW


class Clock:
    """The program's clock, moved by hand."""

    def __init__(self, now: dt.datetime = NOW) -> None:
        self.now = now

    def __call__(self) -> dt.datetime:
        return self.now

    def pass_by(self, seconds: float) -> None:
        self.now += dt.timedelta(seconds=seconds)


BROKEN = Worded("", to_draw={"broken": True})
OK = ((Button("Ok", "ok"),),)


async def drawn(message: Outgoing) -> Rendered:
    """Drawing for these tests: there is none, or it fails."""
    if message.words == BROKEN:
        raise KeyError("a sentence with a person's words in it")
    return Rendered.of(message.words)


class World:
    """One clinic's outbox with everything around it."""

    def __init__(self, standin: StandIn, store: SqlStore, channel: TelegramChannel, clock: Clock) -> None:
        self.standin, self.store, self.channel, self.clock = standin, store, channel, clock
        self.gone: list[str] = []

    def delivery(self, bucket: Bucket | None = None, store: Any = None, **more: Any) -> Delivery:
        async def unreachable(person_id: str) -> None:
            self.gone.append(person_id)

        given: dict[str, Any] = {"owner": "one", "on_unreachable": unreachable, "dice": random.Random(1), **more}
        render: Callable[[Outgoing], Awaitable[Rendered]] = given.pop("render", drawn)
        channels = {"telegram": self.channel}
        real = given.pop("monotonic", time.monotonic)
        pace = Pace(bucket or Bucket.unlimited(), given.pop("shared", None), real)
        return Delivery(store or self.store, channels, render, pace, self.clock, in_thread, **given)

    def put(self, person: Person, kind: str = "evening.ask", **given: Any) -> str:
        """Put a message to this person into the outbox; returns its key."""
        owner = a_person(id=f"p{person.chat}", channel="telegram", address=str(person.chat))
        message = a_message(owner, kind=kind, **{"words": Worded(kind, OK), "at": self.clock(), **given})
        with self.store.writing() as unit:
            unit.outbox.put(message)
            unit.commit()
        return message.key

    def state(self, key: str) -> OutboxState | None:
        with self.store.reading() as unit:
            return unit.outbox.state(key)
