"""What falls due by the clock, one kind after the other; nudges by day for sets that are spread over it."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace

from core.errors import UnreadableError
from core.model import Dose
from core.records import Course, Due, Person, Priority, Status
from core.rule.course import is_stopped
from core.timetable import ONE_DAY, ONE_WEEK, due_after_start, end_of_day, local_date, next_nudge, nudge_ends
from core.use_cases.asking import ask, close, remind
from core.use_cases.deciding import dose_for
from core.use_cases.digesting import plan_digest, send_digest
from core.use_cases.gathering import dose_facts, side_facts
from core.use_cases.noticing import look_at_danger
from core.use_cases.planning import going_on, last_planned, plan_after_change
from core.use_cases.rights import KEPT
from core.use_cases.work import Recipient, Work, queue

TWO_DAYS = dt.timedelta(days=2)  # later than the plan gives: no zone, hour or clock change explains more
MOST_NUDGES = 3
NUDGE = "nudge"
GOES_ON = (Status.ACTIVE, Status.AWAY, Status.UNREACHABLE)  # of others nothing is planned; coming back plans it anew


def do_due(work: Work, what: Due, limit: int = 200) -> int:
    """Do what is due of one kind in this unit of work; returns how much that was."""
    found = work.uow.due.ids(what, work.now, limit)
    for which in found:
        ACTS[what](work, which)
    return len(found)


def plan_again(work: Work) -> int:
    """Plan anew what lies more than two days later than its plan gives; returns how much that was.

    A clock that was far ahead for seconds would otherwise leave people unasked, and danger untold, for as long.
    A return that the person planned, and a first day that lies ahead, stay where they are. Danger is looked at once
    more: under that clock it was long past, or has yet to come.
    """
    horizon = work.now + TWO_DAYS
    people = sum(_readable(_ask_again, work, which) for which in work.uow.due.astray(Due.ASK, horizon))
    nudges = sum(_readable(nudge_again, work, which) for which in work.uow.due.astray(Due.NUDGE, horizon))
    staff = sum(_digest_again(work, which) for which in work.uow.due.astray(Due.DIGEST, horizon + ONE_WEEK))
    danger = work.uow.notices.look_anew(work.now, work.now - KEPT)
    return people + nudges + staff + danger + work.uow.due.bring_forward(work.now, horizon)


def _readable(plan: Callable[[Work, str], bool], work: Work, person_id: str) -> bool:
    """Plan for one, who is left where they are if theirs cannot be read."""
    try:
        return plan(work, person_id)
    except UnreadableError:
        return False


def _ask_again(work: Work, person_id: str) -> bool:
    person = work.uow.people.get(person_id, lock=True)
    if person is None or person.status != Status.ACTIVE or person.next_due is None:
        return False
    going = going_on(work, person)
    for course in going:
        work.uow.diary.drop_unasked(course.id, local_date(work.now, person.zone) - ONE_DAY)
    if not going:
        return False
    _, due = due_after_start(work.now, person.evening, person.zone, last_planned(work, *going))
    if person.next_due - due <= TWO_DAYS:
        return False
    plan_after_change(work, person)
    return True


def _digest_again(work: Work, staff_id: str) -> bool:
    staff = work.uow.staff.get(staff_id, lock=True)
    if staff is None:
        return False
    work.uow.staff.save(plan_digest(staff, work.now))
    return True


def choose_hours(work: Work, person: Person, hours: Sequence[dt.time]) -> Person:
    """From now on at these local hours of a day; none ends it."""
    chosen = tuple(sorted(set(hours)))[:MOST_NUDGES]
    return _plan(work, replace(person, nudges=chosen), work.now)


def not_today(work: Work, person: Person, date: dt.date) -> None:
    """No more of them on that local date, unless it is over."""
    if (over := end_of_day(date, person.zone)) > work.now:
        _plan(work, person, over)


def nudge(work: Work, person_id: str) -> None:
    """Tell of sets that are left, where that is due and of use; plan the next one in any case. Safe to repeat."""
    person = work.uow.people.get(person_id)
    if person is None or person.next_nudge is None:
        return
    due = person.next_nudge
    person = _plan(work, person, work.now)
    if person.status is Status.ACTIVE and work.uow.sets.open_of(person.id) is None:
        any(_tell(work, person, course, due) for course in work.uow.diary.courses_of(person.id))  # one is enough


def nudge_again(work: Work, person_id: str) -> bool:
    """Plan anew what a clock that was far ahead has put off."""
    person = work.uow.people.get(person_id, lock=True)
    return person is not None and _plan(work, person, work.now).next_nudge is not None


def is_spread(dose: Dose) -> bool:
    """Whether its sets are done one at a time over the day, so that nudges are of use."""
    return any(each.spread and each.sets for each in dose.exercises)


def _plan(work: Work, person: Person, after: dt.datetime) -> Person:
    hours = person.nudges if person.status in GOES_ON else ()
    planned = replace(person, next_nudge=next_nudge(after, hours, person.zone))
    work.uow.people.save(planned)
    return planned


def _tell(work: Work, person: Person, course: Course, due: dt.datetime) -> bool:
    """Not of an evening that was asked or spoken of already, on a rest day, while stopped, or once all is counted."""
    date, ends = local_date(due, person.zone), nudge_ends(due, person.evening, person.zone)
    waits = date < course.episode.started or is_stopped(course.episode)
    if work.now >= ends or waits or work.uow.diary.check_in_on(course.id, date):
        return False
    dose = dose_for(work, course, date)
    counted = sum(each.counted for each in work.uow.sets.on(course.id, date))
    if counted >= dose.asked or not is_spread(dose):
        return False
    programme = work.programme_of(course)
    facts = {"dose": dose_facts(programme, dose), "counted": counted, "date": date, **side_facts(work, course)}
    queue(
        work, Recipient.of(person), NUDGE, facts, key=f"{NUDGE}:{course.id}:{due.isoformat()}",
        priority=Priority.BULK, expires_at=ends, due_at=due,
    )  # fmt: skip
    return True


ACTS: dict[Due, Callable[[Work, str], None]] = {
    Due.CLOSE: close, Due.ASK: ask, Due.REMIND: remind, Due.NUDGE: nudge, Due.DIGEST: send_digest,
    Due.DANGER: look_at_danger,
}  # fmt: skip
