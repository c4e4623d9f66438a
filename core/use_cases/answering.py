"""Taking an answer: it counts once, for the evening it belongs to, and can be changed."""

import datetime as dt
from dataclasses import dataclass, replace

from core.model import DANGER, Decision, Flag, NoticeKind
from core.records import Answer, CheckIn, CheckInState, Course, Person, SignQuestion
from core.rule.course import is_stopped
from core.timetable import TOO_LATE, end_of_day, instant, next_evening, reminder
from core.understanding import Circumstance, Urgency
from core.use_cases.deciding import decide_from, dose_for
from core.use_cases.entries import Entry
from core.use_cases.noticing import tell_therapist
from core.use_cases.work import Work

QUESTIONS = ("evening.ask", "silence.ask", "silence.again", "silence.weekly")  # what an answer makes superfluous


@dataclass(frozen=True, slots=True)
class Said:
    """What was said for one evening; None leaves what is already known."""

    pain: int | None = None
    sets_done: int | None = None
    flag: Flag | None = None
    source: str = "typed"
    message_id: str | None = None
    text: str = ""  # the person's own words, kept only beside a notice
    urgency: Urgency | None = None
    woke_worse: bool = False
    circumstance: Circumstance | None = None
    sets_above: int = 0  # beside `sets_done`, which are then all that were asked
    sign: str = ""  # the button tapped where it was asked which sign it is


@dataclass(frozen=True, slots=True)
class Recorded:
    """The evening as it stands now; `decision` when it could be decided; `changed` when an answer was replaced."""

    check_in: CheckIn
    decision: Decision | None
    changed: bool


def open_evening(work: Work, person: Person, course: Course, date: dt.date) -> CheckIn:
    """The check-in of that date, made now when a person speaks before being asked; the question is then not sent."""
    if known := work.uow.diary.check_in_on(course.id, date):
        return known
    check_in = _opened(work, person, course, date)
    if person.next_date == date:
        # the other side's evening begins as well, since nothing asks about that date any more
        for other in work.uow.diary.courses_of(person.id):
            begun = not is_stopped(other.episode) and other.episode.started <= date
            if other.id != course.id and begun and not work.uow.diary.check_in_on(other.id, date):
                _opened(work, person, other, date)
        next_date, next_due = next_evening(date, person.evening, person.zone)
        work.uow.people.save(replace(person, next_date=next_date, next_due=next_due))
    return check_in


def _opened(work: Work, person: Person, course: Course, date: dt.date) -> CheckIn:
    due = instant(date, person.evening, person.zone) or work.now
    close = end_of_day(date, person.zone)
    remind = reminder(due, person.zone)
    check_in, _ = begin_evening(
        work, person, course, date, due,
        sets_asked=0 if date < course.episode.started else dose_for(work, course, date).asked,
        remind_at=remind if remind and remind > work.now else None,
        # after midnight the evening before stays open for a while, so that a first half of an answer gets its other
        close_at=close if close > work.now else work.now + TOO_LATE,
    )  # fmt: skip
    return check_in


def begin_evening(
    work: Work, person: Person, course: Course, date: dt.date, due: dt.datetime, *, sets_asked: int,
    remind_at: dt.datetime | None, close_at: dt.datetime | None, asked: bool = True,
) -> tuple[CheckIn, bool]:  # fmt: skip
    """The check-in of that date, and whether it is new; sets that were counted through count already, and a question
    about a sign that was open the evening before stays open.
    """
    check_in = CheckIn(
        id=work.new_id(),
        clinic_id=person.clinic_id,
        course_id=course.id,
        person_id=person.id,
        date=date,
        state=CheckInState.ASKED if asked else CheckInState.NOT_ASKED,
        due_at=due,
        sets_asked=sets_asked,
        remind_at=remind_at,
        close_at=close_at,
    )
    check_in = _with_sign(work, _with_guided(work, check_in))
    return check_in, work.uow.diary.add_check_in(check_in)


def _with_guided(work: Work, check_in: CheckIn) -> CheckIn:
    counted = sum(each.counted for each in work.uow.sets.on(check_in.course_id, check_in.date))
    known = min(counted, check_in.sets_asked)
    return replace(check_in, sets_done=known, sets_guided=known) if known else check_in


def _with_sign(work: Work, check_in: CheckIn) -> CheckIn:
    latest = work.uow.diary.latest_check_in(check_in.course_id)
    if latest is None or latest.sign is not SignQuestion.WHICH or latest.date >= check_in.date:
        return check_in
    work.uow.diary.save_check_in(replace(latest, sign=None, sign_words="", sign_again=False))
    later = check_in.remind_at or (None if latest.sign_again else latest.remind_at)
    return replace(
        check_in, sign=latest.sign, sign_words=latest.sign_words, sign_again=latest.sign_again, remind_at=later
    )


def only_guided(check_in: CheckIn) -> bool:
    """Whether all that is known of the evening is what was counted through: nothing was said of it yet."""
    return check_in.pain is None and check_in.sets_done is not None and check_in.sets_done == check_in.sets_guided


def record(work: Work, person: Person, course: Course, check_in: CheckIn, said: Said) -> Recorded:
    """Note what was said for an evening; decide it once it is complete, and again when it changes."""
    after = replace(
        check_in,
        pain=check_in.pain if said.pain is None else said.pain,
        sets_done=check_in.sets_done if said.sets_done is None else said.sets_done,
        sets_above=check_in.sets_above if said.sets_done is None else said.sets_above,
        flag=most_serious(said.flag, check_in.flag),
        woke_worse=check_in.woke_worse or said.woke_worse,
    )
    if after == check_in:
        return Recorded(check_in, None, changed=False)
    complete = is_complete(after)
    if complete:
        after = replace(after, state=CheckInState.ANSWERED, answered_at=work.now, close_at=None)
        after = replace(after, remind_at=still_to_ask(after))
    work.uow.diary.save_check_in(after)
    _take_back_questions(work, after)
    work.uow.diary.add_answer(
        Answer(after.id, person.id, work.now, said.pain, said.sets_done, said.flag, said.source, said.message_id)
    )
    changed = _replaces(check_in, after)
    if complete or check_in.close_at is None:
        decision = decide_from(work, person, course, Entry(check_in.date))
        return Recorded(after, decision, changed)
    return Recorded(after, None, changed)


def still_to_ask(check_in: CheckIn) -> dt.datetime | None:
    """When a question about a sign is put once more, though the evening itself needs no reminder any more."""
    return check_in.remind_at if check_in.sign and not check_in.sign_again else None


def _take_back_questions(work: Work, check_in: CheckIn) -> None:
    """What was answered needs no question that is still on its way, nor news that rested on the silence."""
    latest = work.uow.diary.latest_check_in(check_in.course_id)
    of_tonight = latest is None or latest.date <= check_in.date
    news = ("evening.gap", "evening.dose")
    kinds = (*news, "evening.remind", "nudge", *QUESTIONS) if of_tonight else news
    if len(work.uow.diary.courses_of(check_in.person_id)) == 1:
        work.uow.outbox.cancel(check_in.person_id, kinds)
    else:  # the other side's news stands, and its question is put with the reply
        work.uow.outbox.cancel(check_in.person_id, kinds[len(news) :])
        work.uow.outbox.cancel(check_in.person_id, news, check_in.course_id)


def is_complete(check_in: CheckIn) -> bool:
    """Whether nothing is left to ask: danger ends the questions, a rest day has no sets to ask about."""
    if check_in.flag in DANGER:
        return True
    return check_in.pain is not None and (check_in.sets_done is not None or check_in.sets_asked == 0)


def most_serious(one: Flag | None, other: Flag | None) -> Flag | None:
    """The more serious of two flags, in the order Flag lists them."""
    return next((flag for flag in Flag if flag in (one, other)), None)


def note_question(work: Work, person: Person, text: str, *, problem: bool = False) -> None:
    """A question that only a person should answer, or a problem, goes to the therapist in the person's own words."""
    facts = {"flag": "problem"} if problem else {}
    tell_therapist(work, person, NoticeKind.CLINICAL_QUESTION, work.new_id(), facts, text)


def _replaces(before: CheckIn, after: CheckIn) -> bool:
    pain = before.pain is not None and before.pain != after.pain
    return pain or (before.sets_done is not None and before.sets_done != after.sets_done)
