"""What each button does: whose it is, and whether it is too late for it, is looked at here for all of them."""

from collections.abc import Callable

from bot.conversation import commands, flows, goals, guiding, questions, signs
from bot.conversation.danger import tapped_red_flags
from bot.conversation.noting import ask_again, confirmed, note, on_weight
from bot.conversation.talk import PersonTalk
from core.records import CheckIn, Course
from core.timetable import ONE_DAY
from core.use_cases.answering import Said, is_complete, record
from core.use_cases.gathering import check_in_facts

HIGHEST_PAIN = 10


def on_tap(talk: PersonTalk) -> str | None:
    """A button that was tapped, or typed by its label; the name of a command that is to follow."""
    version, _, rest = talk.came.data.partition(".")
    verb, _, argument = rest.partition(".")
    if version == "1" and verb in BUTTONS:
        return BUTTONS[verb](talk, argument)
    if version == "1" and verb in OF_AN_EVENING:
        _of_an_evening(talk, verb, *argument.partition(".")[::2])
    else:
        talk.say("button.old")
    return None


def _of_an_evening(talk: PersonTalk, verb: str, check_in_id: str, value: str) -> None:
    """The check-in's id is in the button, never the day it is tapped."""
    check_in = talk.work.uow.diary.check_in(check_in_id)
    course = talk.about(check_in.course_id) if check_in else None
    if check_in is None or course is None or check_in.person_id != talk.person.id:
        talk.say("button.old")
        return
    latest = talk.work.uow.diary.latest_check_in(course.id)
    last_day = check_in.date + ONE_DAY * (verb == commands.LAST_ANSWER)
    if verb not in NEVER_LATE and latest and latest.date > last_day:
        talk.say("button.other_day", date=check_in.date)
    else:
        OF_AN_EVENING[verb](talk, course, check_in, value)


def _pain(talk: PersonTalk, course: Course, check_in: CheckIn, value: str) -> None:
    _number(talk, course, check_in, value, HIGHEST_PAIN, lambda number: Said(pain=number, source="tapped"))


def _sets(talk: PersonTalk, course: Course, check_in: CheckIn, value: str) -> None:
    _number(talk, course, check_in, value, check_in.sets_asked, lambda number: Said(sets_done=number, source="tapped"))


def _number(
    talk: PersonTalk, course: Course, check_in: CheckIn, value: str, most: int, said: Callable[[int], Said]
) -> None:
    if not value.isdecimal() or int(value) > most:
        talk.say("button.old")
        return
    changing = talk.dialogue.step == "change" and talk.dialogue.check_in_id == check_in.id
    note(talk, course, check_in, said(int(value)), changing=changing)


def _woke_worse(talk: PersonTalk, course: Course, check_in: CheckIn, _: str) -> None:
    """The morning was worse: kept with the evening, which goes on; one that is answered is decided again."""
    said = Said(source="tapped", woke_worse=True)
    if is_complete(check_in):
        note(talk, course, check_in, said)
    else:
        recorded = record(talk.work, talk.person, course, check_in, said)
        talk.say("evening.morning", **check_in_facts(recorded.check_in))


BUTTONS: dict[str, Callable[[PersonTalk, str], str | None]] = {
    "f": flows.on_tap,
    "m": commands.on_button,
    "b": flows.on_meanwhile,
    "g": guiding.on_tap,
    "h": questions.on_in_the_way,
    "x": questions.pass_file,
    "o": goals.on_tap,
    "q": questions.on_topic,
    "l": questions.learn,
}
OF_AN_EVENING: dict[str, Callable[[PersonTalk, Course, CheckIn, str], None]] = {
    "p": _pain,
    "s": _sets,
    "v": _woke_worse,
    "c": lambda talk, _, check_in, __: ask_again(talk, check_in),
    commands.LAST_ANSWER: lambda talk, _, check_in, __: ask_again(talk, check_in),
    "y": lambda talk, course, check_in, _: confirmed(talk, course, check_in, yes=True),
    "n": lambda talk, course, check_in, _: confirmed(talk, course, check_in, yes=False),
    "r": tapped_red_flags,
    "w": lambda talk, _, check_in, value: signs.on_tap(talk, check_in, value),
    "k": on_weight,
}
NEVER_LATE = frozenset("rwk")  # a sign of danger, and "too much" a little late, too
