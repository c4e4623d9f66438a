"""What each kind of due work does, and what a clock that was wrong for a while has planned too late.

Every act is safe to repeat and to interrupt.
"""

import datetime as dt
from collections.abc import Callable

from core.records import Due, Status
from core.timetable import ONE_DAY, local_date, plan_ahead
from core.use_cases.asking import ask, close, remind
from core.use_cases.digesting import WEEK, plan_digest, send_digest
from core.use_cases.leaving import last_planned, replan
from core.use_cases.open_matters import KEPT
from core.use_cases.raising import look_at_danger
from core.use_cases.work import Work

ACTS: dict[Due, Callable[[Work, str], None]] = {
    Due.CLOSE: close, Due.ASK: ask, Due.REMIND: remind, Due.DIGEST: send_digest, Due.DANGER: look_at_danger,
}  # fmt: skip


def do_due(work: Work, what: Due, limit: int = 200) -> int:
    """Do what is due of one kind in this unit of work; returns how much that was."""
    found = work.uow.due.ids(what, work.now, limit)
    for which in found:
        ACTS[what](work, which)
    return len(found)


TWO_DAYS = dt.timedelta(days=2)  # later than the plan gives: no zone, hour or clock change explains more


def plan_again(work: Work) -> int:
    """Plan anew what lies more than two days later than its plan gives; returns how much that was.

    A clock that was far ahead for seconds would otherwise leave people unasked, and danger untold, for as long.
    A return that the person planned, and a first day that lies ahead, stay where they are. Danger is looked at once
    more: under that clock it was long past, or has yet to come.
    """
    horizon = work.now + TWO_DAYS
    people = sum(_ask_again(work, which) for which in work.uow.due.astray(Due.ASK, horizon))
    staff = sum(_digest_again(work, which) for which in work.uow.due.astray(Due.DIGEST, horizon + WEEK))
    danger = work.uow.notices.look_anew(work.now, work.now - KEPT)
    return people + staff + danger + work.uow.due.bring_forward(work.now, horizon)


def _ask_again(work: Work, person_id: str) -> bool:
    person = work.uow.people.get(person_id, lock=True)
    course = work.uow.diary.course_of(person_id)
    if person is None or course is None or person.status != Status.ACTIVE or person.next_due is None:
        return False
    work.uow.diary.drop_unasked(course.id, local_date(work.now, person.zone) - ONE_DAY)
    _, due = plan_ahead(work.now, person.evening, person.zone, last_planned(work, course))
    if person.next_due - due <= TWO_DAYS:
        return False
    replan(work, person, course)
    return True


def _digest_again(work: Work, staff_id: str) -> bool:
    staff = work.uow.staff.get(staff_id, lock=True)
    if staff is None:
        return False
    work.uow.staff.save(plan_digest(staff, work.now))
    return True
