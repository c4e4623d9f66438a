"""What a typed line tells beside the evening's numbers, and no danger: an injection, a circumstance to be weighed."""

from bot.conversation.talk import PersonTalk
from core.model import Flag, Understanding
from core.use_cases.telling import circumstance_told, injection_told


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
        programme = talk.work.shelf.get(talk.work.uow, course.programme_version)
        talk.say("injection.told", days=int(programme.rule.injection.rest_days.value))
    else:
        talk.say("injection.known")
