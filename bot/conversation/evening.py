"""The evening check-in: two taps or one typed line, and every way in which it can go another way."""

from dataclasses import dataclass, replace

from bot.conversation import danger, questions, signs
from bot.conversation.danger import heard_beside
from bot.conversation.noting import ask_again, confirmed, note, question_of, tried, typed_weight
from bot.conversation.signs import kept_unread, put_if_any, wonders
from bot.conversation.talk import PersonTalk
from core.answers import understand
from core.model import DANGER, Flag
from core.records import CheckIn, Course, Status
from core.rule.course import is_stopped
from core.timetable import ONE_DAY, evening_of, is_morning
from core.understanding import Circumstance, Question, Understanding, Wish
from core.use_cases.answering import Said, is_complete, only_guided, open_evening
from core.use_cases.deciding import dose_for

USUAL_SETS = 4  # any number but 0: what "none" means does not depend on it


@dataclass(frozen=True, slots=True)
class Open:
    """The evening that a typed text is about: its check-in when there is one, and which question is open."""

    course: Course
    check_in: CheckIn | None
    question: Question
    prescribed: int
    words: str = ""  # what of the text is about it; empty: all


def on_text(talk: PersonTalk) -> str | None:
    """A typed line while nothing else is being asked; the name of a command when the line only wishes for one."""
    course = talk.course()
    if course is None:
        return "help"
    if signs.typed_answer(talk, bare=False) or typed_weight(talk):
        return None
    now_open = open_evening_of(talk, course)
    return on_line(talk, now_open, hear(talk, now_open))


def on_line(talk: PersonTalk, now_open: Open, heard: Understanding) -> str | None:
    """What was heard of an evening, and what stands beside it."""
    command = _on_heard(talk, now_open, heard)
    kept_unread(talk, heard)
    put_if_any(talk, heard)
    return command


def _on_heard(talk: PersonTalk, now_open: Open, heard: Understanding) -> str | None:
    if danger.stops(heard):
        danger.answer(talk, heard, now_open.check_in, numbers=True)
        return danger.leaving(heard)
    told = heard_beside(talk, heard)
    if told:
        now_open, heard = _after_telling(talk, now_open, heard)
    if leaving := danger.leaving(heard):
        _take_before_leaving(talk, now_open, heard)
        return leaving
    if heard.wish == Wish.HELP and not has_values(heard):
        return "help"
    if asked := _answered_at_once(talk, heard):
        heard = replace(heard, flag=None)
    elif heard.flag == Flag.CLINICAL_QUESTION:
        questions.hand_on(talk, talk.came.text)
    if ((told or asked) and _asks_nothing(now_open, heard)) or (wonders(heard) and not has_values(heard)):
        command = None
    else:
        command = answer(talk, now_open, heard)
    if asked:
        questions.remember(talk)
    return command


def _answered_at_once(talk: PersonTalk, heard: Understanding) -> bool:
    """Whether the line asks what the programme itself has an answer to, and nothing that a person should hear of."""
    may_be = heard.flag is Flag.CLINICAL_QUESTION or (heard.flag is None and not has_values(heard))
    return may_be and not wonders(heard) and questions.answered(talk)


def _after_telling(talk: PersonTalk, now_open: Open, heard: Understanding) -> tuple[Open, Understanding]:
    """The course as it is now; numbers told of somebody else's arm or leg are not this person's."""
    course = talk.course() or now_open.course
    if heard.circumstance is Circumstance.OTHER_PERSON:
        heard = replace(heard, pain=None, sets=None, unclear=())
    return replace(now_open, course=course), heard


def _asks_nothing(now_open: Open, heard: Understanding) -> bool:
    """Whether the reply to what was told is the whole answer: no numbers came, and none are waited for."""
    return not has_values(heard) and (now_open.check_in is None or is_complete(now_open.check_in))


def answer(talk: PersonTalk, now_open: Open, heard: Understanding) -> str | None:
    """Take the numbers, where an evening waits for any; the name of a command that says more."""
    stopped = is_stopped(now_open.course.episode)
    if stopped and (talk.person.status == Status.AWAY or not has_values(heard)):
        danger.still_stopped(talk, now_open.course)
    elif talk.person.status == Status.AWAY:
        talk.say("away.not_counted" if has_values(heard) else "away.still")
    elif evening_of(talk.said_at, talk.person.zone) < now_open.course.episode.started:
        return None if talk.replies else "today"  # says which day is the first
    elif not _which_evening_unclear(talk, now_open, heard):
        take(talk, now_open, heard)
    return None


def _take_before_leaving(talk: PersonTalk, now_open: Open, heard: Understanding) -> None:
    """Numbers beside the wish for a break still count for the evening that is open."""
    check_in = now_open.check_in
    if check_in is None or is_complete(check_in) or talk.dialogue.step == "change":
        return
    if talk.person.status == Status.ACTIVE and has_values(heard):
        note(talk, now_open.course, check_in, said_in(talk, heard), heard)


def said_in(talk: PersonTalk, heard: Understanding) -> Said:
    """What was heard of an evening, to be recorded."""
    return Said(
        pain=heard.pain,
        sets_done=heard.sets,
        flag=heard.flag,
        message_id=talk.came.message_id,
        woke_worse=heard.worse_on_waking,
        sets_above=heard.sets_above,
    )


def has_values(heard: Understanding) -> bool:
    """Whether a pain or sets were heard."""
    return heard.pain is not None or heard.sets is not None


def hear(talk: PersonTalk, now_open: Open) -> Understanding:
    """What the line says to the open question; asked for the sets alone, many send the whole evening once more."""
    language, prescribed = talk.person.language, now_open.prescribed
    heard = understand(talk.came.text, language, now_open.question, prescribed)
    if now_open.question == Question.SETS and heard.sets is None and heard.flag not in DANGER:
        whole = understand(talk.came.text, language, Question.BOTH, prescribed)
        if whole.pain is not None and whole.sets is not None:
            return whole
    if not prescribed and heard.pain is None and heard.flag not in DANGER:
        usual = understand(talk.came.text, language, Question.BOTH, USUAL_SETS)
        if usual.pain is not None and usual.sets == 0:  # "5, none" on a rest day: no sets were asked, and none done
            return replace(usual, sets=None)
    return heard


def open_evening_of(talk: PersonTalk, course: Course) -> Open:
    """The check-in still being asked about, else today's."""
    uow, dialogue = talk.work.uow, talk.dialogue
    today = evening_of(talk.said_at, talk.person.zone)
    check_in = uow.diary.check_in_on(course.id, today)
    asked = uow.diary.check_in(dialogue.check_in_id) if dialogue.flow == "evening" and dialogue.check_in_id else None
    if dialogue.step == "change" and asked:
        return Open(course, asked, Question.BOTH, asked.sets_asked)
    last_night = check_in is None and asked is not None and asked.date == today - ONE_DAY and not is_complete(asked)
    if asked and last_night and is_morning(talk.said_at, talk.person.zone):
        return Open(course, asked, question_of(asked), asked.sets_asked)
    if check_in:
        return Open(course, check_in, question_of(check_in), check_in.sets_asked)
    prescribed = dose_for(talk.work, course, today).asked
    return Open(course, None, Question.BOTH, prescribed)


def _which_evening_unclear(talk: PersonTalk, now_open: Open, heard: Understanding) -> bool:
    """In the morning, after a silent evening, numbers may be meant for last night or for today: ask."""
    today = evening_of(talk.said_at, talk.person.zone)
    check_in = now_open.check_in
    if check_in is None or check_in.date == today or talk.dialogue.step == "change":
        return False
    if not has_values(heard):
        return False
    talk.wait_for("which_day", "", check_in.id, text=talk.came.text)
    talk.say("evening.which_day")
    return True


def take(talk: PersonTalk, now_open: Open, heard: Understanding) -> None:
    """Take what was heard for this very evening."""
    check_in = now_open.check_in
    said = said_in(talk, heard)
    if check_in and is_complete(check_in):
        _after_the_answer(talk, now_open.course, check_in, heard, said)
    elif heard.wish == Wish.CORRECT and _nothing_said(check_in) and (latest := last_answered(talk, now_open.course)):
        if has_values(heard):  # tonight's has nothing to correct yet: the last evening that was answered is meant
            note(talk, now_open.course, latest, said, heard)
        else:
            ask_again(talk, latest)
    elif has_values(heard):
        evening = check_in or _start_today(talk, now_open.course)
        note(talk, now_open.course, evening, said, heard)
    elif check_in:
        _not_clear(talk, check_in, now_open.question, heard)
    elif not talk.replies:
        talk.say("chat.nothing_open")


def _nothing_said(check_in: CheckIn | None) -> bool:
    return check_in is None or only_guided(check_in) or (check_in.pain is None and check_in.sets_done is None)


def _start_today(talk: PersonTalk, course: Course) -> CheckIn:
    check_in = open_evening(talk.work, talk.person, course, evening_of(talk.said_at, talk.person.zone))
    talk.refresh()
    return check_in


def _after_the_answer(talk: PersonTalk, course: Course, check_in: CheckIn, heard: Understanding, said: Said) -> None:
    given = has_values(heard)
    replaces = _differs(check_in.pain, heard.pain) or _differs(check_in.sets_done, heard.sets)
    same = heard.pain in (None, check_in.pain) and heard.sets in (None, check_in.sets_done)
    same = same and (heard.sets is None or heard.sets_above == check_in.sets_above)
    changing = talk.dialogue.step == "change" or heard.wish == Wish.CORRECT
    if changing and not given:
        if not talk.replies:
            ask_again(talk, check_in)
    elif given and same and not talk.dialogue.facts.get("changed"):
        talk.say("change.same", check_in=check_in)
    elif given and (changing or not replaces):
        note(talk, course, check_in, said, heard)
    elif given:
        talk.wait_for("evening", "confirm", check_in.id, pain=heard.pain, sets=heard.sets, above=heard.sets_above)
        new = {"new_pain": heard.pain, "new_sets": heard.sets}
        talk.say("change.confirm", check_in=check_in, **new)
    elif talk.dialogue.step == "confirm" and ((yes := talk.typed("words.yes")) or talk.typed("words.no")):
        confirmed(talk, course, check_in, yes=yes)
    elif tried(heard):
        talk.say("change.not_clear", check_in=check_in)
    elif not talk.replies:
        talk.say("chat.thanks")


def _differs(known: int | None, heard: int | None) -> bool:
    return known is not None and heard is not None and known != heard


def last_answered(talk: PersonTalk, course: Course) -> CheckIn | None:
    """The evening that a change is about: tonight's once something was said for it, else the one before."""
    latest = talk.work.uow.diary.latest_check_in(course.id)
    if latest and _nothing_said(latest):
        latest = talk.work.uow.diary.check_in_on(course.id, latest.date - ONE_DAY)
    return None if latest is None or _nothing_said(latest) else latest


def gives_numbers(talk: PersonTalk) -> bool:
    """Whether a typed line answers an evening: one beside a question about a sign, or what it says of one side."""
    return has_values(danger.listen(talk, Question.BOTH, USUAL_SETS))


def next_evening_answered(talk: PersonTalk) -> bool:
    """Whether a typed line is an evening's answer although the red-flag questions are still open."""
    heard = danger.listen(talk, Question.BOTH, 1)
    return heard.pain is not None and not talk.typed("words.no")


def _not_clear(talk: PersonTalk, check_in: CheckIn, question: Question, heard: Understanding) -> None:
    talk.wait_for("evening", question.value, check_in.id)
    answered = heard.flag is not None or bool(talk.replies)  # by what stands above: no number was to be expected
    talk.say("evening.again", check_in=check_in, question=question.value, unclear=tried(heard), quiet=answered)
