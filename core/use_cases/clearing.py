"""A therapist has looked at somebody who was stopped, and lets the programme go on."""

import datetime as dt
from dataclasses import replace

from core.errors import HoldlowerError
from core.model import Decision, NoticeKind
from core.records import Dialogue, Notice, Outgoing, Person, Priority, Status
from core.timetable import ONE_DAY, local_date, plan_ahead
from core.use_cases.deciding import Slot, decide_from
from core.use_cases.leaving import back_facts
from core.use_cases.work import Work


def clear(work: Work, person: Person, reason: str) -> Decision | None:
    """Lift a stop for danger, or let a screened-out person go on enrolling; HoldlowerError when nothing was stopped."""
    _note(work, person, reason)
    if person.status == Status.SCREENED_OUT:
        dialogue = work.uow.dialogue(person.id)
        work.uow.save_person(replace(person, status=Status.ENROLLING))
        work.uow.save_dialogue(Dialogue(person.id, "enrol", "elbow", facts=dialogue.facts))
        _tell(work, person, "enrol.cleared", {})
        return None
    course = work.uow.course_of(person.id)
    if course is None or course.episode.paused_for is None:
        raise HoldlowerError(f"person {person.id}: nothing is stopped, so there is nothing to clear")
    latest = work.uow.latest_check_in(course.id)
    # dated yesterday, so that the dose begins today, unless today has an evening of its own already
    date = max(local_date(work.now, person.zone) - ONE_DAY, latest.date if latest else dt.date.min)
    decision = decide_from(work, person, course, Slot(date, "clear"))
    next_date, next_due = plan_ahead(work.now, person.evening, person.zone, latest.date if latest else None)
    active = replace(person, next_date=next_date, next_due=next_due)
    work.uow.save_person(active)
    _tell(work, active, "danger.cleared", back_facts(work, active, work.uow.course_of(person.id) or course, decision))
    return decision


def _note(work: Work, person: Person, reason: str) -> None:
    kind = NoticeKind.CLEARED
    key = f"{person.id}:{work.now.isoformat()}:{kind.value}"
    work.uow.add_notice(Notice(work.new_id(), person.clinic_id, person.id, kind, key, work.now, {}, reason))


def _tell(work: Work, person: Person, kind: str, facts: dict[str, object]) -> None:
    key = f"{kind}:{person.id}:{work.now.isoformat()}"
    message = Outgoing(
        key, person.clinic_id, person.id, person.channel, person.address, kind, facts, Priority.NOTICE, work.now
    )
    work.uow.enqueue(message)
