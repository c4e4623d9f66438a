"""A therapist has looked at somebody who was stopped, and lets the programme go on."""

from dataclasses import replace

from core.errors import HoldlowerError
from core.model import Decision, NoticeKind
from core.records import Course, Dialogue, Notice, Outgoing, Person, Priority, Status
from core.timetable import MORNING_CALL, ONE_DAY, instant, local_date, plan_ahead
from core.use_cases.deciding import Slot, decide_from
from core.use_cases.enrolling import enrolment_of
from core.use_cases.leaving import back_facts, last_planned
from core.use_cases.work import Work


def clear(work: Work, person: Person, reason: str) -> Decision | None:
    """Lift a stop for danger, or let a screened-out person go on enrolling; HoldlowerError when nothing was stopped."""
    _note(work, person, reason)
    if person.status == Status.SCREENED_OUT:
        _go_on_enrolling(work, person)
        return None
    course = work.uow.course_of(person.id)
    if course is None or course.episode.paused_for is None:
        raise HoldlowerError(f"person {person.id}: nothing is stopped, so there is nothing to clear")
    latest, decided = work.uow.latest_check_in(course.id), work.uow.latest_decision(course.id)
    # dated yesterday, so that the dose begins today, unless today has an evening or a decision of its own already
    own = (each.date for each in (latest, decided) if each)
    date = max(local_date(work.now, person.zone) - ONE_DAY, *own)
    decision = decide_from(work, person, course, Slot(date, "clear"))
    course = work.uow.course_of(person.id) or course
    planned = _planned(work, person, course)
    work.uow.save_person(planned)
    if planned.status in (Status.ACTIVE, Status.AWAY):
        facts = back_facts(work, planned, course, decision) | {"away": planned.status == Status.AWAY}
        _tell(work, planned, "danger.cleared", facts)
    return decision


def _planned(work: Work, person: Person, course: Course) -> Person:
    """When the person is asked next; who is away stays away, who has left is not written to."""
    today = local_date(work.now, person.zone)
    if person.status == Status.AWAY and person.away_until and person.away_until <= today:
        person = replace(person, status=Status.ACTIVE, away_since=None, away_until=None)
    if person.status == Status.ACTIVE:
        date, due = plan_ahead(work.now, person.evening, person.zone, last_planned(work, course))
        return replace(person, next_date=date, next_due=due)
    if person.status == Status.AWAY and person.away_until:
        back = instant(person.away_until, MORNING_CALL, person.zone)
        return replace(person, next_due=back, next_date=person.away_until if back else None)
    return replace(person, next_due=None, next_date=None)


def _go_on_enrolling(work: Work, person: Person) -> None:
    """At the question that comes next, so that no later one of the screening is left out."""
    place = enrolment_of(work.uow.dialogue(person.id)) or Dialogue(person.id, "enrol", "consent")
    work.uow.save_person(replace(person, status=Status.ENROLLING))
    work.uow.save_dialogue(place)
    clinic = work.uow.clinic(person.clinic_id)
    emergency = clinic.emergency if clinic else ""
    facts: dict[str, object] = {"step": place.step, "zone": person.zone, "emergency": emergency}
    _tell(work, person, "enrol.cleared", facts)


def _note(work: Work, person: Person, reason: str) -> None:
    kind = NoticeKind.CLEARED
    key = f"{person.id}:{work.now.isoformat()}:{kind.value}"
    work.uow.add_notice(Notice(work.new_id(), person.clinic_id, person.id, kind, key, work.now, {}, reason))


def _tell(work: Work, person: Person, kind: str, facts: dict[str, object]) -> None:
    key = f"{kind}:{person.id}:{work.now.isoformat()}"
    facts = facts | {"language": person.language}
    message = Outgoing(
        key, person.clinic_id, person.id, person.channel, person.address, kind, facts, Priority.NOTICE, work.now
    )
    work.uow.enqueue(message)
