"""A therapist has looked at somebody who was stopped, and lets the programme go on."""

import datetime as dt
from dataclasses import replace

from core.errors import RefusalError
from core.model import Decision, NoticeKind
from core.records import Course, Dialogue, Facts, Person, Priority, Status
from core.rule.course import is_stopped
from core.timetable import MORNING_CALL, ONE_DAY, instant, local_date, plan_ahead
from core.use_cases.deciding import decide_from
from core.use_cases.enrolling import enrolment_of
from core.use_cases.entries import Entry
from core.use_cases.gathering import side_facts
from core.use_cases.leaving import back_facts, going_on, last_planned
from core.use_cases.noticing import tell_therapist
from core.use_cases.work import Recipient, Work, emergency, queue


def clear(work: Work, person: Person, reason: str, by: str = "") -> Decision | None:
    """Lift a stop for danger, or let a screened-out person go on enrolling; RefusalError when nothing was stopped.

    `by` is the member of staff who looked at it; empty for the command line.
    """
    stopped = [each for each in work.uow.diary.courses_of(person.id) if each.episode.paused_for]
    if person.status == Status.SCREENED_OUT:
        tell_therapist(work, person, NoticeKind.CLEARED, work.new_id(), text=reason, by=by)
        _go_on_enrolling(work, person)
        return None
    if not stopped:
        raise RefusalError(f"person {person.id}: nothing is stopped, so there is nothing to clear", "not_stopped")
    tell_therapist(work, person, NoticeKind.CLEARED, work.new_id(), text=reason, by=by)
    decided = {}
    for each in stopped:
        entry = Entry(effective(work, person, each), "clear", by=by, note=reason)
        decided[each.id] = decide_from(work, person, each, entry)
    planned = plan_next(work, person)
    if planned.status in (Status.ACTIVE, Status.AWAY):
        for course in work.uow.diary.courses_of(person.id):
            if course.id in decided:
                _tell_cleared(work, planned, course, decided[course.id])
    return decided[stopped[0].id]


def _tell_cleared(work: Work, person: Person, course: Course, decision: Decision) -> None:
    facts = back_facts(work, person, course, decision) | {"away": person.status == Status.AWAY}
    kind = "override.still" if is_stopped(course.episode) else "danger.cleared"
    tell(work, person, kind, facts | side_facts(work, course))


def effective(work: Work, person: Person, course: Course) -> dt.date:
    """The date of a decision that staff make now.

    It is yesterday's, so that the dose begins today, unless today has an evening or a decision of its own already.
    """
    latest, decided = work.uow.diary.latest_check_in(course.id), work.uow.decisions.latest(course.id)
    own = (each.date for each in (latest, decided) if each)
    return max([local_date(work.now, person.zone) - ONE_DAY, *own])


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


def _go_on_enrolling(work: Work, person: Person) -> None:
    """At the question that comes next, so that no later one of the screening is left out."""
    place = enrolment_of(work.uow.dialogues.get(person.id)) or Dialogue(person.id, "enrol", "consent")
    work.uow.people.save(replace(person, status=Status.ENROLLING))
    work.uow.dialogues.save(place)
    facts: dict[str, object] = {"step": place.step, "zone": person.zone}
    facts["emergency"] = emergency(work, person.clinic_id)
    facts["told"] = list(place.facts.get("told", ()))
    facts["words"] = work.programmes.current.said("instead")
    tell(work, person, "enrol.cleared", facts)


def tell(work: Work, person: Person, kind: str, facts: Facts) -> None:
    """Tell the person what the staff did; goes ahead of the evening's questions."""
    queue(work, Recipient.of(person), kind, facts, key=f"{kind}:{work.new_id()}", priority=Priority.NOTICE)
