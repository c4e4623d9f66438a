"""People who talk with the whole program on a real database; what they read is worded by the real catalogue."""

import asyncio
import copy
import datetime as dt
import itertools
import json
import sqlite3
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from bot.conversation.router import handle
from bot.drawing import Drawing
from bot.messaging.inbox import handle_next
from bot.ports import Came, Incoming, Rendered
from bot.run.app import App, SteppedClock, build
from bot.run.in_store import T
from bot.run.ticks import tick
from bot.wording.messages import in_words
from core.programme.file import default_programme
from core.records import Clinic, Course, Dialogue, Outgoing, Person, Update, Worded
from core.store import SqlStore
from core.use_cases.digesting import FILE, PICTURE, TEXT
from core.use_cases.joining import invite
from tests.stores import fill, kept


async def _at_once(job: Callable[[], T], /) -> T:
    return job()


CLINIC = "clinic"
CHANNEL = "chat"
MORNING = dt.datetime(2026, 3, 2, 9, 0, tzinfo=dt.UTC)
PROGRAMME = default_programme()


def parse(update: Update) -> Incoming | None:
    """What the test put in: the fields of an Incoming as JSON."""
    fields = json.loads(update.payload)
    at = dt.datetime.fromisoformat(fields.pop("at"))
    return Incoming(Came(fields.pop("came")), CHANNEL, update.address, at, **fields)


class Watched:
    """An outbox that remembers what was queued."""

    def __init__(self, outbox: Any) -> None:
        self._outbox, self.queued = outbox, []

    def put(self, message: Outgoing) -> bool:
        self.queued.append(message)
        return bool(self._outbox.put(message))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._outbox, name)


class Clinics:
    """One clinic: its clock, its inbox, its outbox, and whoever talks with it."""

    def __init__(self, store: SqlStore) -> None:
        self.store, self.clock = store, SteppedClock(MORNING)
        self._ids, self.numbers = itertools.count(1), itertools.count(1)
        clinic = Clinic(CLINIC, "Fennel Lane", "Europe/Lisbon", "en", "Call 112 if your life may be in danger.")
        self.app: App = build(
            store, self.clock, lambda: f"id-{next(self._ids)}", PROGRAMME, clinic, dt.time(19, 0), {CHANNEL: parse}
        )
        self.app = replace(self.app, wording=self._in_words)
        self.unworded: list[str] = []
        self.delivered: list[tuple[dt.datetime, Outgoing, Rendered]] = []

    def is_new(self) -> bool:
        """Whether nobody has come to it yet."""
        with self.store.reading() as uow:
            return not self.delivered and self.clock() == MORNING and not uow.staff.all() and not uow.people.all()

    def keep(self) -> "Kept | None":
        """How it stands, for another one to go on from; None where the database cannot be copied."""
        rows = kept(self.store)
        if rows is None:
            return None
        return Kept(rows, self.clock(), copy.copy(self._ids), copy.copy(self.numbers), list(self.delivered))

    def go_on_from(self, before: "Kept") -> None:
        fill(self.store, before.rows)
        self.clock.move_to(before.now)
        self._ids, self.numbers = copy.copy(before.ids), copy.copy(before.numbers)
        self.delivered = list(before.delivered)

    def invite(self, note: str = "") -> str:
        code = f"CODE-{next(self._ids)}"
        with self.store.writing() as uow:
            invite(self.app.work(uow), CLINIC, code, note)
            uow.commit()
        return code

    def put(self, address: str, came: Came, at: dt.datetime | None = None, **fields: Any) -> None:
        """Something a person did, into the inbox."""
        number, now = next(self.numbers), self.clock()
        payload = {"came": came.value, "at": (at or now).isoformat(), "message_id": str(number)} | fields
        with self.store.writing() as uow:
            uow.inbox.put([Update(CHANNEL, number, address, now, json.dumps(payload))])
            uow.commit()

    def answers(self, address: str, each: Sequence[dict[str, Any]], *, keep: bool) -> list[Outgoing]:
        """What is queued when somebody does one thing after the other, or would be; nothing is delivered."""
        with self.store.writing() as uow:
            watched = uow.outbox = Watched(uow.outbox)
            for fields in each:
                number = str(next(self.numbers))
                came = Incoming(channel=CHANNEL, address=address, at=self.clock(), **{"message_id": number} | fields)
                handle(self.app.work(uow), came, self.app.chats, f"{CHANNEL}:{number}")
            if keep:
                uow.commit()
        assert not self.unworded
        return watched.queued

    def work(self) -> None:
        """Handle what came in, and deliver what goes out."""
        while handle_next(self.app):
            pass
        self.deliver()

    def deliver(self) -> None:
        while True:
            with self.store.writing() as uow:
                items = uow.sending.claim(self.clock(), 50, "test", 60.0)
                for item in items:
                    uow.sending.sent(item.id, self.clock(), str(item.id))
                uow.commit()
            if not items:
                return
            for item in items:
                self.delivered.append((self.clock(), item.message, self.worded(item.message)))
            assert not self.unworded, "the apology went out in place of what was said"

    def _in_words(self, kind: str, language: str, facts: Mapping[str, object]) -> Worded:
        try:
            return in_words(kind, language, facts)
        except Exception as error:
            self.unworded.append(f"{kind}: {error!r}")
            raise

    def worded(self, message: Outgoing) -> Rendered:
        """As it is sent, but for what only the drawing process makes."""
        if message.kind == TEXT:
            return asyncio.run(self.app.digests(_at_once, Drawing())(message))
        if message.kind in (PICTURE, FILE):
            return Rendered("", document=("drawn elsewhere", b""))
        return Rendered.of(message.words)

    def live_to(self, day: int, time: str) -> None:
        """Let everything that is due happen when it is due."""
        until = dt.datetime.combine(MORNING.date() + dt.timedelta(days=day), dt.time.fromisoformat(time), dt.UTC)
        assert until >= self.clock()
        while True:
            with self.store.reading() as uow:
                due = uow.due.next(self.clock())
            if due is None or due > until:
                break
            self.clock.move_to(due)
            tick(self.app)
            self.deliver()
        self.clock.move_to(until)

    def snapshot(self) -> dict[str, Any]:
        """Everything kept about everybody, except the traffic itself."""
        with self.store.reading() as uow:
            whole = {person.id: dict(uow.people.export(person.id)) for person in uow.people.all()}
        for rows in whole.values():
            rows.pop("messages_in"), rows.pop("messages_out")
        return whole

    def notices(self) -> list[str]:
        with self.store.reading() as uow:
            return [each.kind.value for each in uow.notices.newest()]


@dataclass(frozen=True, slots=True)
class Kept:
    """A clinic as it stood once."""

    rows: sqlite3.Connection
    now: dt.datetime
    ids: "itertools.count[int]"
    numbers: "itertools.count[int]"
    delivered: list[tuple[dt.datetime, Outgoing, Rendered]]


_enrolled: dict[str, Kept | None] = {}  # by address: a clinic in which only they have enrolled


class Patient:
    """One chat. Each thing done returns what was read in answer."""

    def __init__(self, clinic: Clinics, address: str = "cellist") -> None:
        self.clinic, self.address = clinic, address

    # doing
    def does(self, came: Came, **fields: Any) -> list[tuple[str, Rendered]]:
        before = len(self.clinic.delivered)
        self.clinic.put(self.address, came, **fields)
        self.clinic.work()
        return [
            (message.kind, shown)
            for _, message, shown in self.clinic.delivered[before:]
            if message.address == self.address
        ]

    def types(self, text: str, **fields: Any) -> list[str]:
        return self._kinds(Came.TEXT, text=text, **fields)

    def sends(self, command: str, text: str = "") -> list[str]:
        return self._kinds(Came.COMMAND, command=command, text=text)

    def taps(self, data: str) -> list[str]:
        return self._kinds(Came.TAP, data=data)

    def taps_label(self, label: str) -> list[str]:
        """Tap the latest button of that label."""
        return self.taps(self.buttons()[label])

    def _kinds(self, came: Came, **fields: Any) -> list[str]:
        return [kind for kind, _ in self.does(came, **fields)]

    # reading
    def read(self) -> list[Rendered]:
        return [shown for _, message, shown in self.clinic.delivered if message.address == self.address]

    def last(self) -> str:
        return self.read()[-1].text

    def buttons(self) -> dict[str, str]:
        """Labels and data under the latest message that has any."""
        latest = next(shown for shown in reversed(self.read()) if shown.buttons)
        return {button.label: button.data for row in latest.buttons for button in row}

    # looking behind
    def person(self) -> Person:
        with self.clinic.store.reading() as uow:
            person = uow.people.at(CHANNEL, self.address)
        assert person
        return person

    def course(self) -> Course:
        with self.clinic.store.reading() as uow:
            course = uow.diary.course_of(self.person().id)
        assert course
        return course

    def dialogue(self) -> Dialogue:
        with self.clinic.store.reading() as uow:
            return uow.dialogues.get(self.person().id)

    def check_in(self, day: int) -> Any:
        date = MORNING.date() + dt.timedelta(days=day)
        with self.clinic.store.reading() as uow:
            return uow.diary.check_in_on(self.course().id, date)

    # getting somewhere
    def enrols(self, *answers: str) -> "Patient":
        """Through the whole talk; whoever comes first to a clinic goes on from where the same talk ended before."""
        first = self.clinic.store._reading.name == "sqlite" and self.clinic.is_new() and not answers
        if first and (before := _enrolled.get(self.address)):
            self.clinic.go_on_from(before)
            return self
        self.sends("start", self.clinic.invite())
        for answer in answers or ("yes", "yes", "no", "no", "no", "no", "right", "4", "yes", "19:00"):
            self.types(answer)
        if first:
            _enrolled[self.address] = self.clinic.keep()
        return self
