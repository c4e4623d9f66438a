"""Every state a person can be in, against everything a person can do: always answered, never an exception."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import pytest

from bot.conversation.commands import COMMANDS
from bot.conversation.flows import FLOWS
from bot.ports import Came
from core.guided import OTHER_SIDE
from core.records import Status
from core.use_cases.enrolling import begin_beside
from tests.bot.conversation.chat import Clinics, Patient


def state(status: Status) -> Callable[[Patient], None]:
    """A status nothing in a conversation leads to by itself."""

    def set_it(patient: Patient) -> None:
        with patient.clinic.store.writing() as uow:
            uow.people.save(replace(patient.person(), status=status))
            uow.commit()

    return set_it


def completed(patient: Patient) -> None:
    state(Status.COMPLETED)(patient)
    course = patient.course()
    with patient.clinic.store.writing() as uow:
        uow.diary.save_course(replace(course, episode=replace(course.episode, completed=True)))
        uow.commit()


def evening(*texts: str) -> Callable[[Patient], None]:
    def live(patient: Patient) -> None:
        patient.clinic.live_to(0, "19:05")
        for text in texts:
            patient.types(text)

    return live


def both_sides(*texts: str) -> Callable[[Patient], None]:
    """The same of somebody who has a course for each side."""

    def live(patient: Patient) -> None:
        with patient.clinic.store.writing() as uow:
            other = OTHER_SIDE[patient.course().side]
            begin_beside(patient.clinic.app.work(uow), patient.person(), other, 4, patient.course().episode.started)
            uow.commit()
        evening(*texts)(patient)

    return live


def morning_after(*texts: str) -> Callable[[Patient], None]:
    def live(patient: Patient) -> None:
        evening()(patient)
        patient.clinic.live_to(1, "08:00")
        for text in texts:
            patient.types(text)

    return live


def command(name: str) -> Callable[[Patient], None]:
    def send(patient: Patient) -> None:
        evening("4, did all")(patient)
        patient.sends(name)

    return send


def unreachable(patient: Patient) -> None:
    evening("4, did all")(patient)
    patient.does(Came.BLOCKED)
    patient.clinic.live_to(12, "10:00")


def back_after_silence(patient: Patient) -> None:
    evening("4, did all")(patient)
    patient.clinic.live_to(6, "19:05")
    patient.types("4, did all")


def stopped_and(then: str) -> Callable[[Patient], None]:
    def live(patient: Patient) -> None:
        evening("my hand is numb and weak")(patient)
        patient.sends(then)

    return live


STATES: dict[str, tuple[Status, str, Callable[[Patient], None]]] = {  # status, open question, the way there
    "enrolled": (Status.ACTIVE, "", lambda _: None),
    "asked": (Status.ACTIVE, "evening", evening()),
    "half answered": (Status.ACTIVE, "evening", evening("4")),
    "answered": (Status.ACTIVE, "", evening("4, did all")),
    "confirming": (Status.ACTIVE, "evening", evening("4, did all", "5")),
    "asked for signs": (Status.ACTIVE, "red_flags", evening("9, did all")),
    "asked whether it hurts": (Status.ACTIVE, "sign", evening("4, did all, my grip is weak")),
    "stopped": (Status.ACTIVE, "", evening("my hand is numb and weak")),
    "stopped, then left": (Status.LEFT, "", stopped_and("stop")),
    "stopped, then away": (Status.AWAY, "away", stopped_and("pause")),
    "night": (Status.ACTIVE, "evening", lambda patient: (evening()(patient), patient.clinic.live_to(1, "01:00"))[0]),
    "morning after silence": (Status.ACTIVE, "evening", morning_after()),
    "asked which day": (Status.ACTIVE, "which_day", morning_after("5, did 2")),
    "asked of the time away": (Status.ACTIVE, "meanwhile", back_after_silence),
    "both sides asked": (Status.ACTIVE, "evening", both_sides()),
    "both sides, one answered": (Status.ACTIVE, "evening", both_sides("right 4, did all")),
    "asked which side": (Status.ACTIVE, "which_side", both_sides("3 and 5")),
    "both sides answered": (Status.ACTIVE, "", both_sides("right 4, left 3, did all")),
    "change open": (Status.ACTIVE, "evening", command("change")),
    "pause open": (Status.AWAY, "away", command("pause")),
    "hour open": (Status.ACTIVE, "time", command("evening")),
    "nudges open": (Status.ACTIVE, "nudges", command("nudges")),
    "zone open": (Status.ACTIVE, "zone", command("zone")),
    "goals open": (Status.ACTIVE, "goals", command("goals")),
    "problem open": (Status.ACTIVE, "problem", command("problem")),
    "erase open": (Status.ACTIVE, "erase", command("erase")),
    "left": (Status.LEFT, "", command("stop")),
    "unreachable": (Status.UNREACHABLE, "", unreachable),
    "completed": (Status.COMPLETED, "", completed),
}
SET_BY_OTHERS = {Status.ENROLLING, Status.SCREENED_OUT}  # these have states of their own in BEFORE
STATES |= {
    status.value: (status, "", state(status))
    for status in Status
    if status not in SET_BY_OTHERS | {status for status, _, _ in STATES.values()}
}
BEFORE: dict[str, tuple[str, ...]] = {
    "consent": (),
    "fit": ("yes",),
    "signs": ("yes", "yes"),
    "rating": ("yes", "yes", "no", "no", "no", "no", "left"),
    "city": ("yes", "yes", "no", "no", "no", "no", "left", "4", "no"),
    "screened out": ("yes", "yes", "yes"),
    "left before the start": ("yes", "/stop"),
    "problem while enrolling": ("yes", "/problem"),
    "waiting": ("yes", "yes", "no", "no", "yes", "no", "left", "4", "yes", "19:00"),
}
TEXTS = (
    "4", "4, did all", "did 2", "4 or 5, did most", "yes", "no", "not sure", "left", "19:30", "Berlin", "3 days",
    "hello", "thanks", "help", "stop messaging me", "pause please", "sorry, I meant 6", "4, did all, stop messaging me",
    "should I take ibuprofen?", "5, did 2. should I take ibuprofen?", "my hand is numb", "chest pain",
    "I do not want to live any more", "", "🦆", "٤", "1" * 4000, "today", "last night", "/", "erase",
)  # fmt: skip
TAPS = (
    "", "1.m.today", "1.m.nothing", "1.f.enrol.consent.yes", "1.f.enrol.signs.no", "1.f.enrol.rating.4", "1.f.away.7",
    "1.f.away.open", "1.f.time.20:00", "1.f.zone.Europe/Berlin", "1.f.erase.no", "1.f.erase.yes", "1.f.which_day.last",
    "1.f.which_side.right", "1.e.{}", "1.g.start..left",
    "1.f.red_flags.yes", "1.p.{}.4", "1.s.{}.2", "1.c.{}", "1.y.{}", "1.n.{}", "1.r.{}.no", "1.r.{}.yes", "1.p.{}.x",
    "1.w.{}.painless", "1.w.{}.hurts", "1.f.sign.none", "1.f.enrol.past.cancer",
    "1.b.{}.most",
)  # fmt: skip


def everything(check_in: str) -> Iterator[dict[str, Any]]:
    for name in (*COMMANDS, "start", "nothing_of_ours"):
        yield {"came": Came.COMMAND, "command": name}
    for text in TEXTS:
        yield {"came": Came.TEXT, "text": text}
    for data in TAPS:
        yield {"came": Came.TAP, "data": data.format(check_in)}
    yield from ({"came": came} for came in (Came.OTHER, Came.UNBLOCKED, Came.BLOCKED))
    for text in ("6, did 1", "hm", "chest pain"):
        yield {"came": Came.EDIT, "text": text, "message_id": "2"}


def answered(clinic: Clinics, fields: dict[str, Any]) -> list[str]:
    """What it would be answered with; worded as it would be read, then undone."""
    queued = clinic.answers("cellist", [fields], keep=False)
    assert all(message.words.text.strip() for message in queued)
    return [message.kind for message in queued]


SHOWN = ("how.look", "guided.look", "guided.clip")


def check_all(clinic: Clinics, check_in: str, most: int = 2) -> None:
    for fields in everything(check_in):
        kinds = answered(clinic, fields)
        if fields["came"] == Came.BLOCKED:
            assert kinds == [], fields
        elif fields["came"] == Came.EDIT and fields["text"] != "chest pain":
            assert len(kinds) <= 2, fields
        else:
            # pictures go before the words of how it is done, and before the first set
            assert kinds, fields
            assert len([each for each in kinds if each not in SHOWN]) <= most, (fields, kinds)
        if fields.get("text") in ("chest pain", "my hand is numb"):
            assert "danger" in kinds, fields


@pytest.mark.parametrize("name", STATES)
def test_nobody_is_left_without_an_answer(clinic: Clinics, name: str):
    patient = Patient(clinic).enrols()
    status, flow, live = STATES[name]
    live(patient)
    assert (patient.person().status, patient.dialogue().flow) == (status, flow)
    check_in = patient.check_in(0)
    each = 2 if "side" in name else 1  # of two sides each is answered for itself
    welcome = 2 * (name == "unreachable")  # the step down and the question about the time away are said as well
    check_all(clinic, check_in.id if check_in else "none", 2 * each + welcome)


@pytest.mark.parametrize("name", BEFORE)
def test_nobody_is_left_without_an_answer_before_the_first_day(clinic: Clinics, name: str):
    patient = Patient(clinic)
    patient.sends("start", clinic.invite())
    for text in BEFORE[name]:
        patient.sends(text[1:]) if text.startswith("/") else patient.types(text)
    check_all(clinic, "none")


def test_every_open_question_is_among_the_states():
    assert {flow for _, flow, _ in STATES.values()} == {"", "evening", *FLOWS}
