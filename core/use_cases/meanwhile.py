"""Coming back after silence or a break: did you do your sets meanwhile? The answer counts as told."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from core.model import Decision, Felt, Meanwhile
from core.records import CheckIn, CheckInState, Course, Person
from core.timetable import ONE_DAY, evening_of
from core.use_cases.deciding import decide_from, decide_without
from core.use_cases.entries import LOOK_BACK, Entry, days_away, days_counted
from core.use_cases.work import Work

# Judgement: fewer change nothing (a long weekend), and a question each time would be one too many.
LEAST_EVENINGS = 3
STILL_ASKED = dt.timedelta(days=7)  # how long after the return it can be answered


def silence_before(work: Work, course: Course, date: dt.date) -> bool:
    """Whether enough evenings before `date` went by with no word of their sets, none of them told since."""
    before = work.uow.diary.check_in_on(course.id, date - ONE_DAY)
    if before and _answered(before):
        return False
    run = _silent_run(work.uow.diary.check_ins(course.id, date - LOOK_BACK, date - ONE_DAY))
    return sum(each.meanwhile is None for each in run) >= LEAST_EVENINGS


def long_break(decided: Decision | None) -> bool:
    """Whether enough days away were counted as a gap by that return."""
    return decided is not None and days_counted(decided) >= LEAST_EVENINGS


def tell_meanwhile(work: Work, person: Person, course: Course, told: Meanwhile) -> bool:
    """Note it for the silent evenings and the days away before the latest return; False when there are none.

    Decided again from the first of them on, so that a step back for a gap that was none is taken back. What is said a
    second time replaces the first.
    """
    today = evening_of(work.now, person.zone)
    evenings = _silent_run(_before_the_return(work, course, today))
    away = [each for each in work.uow.decisions.of(course.id, since=today - STILL_ASKED) if days_away(each)]
    if not evenings and not away:
        return False
    for check_in in evenings:
        work.uow.diary.save_check_in(replace(check_in, meanwhile=told))
    if told is not Meanwhile.NONE:
        for each in away:
            decide_without(work, person, work.uow.diary.course(course.id) or course, each)
    if evenings:
        now = work.uow.diary.course(course.id) or course
        decide_from(work, person, now, Entry(evenings[0].date))
    return True


def _before_the_return(work: Work, course: Course, today: dt.date) -> Sequence[CheckIn]:
    """The evenings without those of the last days that were answered, or are being asked."""
    lately = list(work.uow.diary.check_ins(course.id, today - LOOK_BACK, today))
    while lately and lately[-1].date > today - STILL_ASKED and not _is_silent(lately[-1]):
        lately.pop()
    return lately


def _silent_run(evenings: Sequence[CheckIn]) -> list[CheckIn]:
    """The last evenings in a row that asked for sets and heard nothing; oldest first."""
    run: list[CheckIn] = []
    for each in reversed(evenings):
        if _answered(each):
            break
        if _is_silent(each):
            run.append(each)
    return run[::-1]


def _answered(check_in: CheckIn) -> bool:
    known = check_in.pain is not None or check_in.sets_done is not None
    return known or check_in.state is CheckInState.ANSWERED


def _is_silent(check_in: CheckIn) -> bool:
    return check_in.state is CheckInState.SILENT and bool(check_in.sets_asked) and not _answered(check_in)


LATE = dt.timedelta(days=2)  # judgement: so long a person knows how the weight was


def weight_asked(work: Work, course: Course) -> CheckIn | None:
    """The latest evening whose weight is asked about and not answered: tonight, or lately; None without one."""
    latest = work.uow.diary.latest_check_in(course.id)
    evenings = work.uow.diary.check_ins(course.id, latest.date - LATE, latest.date) if latest else ()
    return next((each for each in reversed(evenings) if _is_asked(work, course, each)), None)


def _is_asked(work: Work, course: Course, check_in: CheckIn) -> bool:
    decided = work.uow.decisions.on(course.id, check_in.date)
    if decided is None or not decided.decision.ask_weight:
        return False
    after = work.uow.decisions.of(course.id, since=check_in.date)
    return all(each.kind != "weight" or each.date != check_in.date for each in after)


def weight_felt(work: Work, person: Person, course: Course, check_in: CheckIn, felt: Felt) -> Decision | None:
    """How the weight was on that evening, also told a little late: what was decided since is then decided again.

    None when that is not asked (any more).
    """
    asked = weight_asked(work, course)
    if asked is None or asked.id != check_in.id:
        return None
    return decide_from(work, person, course, Entry(check_in.date, "weight", felt=felt))


def weight_used(work: Work, person: Person, course: Course, date: dt.date, grams: int) -> Decision:
    """The weight that the person says they used on that evening, which was decided before."""
    return decide_from(work, person, course, Entry(date, "weight", grams=grams))
