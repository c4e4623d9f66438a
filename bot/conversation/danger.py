"""Words of danger: heard in every state, before anything else is made of a text."""

from bot.conversation.talk import Talk
from core.answers import understand
from core.model import DANGER, Flag, Question, Understanding
from core.records import CheckIn, Course
from core.rule.course import is_stopped
from core.use_cases.answering import Said, note_question
from core.use_cases.warning import danger_told


def listen(talk: Talk, question: Question = Question.BOTH, prescribed: int = 0) -> Understanding:
    """What the text says, signs of danger above all."""
    return understand(talk.came.text, talk.person.language, question, prescribed)


def heard_danger(talk: Talk) -> bool:
    """Deal with danger in a text typed at a question that is not about the evening; False when there is none."""
    heard = listen(talk)
    if heard.flag in DANGER:
        answer(talk, heard.flag)
        return True
    if heard.flag in (Flag.CLINICAL_QUESTION, Flag.INJECTION, Flag.CIRCUMSTANCE):
        note_question(talk.work, talk.person, talk.came.text)
        talk.say("question.passed_on")
        return True
    return False


def still_stopped(talk: Talk, course: Course) -> bool:
    """Say so where the programme is stopped, for danger or by the therapist; False when it goes on."""
    if course.episode.paused_for:
        talk.say("danger.still", flag=course.episode.paused_for.value, emergency=talk.emergency)
    elif is_stopped(course.episode):
        talk.say("override.still")
    return is_stopped(course.episode)


def answer(talk: Talk, flag: Flag, check_in: CheckIn | None = None, heard: Understanding | None = None) -> None:
    """Stop the programme, tell the therapist, and say what help is needed and how soon."""
    said = Said(
        pain=heard.pain if heard else None,
        sets_done=heard.sets if heard else None,
        flag=flag,
        message_id=talk.came.message_id,
        text=talk.came.text,
    )
    danger_told(talk.work, talk.person, said, talk.said_at, check_in)
    talk.refresh()
    talk.nothing_open()
    talk.say("danger", flag=flag.value, emergency=talk.emergency)
