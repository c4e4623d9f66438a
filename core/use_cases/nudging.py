"""Short nudges by day, for sets that are spread over it: at hours the person picks, and only while sets are left."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from core.model import Dose
from core.records import Course, Person, Priority, Status
from core.rule.course import is_stopped
from core.timetable import end_of_day, local_date, next_nudge, nudge_ends
from core.use_cases.deciding import dose_for
from core.use_cases.gathering import dose_facts, side_facts
from core.use_cases.work import Recipient, Work, queue

MOST_NUDGES = 3
NUDGE = "nudge"
GOES_ON = (Status.ACTIVE, Status.AWAY, Status.UNREACHABLE)  # of others nothing is planned; coming back plans it anew


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
    programme = work.programmes.get(work.uow, course.programme_version)
    facts = {"dose": dose_facts(programme, dose), "counted": counted, "date": date, **side_facts(work, course)}
    queue(
        work, Recipient.of(person), NUDGE, facts, key=f"{NUDGE}:{course.id}:{due.isoformat()}",
        priority=Priority.BULK, expires_at=ends, due_at=due,
    )  # fmt: skip
    return True
