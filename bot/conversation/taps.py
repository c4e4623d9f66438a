"""A tap on a button; and the buttons of the last messages, which can be typed by their label or number."""

import re
from collections.abc import Iterator

from bot.conversation import beside, danger, signs
from bot.conversation.noting import ask_again, ask_on, note
from bot.conversation.talk import PersonTalk, plain
from bot.ports import Came, Incoming
from core.model import Flag, Understanding, Urgency
from core.ports import UnitOfWork
from core.records import Button, CheckIn, Course
from core.timetable import ONE_DAY
from core.use_cases.answering import Said, is_complete, record
from core.use_cases.deciding import as_told
from core.use_cases.gathering import check_in_facts, decision_facts
from core.use_cases.reporting import signs_denied

LAST_ANSWER = "e"  # of the side that was chosen, where /change asks which; perhaps of the evening before
LAST_MESSAGES = 3
LONGEST_LABEL = 64
OPEN_ONLY = "1.f."  # the answer to a question that is open: of the latest message alone
_NUMBERED = re.compile(r"(\d+)\.\s")


def typed_button(uow: UnitOfWork, came: Incoming, *, asked: bool, numbers: bool) -> str | None:
    """The data of the button whose label was typed; None where the line is none.

    While something is `asked`, only the latest message with buttons counts, so that an answer is never taken for an
    older button. `numbers`: a bare number means the line of a list, which is no answer to anything then.
    """
    line = plain(came.text)
    if came.came != Came.TEXT or not line or len(line) > LONGEST_LABEL or (line.isdecimal() and not numbers):
        return None
    for place, shown in enumerate(_shown(uow, came, asked=asked)):
        for button in shown:
            if place and button.data.startswith(OPEN_ONLY):
                continue
            if line == plain(button.label) or (numbers and line == _number(button.label)):
                return button.data
        if asked:
            break  # the others are not even read, at each answer of an evening
    return None


def _shown(uow: UnitOfWork, came: Incoming, *, asked: bool) -> Iterator[tuple[Button, ...]]:
    """The buttons of the last messages that have any, the latest first."""
    # while something is asked the latest has some, mostly, and the others need not be opened
    for most, known in ((1, 0), (LAST_MESSAGES, 1)) if asked else ((LAST_MESSAGES, 0),):
        for message in uow.outbox.latest(came.channel, came.address, most)[known:]:
            if message.words.buttons:
                yield tuple(button for row in message.words.buttons for button in row)


def _number(label: str) -> str | None:
    found = _NUMBERED.match(label)
    return found[1] if found else None


def on_tap(talk: PersonTalk, verb: str, argument: str) -> None:
    """A tapped number, or a button under an answer. The check-in's id is in the button, never the day it is tapped."""
    check_in_id, _, value = argument.partition(".")
    check_in = talk.work.uow.diary.check_in(check_in_id)
    course = talk.about(check_in.course_id) if check_in else None
    if check_in is None or course is None or check_in.person_id != talk.person.id:
        talk.say("button.old")
        return
    latest = talk.work.uow.diary.latest_check_in(course.id)
    if verb == "r" and value in ("yes", "no", "unsure"):
        _tapped_red_flags(talk, course, check_in, value)  # a sign of danger is never too late
    elif verb == "w":
        signs.on_tap(talk, check_in, value)
    elif verb == "k":
        beside.on_weight(talk, course, check_in, value)  # "too much" counts a little late, too
    elif latest and latest.date > check_in.date + ONE_DAY * (verb == LAST_ANSWER):
        talk.say("button.other_day", date=check_in.date)
    elif verb in ("p", "s") and value.isdecimal():
        _tapped_number(talk, course, check_in, verb, int(value))
    elif verb == "v":
        _woke_worse(talk, course, check_in)
    elif verb in ("c", LAST_ANSWER):
        ask_again(talk, check_in)
    elif verb in ("y", "n"):
        confirmed(talk, course, check_in, yes=verb == "y")
    else:
        talk.say("button.old")


def _woke_worse(talk: PersonTalk, course: Course, check_in: CheckIn) -> None:
    """The morning was worse: kept with the evening, which goes on; one that is answered is decided again."""
    said = Said(source="tapped", woke_worse=True)
    if is_complete(check_in):
        note(talk, course, check_in, said)
    else:
        recorded = record(talk.work, talk.person, course, check_in, said)
        talk.say("evening.morning", **check_in_facts(recorded.check_in))


def confirmed(talk: PersonTalk, course: Course, check_in: CheckIn, *, yes: bool) -> None:
    """The answer to "change it?", for the evening it was asked about."""
    dialogue = talk.dialogue
    if dialogue.step != "confirm" or dialogue.check_in_id != check_in.id:
        talk.say("button.old")
    elif yes:
        pain, sets = dialogue.facts.get("pain"), dialogue.facts.get("sets")
        said = Said(pain, sets, source="tapped", sets_above=dialogue.facts.get("above", 0))
        note(talk, course, check_in, said)
    else:
        talk.nothing_open()
        talk.say("change.kept", **check_in_facts(check_in))


def _tapped_red_flags(talk: PersonTalk, course: Course, check_in: CheckIn, value: str) -> None:
    """A late yes still stops the programme; a late no, or a second yes, changes nothing."""
    asked = course.episode.signs_asked is not None and check_in.date <= course.episode.signs_asked
    stopped = course.episode.paused_for
    if not asked and stopped:
        talk.say("danger.still", flag=stopped.value, emergency=talk.emergency)
    elif not asked and value == "no":
        decided = talk.work.uow.decisions.on(course.id, check_in.date)
        talk.say("red_flags.late_no" if decided and decided.decision.ask_red_flags else "button.old")
    else:
        red_flags_answered(talk, check_in, value)


def _tapped_number(talk: PersonTalk, course: Course, check_in: CheckIn, verb: str, value: int) -> None:
    if value > (10 if verb == "p" else check_in.sets_asked):
        talk.say("button.old")
        return
    said = Said(pain=value if verb == "p" else None, sets_done=value if verb == "s" else None, source="tapped")
    changing = talk.dialogue.step == "change" and talk.dialogue.check_in_id == check_in.id
    note(talk, course, check_in, said, changing=changing)


def typed_red_flags(talk: PersonTalk) -> bool:
    """Take a bare yes, no or not sure for the red-flag questions that are open, whatever was asked after them."""
    value = next((each for each in ("yes", "no", "unsure") if talk.typed(f"words.{each}")), "")
    found = red_flags_open(talk) if value else None
    if found is None or talk.dialogue.step == "confirm":
        return False
    red_flags_answered(talk, found, value)
    return True


def red_flags_open(talk: PersonTalk) -> CheckIn | None:
    """The evening after which the red-flag questions were put that nobody answered yet."""
    asked = ((each.id, each.episode.signs_asked) for each in talk.courses())
    return next((now for which, date in asked if date and (now := talk.work.uow.diary.check_in_on(which, date))), None)


def red_flags_answered(talk: PersonTalk, check_in: CheckIn, value: str) -> None:
    """The red-flag questions after a very bad day: yes and not sure both stop the programme."""
    course = talk.about(check_in.course_id)
    if value == "no" and course:
        decision = signs_denied(talk.work, talk.person, course)
        for other in talk.courses():
            if other.episode.signs_asked:  # they are the person's, and answered for both sides
                signs_denied(talk.work, talk.person, other)
        decision = as_told(talk.work, course, decision)
        talk.refresh()
        talk.nothing_open()
        programme = talk.work.programmes.get(talk.work.uow, course.programme_version)
        talk.say("red_flags.none", **decision_facts(programme, decision))
        ask_on(talk, course)
    else:
        latest = talk.work.uow.diary.latest_check_in(check_in.course_id)
        # which of them is not known: as soon as the most urgent of those asked about
        danger.answer(talk, Understanding(flag=Flag.RED_FLAG, urgency=Urgency.TODAY), latest or check_in)
