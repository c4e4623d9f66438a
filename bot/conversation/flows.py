"""Short questions of one step: until when, which hour, which town, what is wrong, which day, erase or not."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import replace

from bot.conversation import danger, enrol, evening, goals, guiding, questions, sides, signs
from bot.conversation.noting import ask_meanwhile
from bot.conversation.talk import PersonTalk
from bot.conversation.typed import read_time, read_zones
from core.model import Decision, Meanwhile
from core.records import CheckInState, Status
from core.rule.course import is_stopped
from core.timetable import evening_of, local_date
from core.understanding import Wish
from core.use_cases.coming_back import back_facts, come_back, long_break, tell_meanwhile
from core.use_cases.deciding import all_stopped
from core.use_cases.leaving import go_away
from core.use_cases.planning import change_evening, change_zone
from core.use_cases.reporting import red_flags_left_open

SHORT = frozenset({"away", "time", "zone", "nudges", "problem", "erase", "goals"})  # a command lets them drop
MOST_DAYS_AWAY = 90
_MOST_DIGITS = 3


def on_text(talk: PersonTalk) -> str | None:
    """A typed answer to the open question, danger first; the name of a command when the line wishes for one."""
    flow = talk.dialogue.flow
    if flow == "problem":
        return _problem(talk)
    if flow == "meanwhile":
        return _typed_meanwhile(talk)
    if flow == "red_flags" and evening.next_evening_answered(talk):
        return _evening_before_red_flags(talk)
    if flow == "sign" and signs.comes_first(talk):
        return None
    if flow not in SHORT and signs.typed_answer(talk, bare=flow == "sign"):
        return None
    if flow == "sign" and talk.course() and evening.gives_numbers(talk):
        return sides.on_text(talk)
    if signs.heard_danger(talk):
        return danger.wish_beside(talk)
    if wish := _wish(talk, flow):
        return wish
    if flow == goals.FLOW:
        return None if not _is_no_goal(talk) and goals.typed_answer(talk) else _something_else(talk)
    return FLOWS[flow](talk, talk.came.text)


def _is_no_goal(talk: PersonTalk) -> bool:
    """A question that the programme answers, or the evening's numbers while it is open."""
    if talk.dialogue.step == goals.RATING:
        return False
    course = talk.course()
    tonight = talk.work.uow.diary.latest_check_in(course.id) if course else None
    waits = tonight is not None and tonight.state == CheckInState.ASKED
    return bool(questions.asked_of(talk)) or (waits and evening.gives_numbers(talk))


def _evening_before_red_flags(talk: PersonTalk) -> str | None:
    """An evening's answer comes first; what a day later is still open is asked once more."""
    asked = talk.work.uow.diary.check_in(talk.dialogue.check_in_id or "")
    another_day = asked is not None and evening_of(talk.said_at, talk.person.zone) > asked.date
    course = talk.work.uow.diary.course(asked.course_id) if asked and another_day else None
    left_open = red_flags_left_open(talk.work, talk.person, course) if course else None
    wish = sides.on_text(talk)
    other_side = asked is not None and not another_day and len(talk.courses()) > 1
    if other_side and asked and talk.dialogue.flow == "" and talk.person.status is Status.ACTIVE:
        talk.wait_for("red_flags", "", asked.id)  # the line was about the other side, and answers nothing of these
    if left_open and course:
        talk.about(course.id)
        talk.say("red_flags.once_more", check_in_id=left_open)
    return wish


def _wish(talk: PersonTalk, flow: str) -> str | None:
    """Whoever wants no more messages, or help, is heard whatever is being asked."""
    wish = danger.listen(talk).wish
    # there it answers the question
    own_word = flow == "erase" or (flow == "away" and wish == Wish.PAUSE)
    own_word |= flow == "nudges" and talk.typed("words.nudges.none")
    return wish.value if wish in (Wish.STOP, Wish.PAUSE, Wish.HELP) and not own_word else None


def _typed_meanwhile(talk: PersonTalk) -> str | None:
    value = next((each for each in Meanwhile if talk.typed(f"words.meanwhile.{each.value}")), None)
    return _take_meanwhile(talk, value) if talk.courses() and value else _something_else(talk)


def on_meanwhile(talk: PersonTalk, argument: str) -> str | None:
    """A button under the question; one of another course, or long after, changes nothing."""
    course_id, _, value = argument.partition(".")
    if talk.about(course_id) and value in tuple(Meanwhile):
        return _take_meanwhile(talk, Meanwhile(value))
    talk.say("button.old")
    return None


def _take_meanwhile(talk: PersonTalk, value: Meanwhile) -> str | None:
    """Take the answer, for each side; the name of the command that shows the dose, where a step back is taken back."""
    before = talk.courses()
    if not [each for each in before if tell_meanwhile(talk.work, talk.person, each, value)]:
        talk.say("button.old")
        return None
    if talk.dialogue.flow == "meanwhile":
        talk.wait_for("", "", talk.dialogue.check_in_id)
    talk.say(f"meanwhile.{value.value}")
    talk.refresh()
    steps, now = ([(each.episode.step, each.episode.load_g) for each in all_] for all_ in (before, talk.courses()))
    return None if steps == now else "today"


def _something_else(talk: PersonTalk) -> str | None:
    """Nobody has to say what they did meanwhile: the line is an evening's answer, or whatever else it is."""
    talk.nothing_open()
    return sides.on_text(talk)


def _go_on(talk: PersonTalk) -> None:
    """Back to where the person was before the short question."""
    talk.nothing_open()
    if talk.person.status == Status.ENROLLING:
        enrol.ask_open_question(talk)


def let_drop(talk: PersonTalk) -> None:
    """Whoever turns to something else no longer answers a short question; what they type next is none of it."""
    if talk.dialogue.flow in SHORT:
        talk.nothing_open()


def on_tap(talk: PersonTalk, argument: str) -> str | None:
    """A tapped answer; a button of a question that is no longer open changes nothing."""
    flow, _, value = argument.partition(".")
    if flow == "enrol":
        enrol.on_tap(talk, value)
    elif flow in FLOWS and talk.dialogue.flow == flow:
        return FLOWS[flow](talk, value)
    else:
        talk.say("button.old")
    return None


def resume(talk: PersonTalk) -> None:
    """Ask again from now on."""
    talk.nothing_open()
    course = talk.course()
    if course and all_stopped(talk.work, talk.person) and danger.still_stopped(talk, course):
        return
    if talk.person.status == Status.ACTIVE:
        talk.say("away.not", **next_question(talk))
    else:
        talk.person, decided = come_back(talk.work, talk.person)
        say_back(talk, decided)


def next_question(talk: PersonTalk) -> dict[str, dt.date | None]:
    """The local date of the next evening's question, None when none is planned, and today's."""
    planned = talk.person.next_date
    today = local_date(talk.work.now, talk.person.zone)
    return {"next": planned, "today": today}


def say_back(talk: PersonTalk, decided: Mapping[str, Decision]) -> None:
    """Today's dose on coming back, and the step down if the break called for one: each decision by its course."""
    if not talk.courses():
        enrol.ask_open_question(talk)
    for course in talk.each_course():
        if not danger.still_stopped(talk, course):
            talk.say("away.back", **back_facts(talk.work, talk.person, course, decided.get(course.id)))
    long_ones = [each for each in talk.courses() if long_break(decided.get(each.id)) and not is_stopped(each.episode)]
    if long_ones:
        ask_meanwhile(talk, long_ones[0])


def _away(talk: PersonTalk, answer: str) -> None:
    if answer == "open" or talk.typed("words.unsure"):
        talk.nothing_open()
        talk.say("away.open")
        return
    days = _days(talk, answer)
    if not 1 <= days <= MOST_DAYS_AWAY:
        talk.say("away.again", most=MOST_DAYS_AWAY)
        return
    until = local_date(talk.work.now, talk.person.zone) + dt.timedelta(days=days)
    talk.person = go_away(talk.work, talk.person, until)
    talk.nothing_open()
    talk.say("away.set", until=until)


def _days(talk: PersonTalk, answer: str) -> int:
    """Days from "7" or "7 days"; 0 when it is neither."""
    number, _, word = answer.strip().casefold().partition(" ")
    if word and word.strip(" .!") not in talk.chats.words("words.days", talk.person.language):
        return 0
    return int(number) if number.isdecimal() and len(number) <= _MOST_DIGITS else 0


def _time(talk: PersonTalk, answer: str) -> None:
    time = read_time(answer)
    if time is None:
        talk.say("time.again", evening=talk.person.evening)
        return
    talk.person = change_evening(talk.work, talk.person, time)
    talk.nothing_open()
    talk.say("time.set", evening=time)


def _zone(talk: PersonTalk, answer: str) -> None:
    zone, near = read_zones(answer)
    if zone is None:
        talk.say("zone.near" if near else "zone.again", zone=talk.person.zone, zones=near)
        return
    talk.person = change_zone(talk.work, talk.person, zone)
    talk.nothing_open()
    talk.say("zone.set", zone=zone, evening=talk.person.evening)


def _problem(talk: PersonTalk) -> str | None:
    heard = signs.heard_danger(talk, asks=False)
    if not heard:
        questions.hand_on(talk, talk.came.text, "problem.noted", problem=True)
    _go_on(talk)
    if not heard:
        signs.put_if_any(talk, danger.listen(talk))
    return danger.wish_beside(talk) if heard else None


def _erase(talk: PersonTalk, answer: str) -> None:
    if answer != "yes" and not talk.typed("words.erase"):
        talk.say("erase.kept")
        _go_on(talk)
        return
    talk.work.uow.people.erase(talk.person.id)
    talk.person = replace(talk.person, id="", name="")  # the farewell must not bring a row of theirs back
    talk.say("erase.done")


FLOWS: dict[str, Callable[[PersonTalk, str], str | None]] = {
    "away": _away,
    "time": _time,
    "zone": _zone,
    "nudges": guiding.on_hours,
    "problem": lambda talk, _: talk.say("button.old"),  # what is wrong is typed, never tapped
    "erase": _erase,
    "which_day": sides.on_which_day,
    "which_side": sides.on_which_side,
    "meanwhile": lambda talk, _: talk.say("button.old"),  # its buttons are about a course
    "red_flags": danger.on_red_flags,
    "goals": lambda talk, _: talk.say("button.old"),  # its buttons carry what they are about
    "sign": signs.on_choice,
}
