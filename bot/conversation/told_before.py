"""What the person has read already and need not read in full again."""

from bot.conversation.talk import PersonTalk
from core.model import Decision
from core.records import Course
from core.timetable import ONE_DAY

STOPS = frozenset({"danger", "danger.still", "override.still", "override.told"})
LAST_MESSAGES = 6


def stop_told(talk: PersonTalk) -> bool:
    """Whether one of the last messages told of the stop: it is told in full once, then in a line."""
    said = talk.work.uow.outbox.latest(talk.person.channel, talk.person.address, LAST_MESSAGES)
    return any(each.kind in STOPS for each in said) or any(each.kind in STOPS for each in talk.replies)


def same_reason(talk: PersonTalk, course: Course, decision: Decision) -> bool:
    """Whether the evening before was decided for the same reason, on the same step."""
    before = talk.work.uow.decisions.on(course.id, decision.date - ONE_DAY)
    if before is None or not (decision.reasons and before.decision.reasons):
        return False
    told, now = before.decision, decision
    return (told.reasons[0].code, told.step) == (now.reasons[0].code, now.step)
