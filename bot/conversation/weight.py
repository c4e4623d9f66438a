"""How was the weight? Tapped or typed under the evening's outcome; and a weight that was told beside the sets."""

from bot.conversation.talk import PersonTalk
from core.model import Decision, Felt
from core.records import CheckIn, Course
from core.use_cases.facts import decision_facts
from core.use_cases.weighing import weight_asked, weight_felt, weight_used


def on_tap(talk: PersonTalk, course: Course, check_in: CheckIn, value: str) -> None:
    """A button under the question; one that is answered, or of another evening, changes nothing."""
    felt = Felt(value) if value in tuple(Felt) else None
    decision = weight_felt(talk.work, talk.person, course, check_in, felt) if felt else None
    if decision is None:
        talk.say("button.old")
    else:
        _say(talk, course, decision)


def typed_answer(talk: PersonTalk, course: Course) -> bool:
    """Take a typed "easy", "right" or "too much" while the question is open; False when the text is none of these."""
    felt = next((each for each in Felt if talk.typed(f"words.weight.{each.value}")), None)
    check_in = weight_asked(talk.work, course) if felt else None
    if felt is None or check_in is None:
        return False
    on_tap(talk, course, check_in, felt.value)
    return True


def used(talk: PersonTalk, course: Course, check_in: CheckIn, grams: int) -> None:
    """The weight told beside the sets is theirs from now on, as far as the step allows."""
    _say(talk, course, weight_used(talk.work, talk.person, course, check_in.date, grams))


def _say(talk: PersonTalk, course: Course, decision: Decision) -> None:
    talk.refresh()
    programme = talk.work.shelf.get(talk.work.uow, course.programme_version)
    talk.say("weight.noted", **decision_facts(programme, decision))
