"""A trial as a patient; nobody acts for the therapist, but what they would read is shown beside what is read here."""

import datetime as dt
import io
import math
from collections.abc import Iterable
from typing import TextIO
from zoneinfo import ZoneInfo

from bot.conversation.flows import FLOWS
from bot.drawing import Drawing
from bot.messaging.delivery import Delivery
from bot.messaging.inbox import handle_next
from bot.messaging.pace import Bucket, Pace
from bot.messaging.rendering import Rendering
from bot.ports import Rendered
from bot.run.app import App, SteppedClock
from bot.run.guiding import Guiding
from bot.run.in_store import at_once
from bot.run.ticks import tick
from bot.terminal import channel as terminal
from bot.wording.catalogue import Text, text_in
from bot.wording.messages import in_words
from core.answers import understand
from core.ports import UnitOfWork
from core.records import CheckInState, Clinic, Person, Staff, Status
from core.use_cases.joining import invite

ADDRESS = "therapist"
CODE = "TRYING"
SILENT = ("", "-")  # an evening without an answer
MOST_STEPS = 400  # of the clock for one line; a long break has no more due times than this
# what somebody types at each question of the enrolment, but for the rating
ENROLMENT = ("yes", "yes", "no", "no", "no", "no", "right", "{rating}", "yes", "19:00")


def stand_in(clinic: Clinic, text: Text, now: dt.datetime) -> Staff:
    """No lead, so that nothing is told anew because nobody acts; whoever comes in without an inviter is theirs."""
    return Staff(
        ADDRESS, clinic.id, terminal.NAME, ADDRESS, text("cli.demo.therapist"), lead=False, therapist=True,
        language=text.language, zone=clinic.zone, created_at=now,
    )  # fmt: skip


class Trial:
    """One person at one terminal, and set apart from their chat what the stand-in reads.

    Let in through the enrolment's questions, or past them with that `rating`. `first_number` lies above the updates
    of every earlier trial on the same file.
    """

    def __init__(
        self, app: App, clock: SteppedClock, out: TextIO, drawing: Drawing,
        keep: terminal.Keep, first_number: int, rating: int | None,
    ) -> None:  # fmt: skip
        self._app, self._clock, self._out = app, clock, out
        self._text = text_in(app.chats.clinic.language)
        who = self._text("cli.try.therapist", name=self._text("cli.demo.therapist"))
        self._channel = terminal.TerminalChannel(out, keep, self._heading, beside=(ADDRESS, who))
        channels, pace = {terminal.NAME: self._channel}, Pace(Bucket.unlimited())
        rendering = Rendering(drawing, app.digests(at_once, drawing))
        self._delivery = Delivery(app.store, channels, rendering, pace, clock, at_once, owner="try")
        self._guiding = Guiding(app, channels, pace, at_once, per_second=math.inf)
        self._number, self._rating = first_number, rating
        self._told: dt.datetime | None = None

    async def begin(self) -> None:
        """Let the person in, or show what was open when they left."""
        if self._person() is None:
            with self._app.store.writing() as uow:
                uow.staff.save(stand_in(self._app.chats.clinic, self._text, self._clock()))
                invite(self._app.work(uow), self._app.chats.clinic.id, CODE, self._text("cli.try.you"))
                uow.commit()
            if self._rating is None:
                await self._do(f"/start {CODE}")
            else:
                await self._enrol_quietly(self._rating)
        else:
            print(self._text("cli.try.again"), file=self._out)
            await self._show_open_question()
        await self._move_on()

    async def _show_open_question(self) -> None:
        person = self._person()
        if person and person.status == Status.ENROLLING:
            await self._do("/start")
            return
        check_in_id = self._open_evening()
        with self._app.store.reading() as uow:
            check_in = uow.diary.check_in(check_in_id) if check_in_id else None
        if check_in:
            sets_next = check_in.pain is not None and check_in.sets_asked > 0
            kind = "evening.sets" if sets_next else "evening.ask"
            words = in_words(kind, self._text.language, {"check_in": check_in})
            await self._channel.send("terminal", Rendered.of(words))

    async def run(self, lines: Iterable[str], *, echo: bool) -> None:
        """Live through the lines: one typed thing each, a blank one for an evening without an answer."""
        for line in lines:
            if line.startswith("#"):
                continue
            if echo:
                print(f"> {line}".rstrip(), file=self._out)
            if line.strip() in SILENT:
                await self._to_next_evening()
            else:
                if self._signs_open() and not self._answers_signs(line):
                    await self._to_next_evening()
                await self._do(line)
            await self._move_on()

    async def _enrol_quietly(self, rating: int) -> None:
        self._channel.mute(io.StringIO())
        for line in (f"/start {CODE}", *ENROLMENT):
            await self._do(line.format(rating=rating))
        self._channel.mute(self._out)
        said = self._text("cli.try.enrolled", side=self._text("choice.right").lower(), rating=rating)
        print(f"{said}\n", file=self._out)

    async def _do(self, line: str) -> None:
        self._number += 1
        data = self._channel.tapped(line)
        self._channel.forget_buttons()
        with self._app.store.writing() as uow:
            uow.inbox.put([terminal.as_update(line, data, self._number, self._clock())])
            uow.commit()
        while handle_next(self._app):
            pass
        await self._delivery.drain_once()
        await self._count_set()

    async def _count_set(self) -> None:
        """Go through a set that was begun as fast as it can be read: the clock goes along, and nobody waits."""
        while (moment := self._next_count()) is not None:
            self._clock.move_to(max(moment, self._clock()))
            await self._guiding.step()
            await self._guiding.finish()
            await self._delivery.drain_once()

    def _next_count(self) -> dt.datetime | None:
        with self._app.store.reading() as uow:
            return uow.sets.next_at()

    async def _move_on(self) -> None:
        """Go to the next evening once nothing is left to answer on this one."""
        if self._waits_for_nothing():
            await self._to_next_evening()

    async def _to_next_evening(self) -> None:
        before = self._open_evening()
        for _ in range(MOST_STEPS):
            with self._app.store.reading() as uow:
                moment = uow.due.next(self._clock())
            if moment is None:
                break
            self._clock.move_to(moment)
            tick(self._app)
            await self._delivery.drain_once()
            now_open = self._open_evening()
            if now_open and now_open != before:
                return
        print(self._text("cli.try.nothing"), file=self._out)

    def _waits_for_nothing(self) -> bool:
        person = self._person()
        if person is None or person.status not in (Status.ACTIVE, Status.AWAY) or person.next_due is None:
            return False
        with self._app.store.reading() as uow:
            flow = uow.dialogues.get(person.id).flow
            step = uow.dialogues.get(person.id).step
        asks = flow in FLOWS or flow == "enrol" or step in ("change", "confirm")
        return not asks and self._open_evening() is None

    def _open_evening(self) -> str | None:
        """The id of the evening that waits for an answer."""
        person = self._person()
        if person is None:
            return None
        with self._app.store.reading() as uow:
            latest = [uow.diary.latest_check_in(each.id) for each in uow.diary.courses_of(person.id)]
        return next((each.id for each in latest if each and each.state == CheckInState.ASKED), None)

    def _signs_open(self) -> bool:
        person = self._person()
        if person is None:
            return False
        with self._app.store.reading() as uow:
            return uow.dialogues.get(person.id).flow in ("red_flags", "sign", "meanwhile")

    def _answers_signs(self, line: str) -> bool:
        heard = understand(line, "en", "both", 4)
        return self._channel.tapped(line) is not None or heard.pain is None

    def _person(self) -> Person | None:
        with self._app.store.reading() as uow:
            return uow.people.at(terminal.NAME, "terminal")

    def _heading(self) -> str:
        """The day and the hour, whenever the clock has moved since the last message."""
        if self._told == self._clock():
            return ""
        self._told = self._clock()
        person = self._person()
        local = self._told.astimezone(ZoneInfo(person.zone if person else self._app.chats.clinic.zone))
        return f"== {self._text.day(local.date())}, {self._text.time(local.time())} =="


def last_moment(uow: UnitOfWork) -> dt.datetime | None:
    """Where the clock of an earlier trial on this file stood; None for a new one."""
    person = uow.people.at(terminal.NAME, "terminal")
    if person is None:
        return None
    course = uow.diary.course_of(person.id)
    latest = uow.diary.latest_check_in(course.id) if course else None
    moments = [person.created_at]
    if latest:
        moments += [latest.due_at, latest.answered_at or latest.due_at]
    return max(moments)


def starts_with_an_evening(lines: list[str]) -> bool:
    """Whether piped input begins with a check-in rather than with the enrolment's first answer."""
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    return not first.startswith("/") and understand(first, "en", "both", 4).pain is not None
