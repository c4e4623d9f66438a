"""When somebody is asked next: after another hour or zone, and after an act that stops asking or begins it again."""

import datetime as dt
from dataclasses import replace

from core.records import Course, Person, Status
from core.rule.course import is_stopped
from core.timetable import (
    MORNING_CALL,
    ONE_DAY,
    due_after_change,
    due_after_start,
    instant,
    local_date,
    next_nudge,
)
from core.use_cases.work import Work


def change_evening(work: Work, person: Person, evening: dt.time) -> Person:
    """Ask at another hour from the next question on."""
    return _planned_anew(work, replace(person, evening=evening))


def change_zone(work: Work, person: Person, zone: str) -> Person:
    """Follow the person to another time zone; a local date already asked about is not asked again."""
    return _planned_anew(work, replace(person, zone=zone, next_nudge=next_nudge(work.now, person.nudges, zone)))


def _planned_anew(work: Work, person: Person) -> Person:
    if person.next_due:
        return plan_after_change(work, person)
    work.uow.people.save(person)
    return person


def plan_after_change(work: Work, person: Person) -> Person:
    """Save when the person is asked next: today where that was not done yet, at once where its hour is past."""
    going = going_on(work, person)
    if person.status == Status.ACTIVE and going:
        next_date, next_due = due_after_change(work.now, person.evening, person.zone, last_planned(work, *going))
        person = replace(person, next_date=next_date, next_due=next_due)
    work.uow.people.save(person)
    return person


def plan_after_act(work: Work, person: Person) -> Person:
    """Save when the person is asked next, now that they were stopped or let go on."""
    planned = _as_it_stands(work, person)
    work.uow.people.save(planned)
    return planned


def _as_it_stands(work: Work, person: Person) -> Person:
    """Who is away stays away, who has left is not written to, who is stopped is not asked."""
    today = local_date(work.now, person.zone)
    if person.status == Status.AWAY and person.away_until and person.away_until <= today:
        person = replace(person, status=Status.ACTIVE, away_since=None, away_until=None)
    going = going_on(work, person)
    if person.status == Status.ACTIVE and going:
        date, due = due_after_start(work.now, person.evening, person.zone, last_planned(work, *going))
        return replace(person, next_date=date, next_due=due)
    if person.status == Status.AWAY and person.away_until:
        back = instant(person.away_until, MORNING_CALL, person.zone)
        return replace(person, next_due=back, next_date=person.away_until if back else None)
    return replace(person, next_due=None, next_date=None)


def going_on(work: Work, person: Person) -> tuple[Course, ...]:
    """The person's courses that are not stopped."""
    return tuple(each for each in work.uow.diary.courses_of(person.id) if not is_stopped(each.episode))


def last_planned(work: Work, *courses: Course) -> dt.date:
    """The last date that is not to be asked about any more: it has a check-in, or lies before the course begins.

    Of two courses the earlier one: the other is passed over on a date that it has.
    """
    return min(_last_planned(work, each) for each in courses)


def _last_planned(work: Work, course: Course) -> dt.date:
    latest = work.uow.diary.latest_check_in(course.id)
    before = course.episode.started - ONE_DAY  # a start that lies ahead (after an injection) stays where it is
    return max(latest.date, before) if latest else before
