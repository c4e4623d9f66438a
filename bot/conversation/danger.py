"""Words of danger, heard before anything else is made of a text; and the red-flag questions after a very bad day."""

from bot.conversation.noting import ask_on, stop_told
from bot.conversation.talk import PersonTalk
from core.answers import understand
from core.model import DANGER, Flag
from core.records import CheckIn, Course
from core.rule.course import is_stopped
from core.understanding import STOPPING, Question, Understanding, Urgency, Wish
from core.use_cases.answering import Said
from core.use_cases.deciding import as_told
from core.use_cases.gathering import decision_facts
from core.use_cases.noticing import telling
from core.use_cases.reporting import circumstance_told, danger_told, injection_told, signs_denied

YES_OR_NO = ("yes", "no", "unsure")


def listen(talk: PersonTalk, question: Question = Question.BOTH, prescribed: int = 0) -> Understanding:
    """What the text says, signs of danger above all."""
    return understand(talk.came.text, talk.person.language, question, prescribed)


def stops(heard: Understanding) -> bool:
    """Whether what was heard stops the programme: a danger, or a circumstance to be looked at first."""
    return heard.flag in DANGER or (heard.flag is Flag.CIRCUMSTANCE and heard.circumstance in STOPPING)


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
        programme = talk.work.programme_of(course)
        talk.say("injection.told", days=int(programme.rule.injection.rest_days.value))
    else:
        talk.say("injection.known")


def typed_red_flags(talk: PersonTalk) -> bool:
    """Take a bare yes, no or not sure for the red-flag questions that are open, whatever was asked after them."""
    value = _yes_or_no(talk)
    found = red_flags_open(talk) if value else None
    if found is None or talk.dialogue.step == "confirm":
        return False
    red_flags_answered(talk, found, value)
    return True


def on_red_flags(talk: PersonTalk, answer: str) -> None:
    """What was typed, or tapped, while they are asked."""
    check_in = talk.work.uow.diary.check_in(talk.dialogue.check_in_id or "")
    value = answer if answer in YES_OR_NO else _yes_or_no(talk)
    if check_in is None or not value:
        talk.say("red_flags.again")
    else:
        red_flags_answered(talk, check_in, value)


def _yes_or_no(talk: PersonTalk) -> str:
    return next((each for each in YES_OR_NO if talk.typed(f"words.{each}")), "")


def red_flags_open(talk: PersonTalk) -> CheckIn | None:
    """The evening after which the red-flag questions were put that nobody answered yet."""
    asked = ((each.id, each.episode.signs_asked) for each in talk.courses())
    return next((now for which, date in asked if date and (now := talk.work.uow.diary.check_in_on(which, date))), None)


def red_flags_answered(talk: PersonTalk, check_in: CheckIn, value: str) -> None:
    """The red-flag questions after a very bad day: yes and not sure both stop the programme."""
    course = talk.about(check_in.course_id)
    if value == "no" and course:
        decision = signs_denied(talk.work, talk.person, course)
        for other in talk.courses():
            if other.episode.signs_asked:  # they are the person's, and answered for both sides
                signs_denied(talk.work, talk.person, other)
        decision = as_told(talk.work, course, decision)
        talk.refresh()
        talk.nothing_open()
        programme = talk.work.programme_of(course)
        talk.say("red_flags.none", decided=decision_facts(programme, decision))
        ask_on(talk, course)
    else:
        latest = talk.work.uow.diary.latest_check_in(check_in.course_id)
        # which of them is not known: as soon as the most urgent of those asked about
        answer(talk, Understanding(flag=Flag.RED_FLAG, urgency=Urgency.TODAY), latest or check_in)


def tapped_red_flags(talk: PersonTalk, course: Course, check_in: CheckIn, value: str) -> None:
    """A late yes still stops the programme; a late no, or a second yes, changes nothing."""
    if value not in YES_OR_NO:
        talk.say("button.old")
        return
    asked = course.episode.signs_asked is not None and check_in.date <= course.episode.signs_asked
    stopped = course.episode.paused_for
    if not asked and stopped:
        talk.say("danger.still", flag=stopped.value, emergency=talk.emergency)
    elif not asked and value == "no":
        decided = talk.work.uow.decisions.on(course.id, check_in.date)
        talk.say("red_flags.late_no" if decided and decided.decision.ask_red_flags else "button.old")
    else:
        red_flags_answered(talk, check_in, value)
