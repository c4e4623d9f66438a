"""Whatever comes in: no crash, no stuck queue, nobody who said something left without an answer.

Two hundred of each by default; HOLDLOWER_FUZZ=20000 for as many as a release is tried with, HOLDLOWER_FUZZ_SEED for
others. A failure names the update, which the same seed makes again.
"""

import asyncio
import json
import os
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

import bot.messaging.inbox
from bot.messaging.inbox import handle_next
from bot.messaging.intake import Intake
from bot.ports import Came
from bot.run.in_store import in_thread
from bot.telegram import channel as telegram
from bot.telegram.updates import parse, parse_update
from core.records import Role
from core.store import SqlStore
from core.use_cases.joining import invite
from tests.bot.conversation.chat import CLINIC, MORNING, Clinics
from tests.fuzz.generate import CHATS, Dice

COUNT = int(os.environ.get("HOLDLOWER_FUZZ", "200"))
SEED = int(os.environ.get("HOLDLOWER_FUZZ_SEED", "1"))
ROUND = 100  # then half a day passes, and who was erased or has left is let in again
LEADS, THERAPISTS, PATIENTS = CHATS[:1], CHATS[1:3], CHATS[3:10]  # the others stay strangers
ANSWERED = {Came.TEXT, Came.COMMAND, Came.TAP, Came.OTHER}
ENROLMENT = ("yes", "yes", "no", "no", "no", "no", "right", "4", "yes", "19:00")
MOST_REPLIES = 3


class Line(Clinics):
    """A clinic at the end of the messaging service's line: raw updates go in."""

    def __init__(self, store: SqlStore, dice: Dice) -> None:
        super().__init__(store)
        self.app = replace(self.app, parse={telegram.NAME: parse_update})
        self.intake = Intake(store, in_thread, self._confirm, asyncio.Event(), self.clock)
        self.dice, self.days = dice, 0.0

    async def _confirm(self, tap_id: str) -> None: ...

    def feed(self, payload: dict[str, Any]) -> None:
        """One update, whole: stored, handled, answered, the answers worded."""
        sent = len(self.delivered)
        payload = json.loads(json.dumps(payload))
        rows = self.intake.rows([payload])
        with self.store.writing() as uow:
            uow.inbox.put(rows)
            uow.commit()
        while handle_next(self.app):
            pass
        self.deliver()
        self._check(payload, sent)

    def _check(self, payload: dict[str, Any], sent: int) -> None:
        new = self.delivered[sent:]
        assert all(message.kind != bot.messaging.inbox.BROKEN for _, message, _ in new), payload
        came = parse(payload, self.clock())
        if came and came.came in ANSWERED:
            own = [message.kind for _, message, _ in new if message.address == came.address]
            assert own, f"nobody answered {payload}"
            assert len(own) <= MOST_REPLIES + ("export" in str(own)), (own, payload)
        for _, message, shown in new:
            assert shown.text.strip() or shown.document or shown.picture, message.kind
            assert all(1 <= len(b.data.encode()) <= 64 and b.label.strip() for row in shown.buttons for b in row)
            self.dice.seen += [button.data for row in shown.buttons for button in row]

    def says(self, chat: int, text: str) -> None:
        self.feed({
            "update_id": next(self.numbers),
            "message": {"message_id": 1, "date": int(self.clock().timestamp()), "text": text,
                        "chat": {"id": chat, "type": "private"}, "from": {"id": chat, "first_name": "Somebody"}},
        })  # fmt: skip

    def let_in(self) -> None:
        """Everybody who is not here (any more) comes with a code; patients stop anywhere in the first questions."""
        for chats, role in ((LEADS, Role.LEAD), (THERAPISTS, Role.THERAPIST), (PATIENTS, Role.PATIENT)):
            for chat in chats:
                with self.store.writing() as uow:
                    staff = uow.staff.at(telegram.NAME, str(chat))
                    here = uow.people.at(telegram.NAME, str(chat)) or (staff and staff.left_at is None)
                    code = f"CODE{next(self.numbers)}"
                    invite(self.app.work(uow), CLINIC, code, f"Somebody {chat}", role=role)
                    uow.commit()
                if here:
                    continue
                self.says(chat, f"/start {code}")
                if role == Role.PATIENT:
                    for answer in ENROLMENT[: self.dice.choice((3, 9, 9, 9))]:
                        self.says(chat, answer)
        with self.store.writing() as uow:
            for one in uow.staff.all():
                if one.left_at is None:
                    uow.staff.save(replace(one, confirmed=True))
            found = [*(each.id for each in uow.staff.all()), *(each.id for each in uow.people.all())]
            courses = [uow.diary.course_of(each.id) for each in uow.people.all()]
            evenings = [uow.diary.latest_check_in(course.id) for course in courses if course]
            uow.commit()
        self.dice.ids = [*found, *(each.id for each in evenings if each)]

    def half_a_day(self) -> None:
        """Evenings are asked, closed, and digests go out."""
        self.days += 0.5
        self.live_to(int(self.days), "09:00" if self.days % 1 == 0 else "19:01")

    def check_empty(self) -> None:
        with self.store.writing() as uow:
            assert uow.inbox.claim(self.clock(), 10) == ()


@pytest.fixture
def line(sqlite_store: SqlStore, monkeypatch: pytest.MonkeyPatch) -> Iterator[Line]:
    def fails(app: object, item: object, error: Exception) -> None:
        raise error  # the service would try it again and then set it aside; here it is to be seen

    monkeypatch.setattr(bot.messaging.inbox, "_set_back", fails)
    line = Line(sqlite_store, Dice(SEED))
    yield line
    line.check_empty()


def rounds(line: Line) -> Iterator[int]:
    for number in range(COUNT):
        if number % ROUND == 0:
            line.half_a_day()
            line.let_in()
            del line.delivered[:], line.dice.seen[:-200]
        yield number


def test_random_updates_are_all_handled_and_whoever_said_something_is_answered(line: Line):
    for _ in rounds(line):
        line.feed(line.dice.update(next(line.numbers)))


def test_random_texts_are_all_answered_in_whatever_state_people_are(line: Line):
    for _ in rounds(line):
        line.says(line.dice.choice(CHATS), line.dice.text() or "x")


def test_the_dice_make_what_the_service_makes_and_much_that_it_does_not():
    dice = Dice(SEED)
    updates = [json.loads(json.dumps(dice.update(number))) for number in range(2000)]
    came = [parse(update, MORNING) for update in updates]
    kinds = {each.came for each in came if each}
    assert kinds == set(Came)
    assert sum(each is not None for each in came) > 1000
    assert sum(each is None for each in came) > 200
    texts = {dice.text() for _ in range(2000)}
    assert len(texts) > 1200
