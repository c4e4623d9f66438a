"""When we write: pausing, leaving, another hour or zone, and the evening on which somebody is asked next."""

import datetime as dt
from dataclasses import replace

from core.model import NoticeKind
from core.records import Course, Person, Status
from core.rule.course import is_stopped
from core.timetable import MORNING_CALL, ONE_DAY, instant, local_date, next_nudge, plan, plan_ahead
from core.use_cases.answering import QUESTIONS
from core.use_cases.noticing import tell_therapist
from core.use_cases.work import Work

BULK_KINDS = (*QUESTIONS, "evening.remind", "evening.gap", "evening.dose", "nudge")


def go_away(work: Work, person: Person, until: dt.date | None) -> Person:
    """Stop asking. With a date we come back by ourselves on that morning; without one the person says when."""
    back = instant(until, MORNING_CALL, person.zone) if until else None
    away = replace(
        person,
        status=Status.AWAY,
        away_since=_away_since(work, person),
        away_until=until,
        next_due=back,
        next_date=until if back else None,
    )
    work.uow.people.save(away)
    work.uow.outbox.cancel(person.id, BULK_KINDS)
    return away


def going_on(work: Work, person: Person) -> tuple[Course, ...]:
    """The person's courses that are not stopped."""
    return tuple(each for each in work.uow.diary.courses_of(person.id) if not is_stopped(each.episode))


def leave(work: Work, person: Person) -> None:
    """Stop for good: nothing is sent any more, the diary stays until it is erased."""
    # who was screened out must not come back in by leaving
    status = Status.SCREENED_OUT if person.status == Status.SCREENED_OUT else Status.LEFT
    since = _away_since(work, person)
    work.uow.people.save(replace(person, status=status, away_since=since, next_due=None, next_date=None))
    work.uow.outbox.cancel(person.id, BULK_KINDS)
    tell_therapist(work, person, NoticeKind.LEFT, work.new_id())


def cannot_reach(work: Work, person: Person) -> None:
    """The messaging service refuses: stop sending, tell the therapist."""
    if person.status in (Status.ACTIVE, Status.AWAY, Status.ENROLLING):
        since = _away_since(work, person)
        gone = replace(person, status=Status.UNREACHABLE, next_due=None, next_date=None, away_since=since)
        work.uow.people.save(gone)
        work.uow.outbox.cancel(person.id, BULK_KINDS)
        tell_therapist(work, gone, NoticeKind.UNREACHABLE, work.new_id())


def change_evening(work: Work, person: Person, evening: dt.time) -> Person:
    """Ask at another hour from the next question on."""
    return _replan(work, replace(person, evening=evening))


def change_zone(work: Work, person: Person, zone: str) -> Person:
    """Follow the person to another time zone; a local date already asked about is not asked again."""
    return _replan(work, replace(person, zone=zone, next_nudge=next_nudge(work.now, person.nudges, zone)))


def _replan(work: Work, person: Person) -> Person:
    if person.next_due:
        return replan(work, person)
    work.uow.people.save(person)
    return person


def replan(work: Work, person: Person) -> Person:
    """Save when the person is asked next: today where that was not done yet, at once where its hour is past."""
    going = going_on(work, person)
    if person.status == Status.ACTIVE and going:
        next_date, next_due = plan(work.now, person.evening, person.zone, last_planned(work, *going))
        person = replace(person, next_date=next_date, next_due=next_due)
    work.uow.people.save(person)
    return person


def last_planned(work: Work, *courses: Course) -> dt.date:
    """The last date that is not to be asked about any more: it has a check-in, or lies before the course begins.

    Of two courses the earlier one: the other is passed over on a date that it has.
    """
    return min(_last_planned(work, each) for each in courses)


def _last_planned(work: Work, course: Course) -> dt.date:
    latest = work.uow.diary.latest_check_in(course.id)
    before = course.episode.started - ONE_DAY  # a start that lies ahead (after an injection) stays where it is
    return max(latest.date, before) if latest else before


def _away_since(work: Work, person: Person) -> dt.date:
    """Since when the person has been away, however often they have told us since."""
    gone = person.status in (Status.AWAY, Status.LEFT, Status.UNREACHABLE)
    return person.away_since if gone and person.away_since else local_date(work.now, person.zone)


def plan_next(work: Work, person: Person) -> Person:
    """Save when the person is asked next, now that they were stopped or let go on."""
    planned = _planned(work, person)
    work.uow.people.save(planned)
    return planned


def _planned(work: Work, person: Person) -> Person:
    """Who is away stays away, who has left is not written to, who is stopped is not asked."""
    today = local_date(work.now, person.zone)
    if person.status == Status.AWAY and person.away_until and person.away_until <= today:
        person = replace(person, status=Status.ACTIVE, away_since=None, away_until=None)
    going = going_on(work, person)
    if person.status == Status.ACTIVE and going:
        date, due = plan_ahead(work.now, person.evening, person.zone, last_planned(work, *going))
        return replace(person, next_date=date, next_due=due)
    if person.status == Status.AWAY and person.away_until:
        back = instant(person.away_until, MORNING_CALL, person.zone)
        return replace(person, next_due=back, next_date=person.away_until if back else None)
    return replace(person, next_due=None, next_date=None)
