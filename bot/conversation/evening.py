"""The evening check-in: two taps or one typed line, and every way in which it can go another way."""

from dataclasses import dataclass

from bot.conversation import danger
from bot.conversation.talk import Talk
from core.answers import understand
from core.model import DANGER, Flag, Question, Unclear, Understanding, Wish
from core.records import CheckIn, CheckInState, Course, Status
from core.timetable import ONE_DAY, evening_of, is_morning
from core.use_cases.answering import Recorded, Said, is_complete, note_question, open_evening, record
from core.use_cases.deciding import dose_for
from core.use_cases.facts import check_in_facts, decision_facts


@dataclass(frozen=True, slots=True)
class Open:
    """The evening that a typed text is about: its check-in when there is one, and which question is open."""

    course: Course
    check_in: CheckIn | None
    question: Question
    prescribed: int


def on_text(talk: Talk) -> str | None:
    """A typed line while nothing else is being asked; the name of a command when the line only wishes for one."""
    course = talk.course()
    if course is None:
        return "help"
    now_open = _open_evening(talk, course)
    heard = _hear(talk, now_open)
    if heard.flag in DANGER:
        danger.answer(talk, heard.flag, now_open.check_in, heard)
        return None
    if heard.wish in (Wish.STOP, Wish.PAUSE):
        return heard.wish.value
    if heard.wish == Wish.HELP and heard.pain is None and heard.sets is None:
        return "help"
    if heard.flag == Flag.CLINICAL_QUESTION:
        note_question(talk.work, talk.person, talk.came.text)
        talk.say("question.passed_on")
    if talk.person.status == Status.AWAY:
        talk.say("away.still")
    elif not _which_evening_unclear(talk, now_open, heard):
        _take(talk, now_open, heard)
    return None


def on_tap(talk: Talk, verb: str, argument: str) -> None:
    """A tapped number, or a button under an answer. The check-in's id is in the button, never the day it is tapped."""
    check_in_id, _, value = argument.partition(".")
    check_in = talk.work.uow.check_in(check_in_id)
    course = talk.course()
    if check_in is None or course is None or check_in.person_id != talk.person.id or check_in.course_id != course.id:
        talk.say("button.old")
        return
    latest = talk.work.uow.latest_check_in(course.id)
    if (latest and latest.date > check_in.date) or check_in.state == CheckInState.NOT_ASKED:
        talk.say("button.other_day", date=check_in.date.isoformat())
    elif verb in ("p", "s") and value.isdecimal():
        _tapped_number(talk, course, check_in, verb, int(value))
    elif verb == "r" and value in ("yes", "no", "unsure"):
        red_flags_answered(talk, check_in, value)
    elif verb == "c":
        ask_again(talk, check_in)
    elif verb == "y" and talk.dialogue.step == "confirm" and talk.dialogue.check_in_id == check_in.id:
        facts = talk.dialogue.facts
        _record(talk, course, check_in, Said(facts.get("pain"), facts.get("sets"), source="tapped"))
    elif verb == "n":
        talk.nothing_open()
        talk.say("change.kept", **check_in_facts(check_in))
    else:
        talk.say("button.old")


def on_edit(talk: Talk) -> None:
    """An edited message changes the answer it gave; any other edit means nothing to us."""
    course = talk.course()
    message_id = talk.came.message_id or ""
    check_in = talk.work.uow.check_in(talk.work.uow.answered_by(talk.person.id, message_id) or "")
    if course is None or check_in is None or check_in.course_id != course.id:
        return
    first = next(each for each in talk.work.uow.answers(talk.person.id) if each.message_id == message_id)
    question = Question.BOTH
    if (first.pain is None) != (first.sets_done is None):
        question = Question.SETS if first.pain is None else Question.PAIN
    heard = understand(talk.came.text, talk.person.language, question, check_in.sets_asked)
    if heard.flag in DANGER:
        danger.answer(talk, heard.flag, check_in, heard)
    elif heard.pain is None and heard.sets is None:
        talk.say("change.not_clear", **check_in_facts(check_in))
    elif heard.pain not in (None, check_in.pain) or heard.sets not in (None, check_in.sets_done):
        said = Said(heard.pain, heard.sets, source="edited", message_id=message_id)
        _record(talk, course, check_in, said)


def _hear(talk: Talk, now_open: Open) -> Understanding:
    """What the line says to the open question; asked for the sets alone, many send the whole evening once more."""
    language, prescribed = talk.person.language, now_open.prescribed
    heard = understand(talk.came.text, language, now_open.question, prescribed)
    if now_open.question == Question.SETS and heard.sets is None and heard.flag not in DANGER:
        whole = understand(talk.came.text, language, Question.BOTH, prescribed)
        if whole.pain is not None and whole.sets is not None:
            return whole
    return heard


def answer_for(talk: Talk, course: Course, check_in: CheckIn, heard: Understanding) -> None:
    """Take what was heard for this very evening."""
    question = _question(check_in)
    _take(talk, Open(course, check_in, question, check_in.sets_asked), heard)


def _open_evening(talk: Talk, course: Course) -> Open:
    """The check-in still being asked about, else today's."""
    uow, dialogue = talk.work.uow, talk.dialogue
    today = evening_of(talk.said_at, talk.person.zone)
    check_in = uow.check_in_on(course.id, today)
    asked = uow.check_in(dialogue.check_in_id) if dialogue.flow == "evening" and dialogue.check_in_id else None
    if dialogue.step == "change" and asked:
        return Open(course, asked, Question.BOTH, asked.sets_asked)
    last_night = check_in is None and asked is not None and asked.date == today - ONE_DAY and not is_complete(asked)
    if asked and last_night and is_morning(talk.said_at, talk.person.zone):
        return Open(course, asked, _question(asked), asked.sets_asked)
    if check_in:
        return Open(course, check_in, _question(check_in), check_in.sets_asked)
    prescribed = dose_for(talk.work, course, today).asked
    return Open(course, None, Question.BOTH, prescribed)


def _question(check_in: CheckIn) -> Question:
    if is_complete(check_in):
        return Question.BOTH
    if check_in.pain is not None and check_in.sets_done is None and check_in.sets_asked:
        return Question.SETS
    if check_in.sets_done is not None and check_in.pain is None:
        return Question.PAIN
    return Question.BOTH


def _which_evening_unclear(talk: Talk, now_open: Open, heard: Understanding) -> bool:
    """In the morning, after a silent evening, numbers may be meant for last night or for today: ask."""
    today = evening_of(talk.said_at, talk.person.zone)
    check_in = now_open.check_in
    if check_in is None or check_in.date == today or talk.dialogue.step == "change":
        return False
    if heard.pain is None and heard.sets is None:
        return False
    talk.wait_for("which_day", "", check_in.id, text=talk.came.text)
    talk.say("evening.which_day")
    return True


def _take(talk: Talk, now_open: Open, heard: Understanding) -> None:
    check_in = now_open.check_in
    said = Said(heard.pain, heard.sets, source="typed", message_id=talk.came.message_id)
    if heard.flag == Flag.CLINICAL_QUESTION:
        said = Said(heard.pain, heard.sets, heard.flag, "typed", talk.came.message_id)
    has_values = heard.pain is not None or heard.sets is not None
    if check_in and is_complete(check_in):
        _after_the_answer(talk, now_open.course, check_in, heard, said)
    elif heard.wish == Wish.CORRECT and _nothing_said(check_in):
        _correct_earlier(talk, now_open.course, heard, said)
    elif has_values:
        evening = check_in or _start_today(talk, now_open.course)
        _record(talk, now_open.course, evening, said, heard)
    elif check_in or heard.unclear:
        _not_clear(talk, now_open, heard)
    elif not talk.replies:
        talk.say("chat.nothing_open")


def _nothing_said(check_in: CheckIn | None) -> bool:
    return check_in is None or (check_in.pain is None and check_in.sets_done is None)


def _start_today(talk: Talk, course: Course) -> CheckIn:
    check_in = open_evening(talk.work, talk.person, course, evening_of(talk.said_at, talk.person.zone))
    talk.refresh()
    return check_in


def _after_the_answer(talk: Talk, course: Course, check_in: CheckIn, heard: Understanding, said: Said) -> None:
    has_values = heard.pain is not None or heard.sets is not None
    replaces = _differs(check_in.pain, heard.pain) or _differs(check_in.sets_done, heard.sets)
    same = heard.pain in (None, check_in.pain) and heard.sets in (None, check_in.sets_done)
    changing = talk.dialogue.step == "change" or heard.wish == Wish.CORRECT
    if changing and not has_values:
        if not talk.replies:
            ask_again(talk, check_in)
    elif has_values and same:
        talk.say("change.same", **check_in_facts(check_in))
    elif has_values and (changing or not replaces):
        _record(talk, course, check_in, said, heard)
    elif has_values:
        talk.wait_for("evening", "confirm", check_in.id, pain=heard.pain, sets=heard.sets)
        new = {"new_pain": heard.pain, "new_sets": heard.sets}
        talk.say("change.confirm", **check_in_facts(check_in), **new)
    elif talk.dialogue.step == "confirm" and talk.typed("words.yes"):
        on_tap(talk, "y", check_in.id)
    elif talk.dialogue.step == "confirm" and talk.typed("words.no"):
        on_tap(talk, "n", check_in.id)
    elif heard.unclear:
        talk.say("change.not_clear", **check_in_facts(check_in))
    elif not talk.replies:
        talk.say("chat.thanks")


def _differs(known: int | None, heard: int | None) -> bool:
    return known is not None and heard is not None and known != heard


def last_answered(talk: Talk, course: Course) -> CheckIn | None:
    """The evening that a change is about: tonight's once something was said for it, else the one before."""
    latest = talk.work.uow.latest_check_in(course.id)
    if latest and _nothing_said(latest):
        latest = talk.work.uow.check_in_on(course.id, latest.date - ONE_DAY)
    return None if latest is None or _nothing_said(latest) else latest


def _correct_earlier(talk: Talk, course: Course, heard: Understanding, said: Said) -> None:
    """The last evening that was answered is meant: tonight's has nothing to correct yet."""
    latest = last_answered(talk, course)
    if latest is None:
        talk.say("chat.nothing_open")
    elif heard.pain is None and heard.sets is None:
        ask_again(talk, latest)
    else:
        _record(talk, course, latest, said, heard)


def next_evening_answered(talk: Talk) -> bool:
    """Whether a typed line is an evening's answer although the red-flag questions are still open."""
    heard = danger.listen(talk, Question.BOTH, 1)
    return heard.pain is not None and not talk.typed("words.no")


def ask_again(talk: Talk, check_in: CheckIn) -> None:
    talk.wait_for("evening", "change", check_in.id)
    talk.say("change.ask", **check_in_facts(check_in))


def _not_clear(talk: Talk, now_open: Open, heard: Understanding) -> None:
    check_in = now_open.check_in or _start_today(talk, now_open.course)
    talk.wait_for("evening", now_open.question.value, check_in.id)
    facts = check_in_facts(check_in)
    passed_on = heard.flag == Flag.CLINICAL_QUESTION
    talk.say("evening.again", **facts, question=now_open.question.value, unclear=_unclear(heard), quiet=passed_on)


def _unclear(heard: Understanding) -> list[list[str]]:
    """What was tried and not taken; a part that was simply not said is asked for without a remark."""
    tried = [(question, why) for question, why in heard.unclear if why != Unclear.NOTHING]
    return [[question.value, why.value] for question, why in tried]


def _tapped_number(talk: Talk, course: Course, check_in: CheckIn, verb: str, value: int) -> None:
    if value > (10 if verb == "p" else check_in.sets_asked):
        talk.say("button.old")
        return
    said = Said(pain=value if verb == "p" else None, sets_done=value if verb == "s" else None, source="tapped")
    changing = talk.dialogue.step == "change" and talk.dialogue.check_in_id == check_in.id
    _record(talk, course, check_in, said, changing=changing)


def _record(
    talk: Talk,
    course: Course,
    check_in: CheckIn,
    said: Said,
    heard: Understanding | None = None,
    *,
    changing: bool = False,
) -> None:
    recorded = record(talk.work, talk.person, course, check_in, said)
    talk.refresh()
    if changing and said.pain is not None and check_in.sets_asked:
        # a change of the rating by tapping goes on to the sets, as the evening's own question does
        talk.wait_for("evening", "change", check_in.id)
        talk.say("evening.sets", **check_in_facts(recorded.check_in), changing=True)
    elif is_complete(recorded.check_in):
        talk.wait_for("", "", check_in.id)
        _tell(talk, course, recorded)
    else:
        question = _question(recorded.check_in)
        talk.wait_for("evening", question.value, check_in.id)
        unclear = _unclear(heard) if heard else []
        if unclear:
            facts = check_in_facts(recorded.check_in)
            talk.say("evening.again", **facts, question=question.value, unclear=unclear)
        else:
            talk.say(f"evening.{question.value}", **check_in_facts(recorded.check_in))


def _tell(talk: Talk, course: Course, recorded: Recorded) -> None:
    """What was noted, tomorrow's dose, and why."""
    facts = check_in_facts(recorded.check_in)
    if recorded.decision is None:
        talk.say("change.same", **facts)
        return
    tonight = talk.work.uow.latest_check_in(course.id)
    if tonight and tonight.date > recorded.check_in.date and tonight.state == CheckInState.ASKED:
        # tonight's dose was given out already; what is left of the evening is its question
        talk.wait_for("evening", _question(tonight).value, tonight.id)
        talk.say("change.earlier", **facts | {"date": recorded.check_in.date.isoformat()}, tonight=check_in_facts(tonight))
        return
    programme = talk.work.shelf.get(talk.work.uow, course.programme_version)
    if recorded.decision.ask_red_flags:
        talk.wait_for("red_flags", "", recorded.check_in.id)
    talk.say(
        "evening.outcome",
        **facts | decision_facts(programme, recorded.decision) | {"evening_date": facts["date"]},
        changed=recorded.changed,
        zone=talk.person.zone,
        today=evening_of(talk.said_at, talk.person.zone).isoformat(),
        emergency=talk.emergency,
    )


def red_flags_answered(talk: Talk, check_in: CheckIn, value: str) -> None:
    if value == "no":
        talk.nothing_open()
        talk.say("red_flags.none")
    else:
        danger.answer(talk, Flag.RED_FLAG, check_in)
