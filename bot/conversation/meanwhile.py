"""One question on coming back: were the sets done meanwhile? Most, some or none, tapped or typed."""

from bot.conversation.talk import PersonTalk
from core.model import Meanwhile
from core.records import Course
from core.use_cases.meanwhile import tell_meanwhile


def ask(talk: PersonTalk, course: Course) -> None:
    """Put the question; whatever else is done next lets it drop, and its buttons still work for some days."""
    talk.wait_for("meanwhile", "", talk.dialogue.check_in_id)
    talk.say("meanwhile.ask", course=course.id)


def typed(talk: PersonTalk) -> Meanwhile | None:
    """The answer that the whole text is, if it is one."""
    return next((each for each in Meanwhile if talk.typed(f"words.meanwhile.{each.value}")), None)


def on_tap(talk: PersonTalk, argument: str) -> str | None:
    """A button under the question; one of another course, or long after, changes nothing."""
    course_id, _, value = argument.partition(".")
    course = talk.course()
    if course is None or course.id != course_id or value not in tuple(Meanwhile):
        talk.say("button.old")
        return None
    return told(talk, course, Meanwhile(value))


def told(talk: PersonTalk, course: Course, value: Meanwhile) -> str | None:
    """Take the answer; the name of the command that shows the dose, where a step back for no gap is taken back."""
    if not tell_meanwhile(talk.work, talk.person, course, value):
        talk.say("button.old")
        return None
    if talk.dialogue.flow == "meanwhile":
        talk.wait_for("", "", talk.dialogue.check_in_id)
    talk.say(f"meanwhile.{value.value}")
    talk.refresh()
    now = talk.course() or course
    same = (now.episode.step, now.episode.load_g) == (course.episode.step, course.episode.load_g)
    return None if same else "today"
