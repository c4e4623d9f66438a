"""What a typed line tells beside the evening's numbers, and no danger: an injection, a circumstance to be weighed."""

from bot.conversation.talk import PersonTalk
from core.model import Decision, Felt, Flag, Meanwhile, Understanding
from core.records import CheckIn, Course
from core.use_cases.gathering import decision_facts
from core.use_cases.meanwhile import tell_meanwhile, weight_asked, weight_felt, weight_used
from core.use_cases.reporting import circumstance_told, injection_told


def heard_beside(talk: PersonTalk, heard: Understanding) -> bool:
    """Act on it before the numbers, so that what is decided of them knows of it; False when there is nothing."""
    if heard.flag is Flag.INJECTION:
        _injection(talk)
    elif heard.flag is Flag.CIRCUMSTANCE and heard.circumstance:
        circumstance_told(talk.work, talk.person, heard.circumstance, talk.came.text)
        talk.say(f"told.{heard.circumstance.value}")
    else:
        return False
    return True


def _injection(talk: PersonTalk) -> None:
    decision = injection_told(talk.work, talk.person, talk.said_at, talk.came.text)
    talk.refresh()
    course = talk.course()
    if decision and course:
        programme = talk.work.programmes.get(talk.work.uow, course.programme_version)
        talk.say("injection.told", days=int(programme.rule.injection.rest_days.value))
    else:
        talk.say("injection.known")


def on_weight(talk: PersonTalk, course: Course, check_in: CheckIn, value: str) -> None:
    """A button under the question; one that is answered, or of another evening, changes nothing."""
    felt = Felt(value) if value in tuple(Felt) else None
    decision = weight_felt(talk.work, talk.person, course, check_in, felt) if felt else None
    if decision is None:
        talk.say("button.old")
    else:
        _say(talk, course, decision)


def typed_answer(talk: PersonTalk) -> bool:
    """Take a typed "easy", "right" or "too much" while the question is open; False when the text is none of these."""
    felt = next((each for each in Felt if talk.typed(f"words.weight.{each.value}")), None)
    for course in talk.courses() if felt else ():
        if felt and (check_in := weight_asked(talk.work, course)):
            talk.side = course.side
            on_weight(talk, course, check_in, felt.value)
            return True
    return False


def used(talk: PersonTalk, course: Course, check_in: CheckIn, grams: int) -> None:
    """The weight told beside the sets is theirs from now on, as far as the step allows."""
    _say(talk, course, weight_used(talk.work, talk.person, course, check_in.date, grams))


def _say(talk: PersonTalk, course: Course, decision: Decision) -> None:
    talk.refresh()
    programme = talk.work.programmes.get(talk.work.uow, course.programme_version)
    talk.say("weight.noted", **decision_facts(programme, decision))


def ask(talk: PersonTalk, course: Course) -> None:
    """Put the question; whatever else is done next lets it drop, and its buttons still work for some days."""
    talk.wait_for("meanwhile", "", talk.dialogue.check_in_id)
    talk.say("meanwhile.ask", course=course.id)


def typed(talk: PersonTalk) -> Meanwhile | None:
    """The answer that the whole text is, if it is one."""
    return next((each for each in Meanwhile if talk.typed(f"words.meanwhile.{each.value}")), None)


def on_meanwhile(talk: PersonTalk, argument: str) -> str | None:
    """A button under the question; one of another course, or long after, changes nothing."""
    course_id, _, value = argument.partition(".")
    course = talk.about(course_id)
    if course is None or value not in tuple(Meanwhile):
        talk.say("button.old")
        return None
    return told(talk, Meanwhile(value))


def told(talk: PersonTalk, value: Meanwhile) -> str | None:
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
