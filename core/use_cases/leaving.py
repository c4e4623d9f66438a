"""Nothing more is asked: a pause, leaving for good, a chat that cannot be reached."""

import datetime as dt
from dataclasses import replace

from core.model import NoticeKind
from core.records import Person, Status
from core.timetable import MORNING_CALL, instant, local_date
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


def _away_since(work: Work, person: Person) -> dt.date:
    """Since when the person has been away, however often they have told us since."""
    gone = person.status in (Status.AWAY, Status.LEFT, Status.UNREACHABLE)
    return person.away_since if gone and person.away_since else local_date(work.now, person.zone)
