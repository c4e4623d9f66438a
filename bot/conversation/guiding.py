"""A set on the phone: begun, stopped, taken back, what a word in the middle of it means; and nudges by day."""

import datetime as dt

from bot.buttons import Verb, carried
from bot.conversation import danger
from bot.conversation.signs import put, put_instead
from bot.conversation.talk import PersonTalk
from bot.conversation.typed import read_hours
from bot.ports import Came
from core.records import Course, GuidedSet, GuidedState, SignQuestion, Status
from core.rule.course import is_stopped
from core.timetable import NUDGE_HOURS, evening_of, local_date
from core.use_cases.deciding import dose_for
from core.use_cases.due import MOST_NUDGES, choose_hours, is_spread, not_today
from core.use_cases.gathering import side_of
from core.use_cases.guiding import NoSet, count, set_facts, start_set, stop_set, take_back

WORKING = (GuidedState.STARTING, GuidedState.RUNNING)
UNFINISHED = (GuidedState.STOPPED, GuidedState.CUT)


def start(talk: PersonTalk, exercise: str = "", side: str = "") -> None:
    """Begin the next set of today, of that exercise where one is named; of two sides ask for one."""
    if put_instead(talk):
        return
    if asked := danger.red_flags_open(talk):
        talk.about(asked.course_id)
        talk.say("red_flags.once_more", check_in_id=asked.id)
        return
    sides = [each for each in talk.courses() if not is_stopped(each.episode) and side in ("", each.side)]
    if len(sides) > 1 and talk.person.status == Status.ACTIVE:
        about = [(each.side, carried(Verb.GUIDED, "start", exercise, each.side)) for each in sides]
        talk.say("which_side.set", sides=[(side_of(talk.programme, which), begins) for which, begins in about])
        return
    talk.side = sides[0].side if sides else talk.side
    course = talk.course()
    if course is None:
        talk.say("button.old")
        return
    if danger.still_stopped(talk, course):
        return
    if talk.person.status != Status.ACTIVE:
        talk.say("away.still")
        return
    begun = start_set(talk.work, talk.person, course, exercise)
    running = talk.work.uow.sets.open_of(talk.person.id) if begun is NoSet.RUNNING else None
    if running and (course := talk.about(running.course_id)):
        _say(talk, course, running, "guided.no.running")
    elif isinstance(begun, NoSet):
        talk.say(f"guided.no.{begun.value}")


def on_tap(talk: PersonTalk, argument: str) -> None:
    """A button under a set's messages. What a set has come to decides what may still be done with it."""
    what, _, set_id = argument.partition(".")
    if what == "start":
        exercise, _, side = set_id.partition(".")
        start(talk, exercise, side)
        return
    if what == "not_today":
        _not_today(talk, set_id)
        return
    guided = talk.work.uow.sets.get(set_id)
    course = talk.about(guided.course_id) if guided else None
    if guided is None or course is None or guided.person_id != talk.person.id:
        talk.say("button.old")
    elif what in ("stop", "hurts") and guided.state in WORKING:
        _stop(talk, course, guided, what)
    elif what in ("little", "much", "sign") and guided.state in UNFINISHED:
        _hurt(talk, course, guided, what)
    elif guided.date != evening_of(talk.said_at, talk.person.zone):
        talk.say("button.other_day", date=guided.date)
    elif what == "again" and guided.state in UNFINISHED and not guided.counted:
        start(talk, guided.exercise, course.side)
    elif what == "count" and guided.state in UNFINISHED and not guided.counted and not is_stopped(course.episode):
        _say(talk, course, count(talk.work, talk.person, course, guided), "guided.counted")
    elif what == "undo" and guided.counted:
        take_back(talk.work, talk.person, course, guided)
        _say(talk, course, guided, "guided.undone")
    else:
        talk.say("button.old")


def took(talk: PersonTalk) -> bool:
    """Whether what came was a word to the set that is running, and to nothing else: it stops, and is asked about.

    Signs of danger are no such words; they are heard as always.
    """
    guided = _at_work(talk)
    course = talk.about(guided.course_id) if guided else None
    if guided is None or course is None or talk.came.came is not Came.TEXT:
        return False
    heard = next((each for each in ("hurts", "stop", "done") if talk.typed(f"words.guided.{each}")), "")
    if heard:
        _stop(talk, course, guided, heard)
    return bool(heard)


def interrupt(talk: PersonTalk) -> GuidedSet | None:
    """Stop the set that is running, since the person does something else; the set, None where none was."""
    guided = _at_work(talk)
    if guided is None or talk.came.command == "set":
        return None
    return stop_set(talk.work, guided)


def say_interrupted(talk: PersonTalk, guided: GuidedSet | None) -> None:
    """Ask what became of the set, unless something graver was said, or the person has left."""
    course = talk.about(guided.course_id) if guided else None
    if guided is None or course is None or is_stopped(course.episode) or talk.person.status != Status.ACTIVE:
        return
    _say(talk, course, guided, "guided.interrupted")


def _at_work(talk: PersonTalk) -> GuidedSet | None:
    if talk.came.came not in (Came.TEXT, Came.COMMAND, Came.OTHER):
        return None
    guided = talk.work.uow.sets.open_of(talk.person.id)
    return guided if guided and guided.state in WORKING else None


def _stop(talk: PersonTalk, course: Course, guided: GuidedSet, why: str) -> None:
    kind = {"hurts": "guided.hurts", "done": "guided.interrupted"}.get(why, "guided.stopped")
    _say(talk, course, stop_set(talk.work, guided), kind)


def _hurt(talk: PersonTalk, course: Course, guided: GuidedSet, what: str) -> None:
    if what == "sign":
        put(talk, SignQuestion.WHICH)
    elif what == "little":
        _say(talk, course, guided, "guided.hurts.little")
    else:
        talk.say("guided.hurts.much")


def _say(talk: PersonTalk, course: Course, guided: GuidedSet, kind: str) -> None:
    talk.say(kind, **set_facts(talk.work, course, guided))


def ask_hours(talk: PersonTalk) -> None:
    """At which hours of the day they want to be told of sets that are left."""
    talk.wait_for("nudges")
    talk.say("nudges.ask", most=MOST_NUDGES, hours=talk.person.nudges, **_from_until(talk))


def on_hours(talk: PersonTalk, answer: str) -> None:
    """Hours typed or tapped, or that none are wanted."""
    none = answer == "none" or talk.typed("words.nudges.none")
    hours = () if none else read_hours(answer)
    limits = _from_until(talk)
    fits = all(limits["earliest"] <= each < limits["until"] for each in hours) and len(hours) <= MOST_NUDGES
    if not fits or not (hours or none):
        talk.say("nudges.again", most=MOST_NUDGES, **limits)
        return
    talk.person = choose_hours(talk.work, talk.person, hours)
    talk.nothing_open()
    courses = talk.courses()
    today = local_date(talk.work.now, talk.person.zone)
    later = bool(courses) and not any(is_spread(dose_for(talk.work, each, today)) for each in courses)
    talk.say("nudges.set", hours=talk.person.nudges, later=later)


def _from_until(talk: PersonTalk) -> dict[str, dt.time]:
    """Quiet hours are kept, and the evening's question ends the day."""
    first, last = NUDGE_HOURS
    return {"earliest": first, "until": min(last, talk.person.evening)}


def _not_today(talk: PersonTalk, date: str) -> None:
    if date != local_date(talk.said_at, talk.person.zone).isoformat():
        talk.say("button.old")
        return
    not_today(talk.work, talk.person, dt.date.fromisoformat(date))
    talk.say("nudges.not_today")
