"""A set on the phone: begun, stopped, taken back, and what a word or another message in the middle of it means."""

from bot.conversation import danger
from bot.conversation.signs import put
from bot.conversation.talk import PersonTalk
from bot.ports import Came
from core.records import Course, GuidedSet, GuidedState, SignQuestion, Status
from core.rule.course import is_stopped
from core.timetable import evening_of
from core.use_cases.guiding import NoSet, count, set_facts, start_set, stop_set, take_back

WORKING = (GuidedState.STARTING, GuidedState.RUNNING)
UNFINISHED = (GuidedState.STOPPED, GuidedState.CUT)


def start(talk: PersonTalk, exercise: str = "") -> None:
    """Begin the next set of today, of that exercise where one is named."""
    course = talk.course()
    if course is None or danger.still_stopped(talk, course):
        return
    if talk.person.status != Status.ACTIVE:
        talk.say("away.still")
        return
    begun = start_set(talk.work, talk.person, course, exercise)
    if begun is NoSet.RUNNING and (running := talk.work.uow.sets.open_of(talk.person.id)):
        _say(talk, course, running, "guided.no.running")
    elif isinstance(begun, NoSet):
        talk.say(f"guided.no.{begun.value}")


def on_tap(talk: PersonTalk, argument: str) -> None:
    """A button under a set's messages. What a set has come to decides what may still be done with it."""
    what, _, set_id = argument.partition(".")
    if what == "start":
        start(talk, set_id)
        return
    guided, course = talk.work.uow.sets.get(set_id), talk.course()
    if guided is None or course is None or guided.course_id != course.id or guided.person_id != talk.person.id:
        talk.say("button.old")
    elif what in ("stop", "hurts") and guided.state in WORKING:
        _stop(talk, course, guided, what)
    elif what in ("little", "much", "sign") and guided.state in UNFINISHED:
        _hurt(talk, course, guided, what)
    elif guided.date != evening_of(talk.said_at, talk.person.zone):
        talk.say("button.other_day", date=guided.date)
    elif what == "again" and guided.state in UNFINISHED and not guided.counted:
        start(talk, guided.exercise)
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
    guided, course = _at_work(talk), talk.course()
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
    course = talk.course()
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
