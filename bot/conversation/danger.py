"""Words of danger: heard in every state, before anything else is made of a text."""

from bot.conversation import questions
from bot.conversation.beside import heard_beside
from bot.conversation.noting import stop_told
from bot.conversation.signs import answers_the_question, put, wonders
from bot.conversation.talk import PersonTalk
from core.answers import understand
from core.model import DANGER, STOPPING, Flag, Question, Understanding, Urgency, Wish
from core.records import CheckIn, Course
from core.rule.course import is_stopped
from core.use_cases.answering import Said, note_question
from core.use_cases.escalating import telling
from core.use_cases.reporting import danger_told


def listen(talk: PersonTalk, question: Question = Question.BOTH, prescribed: int = 0) -> Understanding:
    """What the text says, signs of danger above all."""
    return understand(talk.came.text, talk.person.language, question, prescribed)


def stops(heard: Understanding) -> bool:
    """Whether what was heard stops the programme: a danger, or a circumstance to be looked at first."""
    return heard.flag in DANGER or (heard.flag is Flag.CIRCUMSTANCE and heard.circumstance in STOPPING)


def heard_danger(talk: PersonTalk, *, asks: bool = True) -> bool:
    """Deal with danger in a text typed at a question that is not about the evening; False when there is none.

    `asks`: words that may tell of a sign are asked about at once.
    """
    heard = listen(talk)
    if stops(heard):
        answer(talk, heard)
        return True
    if asks and heard.flag is Flag.CLINICAL_QUESTION and questions.answered(talk):
        questions.remember(talk)
        return True
    if heard.flag in (Flag.CLINICAL_QUESTION, Flag.INJECTION, Flag.CIRCUMSTANCE):
        note_question(talk.work, talk.person, talk.came.text)
        talk.say("question.passed_on")
        talk.say_if_closed()
        return True
    told = heard_beside(talk, heard)
    question = wonders(heard) if asks and not answers_the_question(talk) else None
    if question:
        put(talk, question, worse=heard.worse)
    return told or question is not None


def wish_beside(talk: PersonTalk) -> str | None:
    """A stop or a break wished for beside a danger is obeyed, too: the name of its command."""
    return leaving(listen(talk))


def leaving(heard: Understanding) -> str | None:
    """The name of the command for a wish to stop or to pause."""
    return heard.wish.value if heard.wish in (Wish.STOP, Wish.PAUSE) else None


def still_stopped(talk: PersonTalk, course: Course) -> bool:
    """Say so where the programme is stopped, for danger or by the therapist; False when it goes on."""
    if course.episode.paused_for:
        facts = {"told": telling(talk.work, talk.person), "again": stop_told(talk)}
        talk.say("danger.still", flag=course.episode.paused_for.value, emergency=talk.emergency, **facts)
    elif is_stopped(course.episode):
        talk.say("override.still", again=stop_told(talk))
    return is_stopped(course.episode)


def answer(
    talk: PersonTalk, heard: Understanding, check_in: CheckIn | None = None, *, numbers: bool = False, sign: str = ""
) -> None:
    """Stop the programme, tell the therapist, and say what help is needed and how soon.

    `numbers`: what was heard answers the evening of `check_in`, too. `sign`: the button that was tapped, where asked.
    """
    said = Said(
        pain=heard.pain if numbers else None,
        sets_done=heard.sets if numbers else None,
        flag=heard.flag,
        message_id=talk.came.message_id,
        text=talk.came.text,
        urgency=urgency_of(heard),
        circumstance=heard.circumstance if heard.flag is Flag.CIRCUMSTANCE else None,
        sign=sign,
    )
    danger_told(talk.work, talk.person, said, talk.said_at, check_in)
    talk.refresh()
    talk.nothing_open()
    talk.say("danger", what=what(heard), emergency=talk.emergency, told=telling(talk.work, talk.person))
    if heard.flag not in (Flag.URGENT, Flag.DISTRESS) and urgency_of(heard) is not Urgency.NOW:
        talk.say_if_closed()  # who needs help at once must not read of waiting


_OF_FLAG = {Flag.URGENT: Urgency.NOW, Flag.DISTRESS: Urgency.NOW, Flag.CIRCULATION: Urgency.TODAY}


def urgency_of(heard: Understanding) -> Urgency | None:
    """How soon a danger must be seen; a red flag of no known urgency within days."""
    if heard.flag is Flag.RED_FLAG:
        return heard.urgency or Urgency.SOON
    return _OF_FLAG.get(heard.flag) if heard.flag else None


def what(heard: Understanding) -> str:
    """Which of the texts on help: the kind of danger, how soon for a red flag, or the circumstance."""
    if heard.flag is Flag.CIRCUMSTANCE and heard.circumstance:
        return heard.circumstance.value
    if heard.flag is Flag.RED_FLAG:
        urgency = urgency_of(heard)
        return Flag.URGENT.value if urgency is Urgency.NOW else f"red_flag.{urgency}"
    return heard.flag.value if heard.flag else ""
