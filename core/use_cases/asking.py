"""What the clock makes happen: ask, remind once, close the day. Each is safe to repeat and to interrupt."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from core.facts import DoseFacts, SideFacts
from core.model import Decision, Dose, Move
from core.records import (
    CheckIn,
    CheckInState,
    Course,
    Dialogue,
    Facts,
    OutboxState,
    Person,
    Priority,
    SignQuestion,
    Status,
)
from core.rule.course import keeps_up
from core.rule.dose import unheard
from core.timetable import (
    ONE_DAY,
    TOO_LATE,
    end_of_day,
    local_date,
    morning_call,
    next_evening,
    reminder,
    reminders_end,
    too_late,
)
from core.use_cases.answering import QUESTIONS, begin_evening, only_guided, still_to_ask
from core.use_cases.coming_back import come_back, silent_evenings
from core.use_cases.deciding import as_told, decide_from, dose_for, waits_for_signs
from core.use_cases.entries import Entry
from core.use_cases.gathering import decision_facts, dose_facts, side_facts, side_of
from core.use_cases.noticing import reach
from core.use_cases.planning import going_on
from core.use_cases.reporting import no_sets_with, put_again, red_flags_left_open
from core.use_cases.work import Recipient, Work, emergency, queue

# Judgement: after some evenings without a word another message, then fewer; an answer brings each evening back.
SILENT_EVENINGS, EVERY_THIRD_UNTIL, EVERY_SEVENTH = 3, 12, 7


def ask(work: Work, person_id: str) -> None:
    """Ask somebody whose evening has come. One check-in a person and local date."""
    person = work.uow.people.get(person_id)
    if person is not None and person.status == Status.AWAY:
        come_back(work, person, by_itself=True)
    elif person is not None:
        _ask(work, person)


def remind(work: Work, check_in_id: str) -> None:
    """Remind, once, somebody who has not answered."""
    check_in = work.uow.diary.check_in(check_in_id)
    if check_in is None:
        return
    work.uow.diary.save_check_in(replace(check_in, remind_at=None))
    person = work.uow.people.get(check_in.person_id)
    if person and _worth_reminding(work, person, check_in):
        end = reminders_end(check_in.date, person.zone)
        facts: dict[str, object] = {"check_in": check_in}
        if course := work.uow.diary.course(check_in.course_id):
            facts |= side_facts(work, course)
        _queue(work, person, check_in, "evening.remind", facts, expires_at=end)
    if person:
        put_again(work, person, check_in)


def _worth_reminding(work: Work, person: Person, check_in: CheckIn) -> bool:
    """Not late in the evening, whatever held us up, and not of a question that has not reached the person."""
    on_the_day = local_date(work.now, person.zone) == check_in.date
    in_time = on_the_day and work.now < reminders_end(check_in.date, person.zone)
    open_still = person.status == Status.ACTIVE and check_in.state == CheckInState.ASKED
    return open_still and in_time and _was_asked(work, check_in) and not _other_stands_for_it(work, check_in)


def _other_stands_for_it(work: Work, check_in: CheckIn) -> bool:
    """Of two sides that are both open the first alone is reminded of: once it is answered, the other is asked."""
    for course in work.uow.diary.courses_of(check_in.person_id):
        if course.id == check_in.course_id:
            return False
        other = work.uow.diary.check_in_on(course.id, check_in.date)
        if other and other.state is CheckInState.ASKED:
            return True
    return False


def close(work: Work, check_in_id: str) -> None:
    """Close a local day that is over; an evening without a full answer can only stay, or step down for a gap.

    The last evening of a course that has ended decides nothing any more.
    """
    check_in = work.uow.diary.check_in(check_in_id)
    if check_in is None:
        return
    closed = replace(check_in, close_at=None, remind_at=still_to_ask(check_in))
    if check_in.state == CheckInState.ASKED:
        state = CheckInState.SILENT if _was_asked(work, check_in) else CheckInState.NOT_ASKED
        closed = replace(closed, state=state)
    work.uow.diary.save_check_in(closed)
    person, course = work.uow.people.get(check_in.person_id), work.uow.diary.course(check_in.course_id)
    if person is None or course is None or course.ended_at is not None:
        return
    if closed.state == CheckInState.SILENT:
        _decide_silence(work, person, course, closed)
    elif closed.state == CheckInState.NOT_ASKED:
        _decide_later_days_again(work, person, course, closed)


def _ask(work: Work, person: Person) -> None:
    going = going_on(work, person)
    date, due = person.next_date, person.next_due
    if date is None or due is None or not going or person.status != Status.ACTIVE:
        work.uow.people.save(replace(person, next_due=None, next_date=None))
        return
    begun = [each for each in going if each.episode.started <= date] or going
    silent = min(silent_evenings(work, each, date) for each in begun)
    asked = [new for course in begun if (new := _evening(work, person, course, date, due, silent))]
    if to_ask := [each for each in asked if each.check_in.state is CheckInState.ASKED]:
        _put(work, person, to_ask, silent, due)
    next_date, next_due = next_evening(date, person.evening, person.zone)
    work.uow.people.save(replace(person, next_date=next_date, next_due=next_due))


@dataclass(frozen=True, slots=True)
class _Asked:
    """One course's evening that begins now."""

    course: Course
    check_in: CheckIn
    dose: Dose


def _evening(
    work: Work, person: Person, course: Course, date: dt.date, due: dt.datetime, silent: int
) -> _Asked | None:
    """The check-in of that date, made now; None where there is one already."""
    close, dose = end_of_day(date, person.zone), dose_for(work, course, date)
    late = too_late(due, work.now) or work.now >= close or _left_out(work, person, course, date, dose)
    check_in, is_new = begin_evening(
        work, person, course, date, due,
        sets_asked=dose.asked,
        remind_at=None if late or silent >= SILENT_EVENINGS else reminder(max(due, work.now), person.zone),
        close_at=None if late else close,
        asked=not late,
    )  # fmt: skip
    return _Asked(course, check_in, dose) if is_new else None


def _left_out(work: Work, person: Person, course: Course, date: dt.date, dose: Dose) -> bool:
    """Whether the evening passes without a question, as the therapist allows where all is calm.

    Those are the rest days; where a step has none, every second evening.
    """
    programme = work.programme_of(course)
    if not (person.every_second and keeps_up(programme, course.episode)):
        return False
    if not all(programme.step(course.episode.step).rhythm):
        return not dose.asked
    before = work.uow.diary.check_in_on(course.id, date - ONE_DAY)
    return before is not None and before.state is not CheckInState.NOT_ASKED


def _put(work: Work, person: Person, asked: Sequence[_Asked], silent: int, due: dt.datetime) -> None:
    """One question for all that is to be asked tonight: of two sides the first is asked about, and both are named."""
    left_open = [(each, red_flags_left_open(work, person, each.course)) for each in asked]
    work.uow.dialogues.save(Dialogue(person.id, "evening", "pain", asked[0].check_in.id))
    kind = question_after(silent)
    if kind is None:
        return

    def put(kind: str, check_in: CheckIn, facts: Facts, due_at: dt.datetime | None = None) -> None:
        expires_at = min(work.now + TOO_LATE, check_in.close_at or work.now + TOO_LATE)
        _queue(work, person, check_in, kind, facts, expires_at=expires_at, due_at=due_at)

    for each, of in left_open:
        if of:
            once_more = {"check_in_id": of, "told": reach(work, person)}
            put("red_flags.once_more", each.check_in, once_more | side_facts(work, each.course))
    if sign := next((each.check_in for each in asked if each.check_in.sign is SignQuestion.WHICH), None):
        again = {"check_in_id": sign.id, "again": True, "emergency": emergency(work)}
        put("sign.which", sign, again | no_sets_with(work, person, SignQuestion.WHICH))
    doses = [_side_and_dose(work, each) for each in asked]
    facts = {"check_in": asked[0].check_in, "dose": doses[0][1], "morning": person.ask_morning}
    facts |= {"sides": doses} if len(asked) > 1 else side_facts(work, asked[0].course)
    put(kind, asked[0].check_in, facts, due)


def _side_and_dose(work: Work, asked: _Asked) -> tuple[SideFacts, DoseFacts]:
    programme = work.programme_of(asked.course)
    return side_of(programme, asked.course.side), dose_facts(programme, asked.dose)


def question_after(silent: int) -> str | None:
    """Which message asks after so many silent evenings; None on those on which we keep quiet."""
    if silent <= SILENT_EVENINGS:
        return "silence.ask" if silent == SILENT_EVENINGS else "evening.ask"
    if silent <= EVERY_THIRD_UNTIL:
        return None if silent % SILENT_EVENINGS else "silence.again"
    return None if (silent - EVERY_THIRD_UNTIL) % EVERY_SEVENTH else "silence.weekly"


def _queue(
    work: Work, person: Person, check_in: CheckIn, kind: str, facts: Facts, *,
    not_before: dt.datetime | None = None, expires_at: dt.datetime | None = None, due_at: dt.datetime | None = None,
) -> None:  # fmt: skip
    queue(
        work, Recipient.of(person), kind, facts, key=_key(kind, check_in), priority=Priority.BULK,
        not_before=not_before, expires_at=expires_at, due_at=due_at,
    )  # fmt: skip


def _key(kind: str, check_in: CheckIn) -> str:
    return f"{kind}:{check_in.course_id}:{check_in.date.isoformat()}"


def _was_asked(work: Work, check_in: CheckIn) -> bool:
    """Whether the question left us; one that never did must not count against the person."""
    if check_in.pain is not None or (check_in.sets_done is not None and not only_guided(check_in)):
        return True
    found = (work.uow.outbox.state(_key(kind, each)) for each in _asked_with(work, check_in) for kind in QUESTIONS)
    return next((state for state in found if state), None) in (None, OutboxState.SENT, OutboxState.UNKNOWN)


def _asked_with(work: Work, check_in: CheckIn) -> Iterator[CheckIn]:
    """The check-in, and that of the other side, whose message may have asked about both."""
    yield check_in
    for course in work.uow.diary.courses_of(check_in.person_id):
        yield replace(check_in, course_id=course.id)


def _decide_silence(work: Work, person: Person, course: Course, check_in: CheckIn) -> None:
    told, date = dose_for(work, course, check_in.date), check_in.date
    decision = decide_from(work, person, course, Entry(date))
    programme, dose = work.programme_of(course), decision.dose
    if person.status != Status.ACTIVE:
        return
    if decision.move == Move.REGRESS or decision.ask_red_flags:
        _tell_in_the_morning(work, person, course, check_in, decision, "evening.gap")
    elif waits_for_signs(work, person.id):
        return
    elif dose is not None and unheard(programme, course.episode, date, told, decision.after, dose):
        _tell_in_the_morning(work, person, course, check_in, decision, "evening.dose")


def _decide_later_days_again(work: Work, person: Person, course: Course, check_in: CheckIn) -> None:
    """Days decided before this one was closed took it for one that was asked."""
    later = work.uow.decisions.of(check_in.course_id, since=check_in.date)
    first = next((each for each in later if each.kind == "evening"), None)
    if first:
        decide_from(work, person, course, Entry(first.date))


def _tell_in_the_morning(
    work: Work, person: Person, course: Course, check_in: CheckIn, decision: Decision, kind: str
) -> None:
    """What the evening without an answer came to, of use until the day it is about is over."""
    told = as_told(work, course, decision)
    facts: dict[str, object] = {
        "decided": decision_facts(work.programme_of(course), told),
        "check_in": check_in,
        "asked": decision.after.signs_asked == check_in.date,
    }
    facts |= side_facts(work, course)
    ends = end_of_day(check_in.date + ONE_DAY, person.zone) if kind == "evening.dose" else None
    _queue(work, person, check_in, kind, facts, not_before=morning_call(work.now, person.zone), expires_at=ends)
