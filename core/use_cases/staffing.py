"""Whose patient is whose, who works here, and the end: handed over, discharged, left, shut out, no longer kept."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from core.errors import RefusalError
from core.records import Audit, Clinic, Dialogue, Person, Staff, Status
from core.use_cases.noticing import raise_open, responsible, tell_person, tell_staff
from core.use_cases.rights import at_work, audit, check, check_lead, leads, reachable, trimmed
from core.use_cases.work import Work

WARNING = dt.timedelta(days=14)
MONTH_DAYS = 365.2425 / 12
MOST = 200  # people a look, so that no transaction grows long
ANONYMOUS, ERASE = "anonymous", "erase"


def hand_over(work: Work, staff: Staff, person: Person, colleague: Staff) -> Person:
    """Make the person a colleague's patient; both the colleague and the person are told."""
    check(work, staff, person, "hand_over")
    if not (at_work(colleague) and colleague.therapist):
        raise RefusalError(f"staff {colleague.id} is no therapist at work; choose another", "not_at_work")
    if person.therapist_id == colleague.id:
        raise RefusalError(f"person {person.id} is that therapist's patient already", "theirs_already")
    if person.status in (Status.UNCONFIRMED, Status.DISCHARGED):
        raise RefusalError(f"person {person.id} is {person.status.value}: not to be handed over", "not_a_patient")
    moved = replace(person, therapist_id=colleague.id)
    work.uow.people.save(moved)
    audit(work, staff, "hand_over", person, colleague.id)
    if person.therapist_id:
        work.uow.outbox.cancel_to(person.therapist_id, person.id)
    facts = {"person": person.id, "name": person.name, "by": staff.name}
    if colleague.id != staff.id:
        key = f"handed_over:{work.new_id()}"
        tell_staff(work, colleague, "therapist.handed_over", facts, key=key, about=person.id)
    if is_written_to(person):
        tell_person(work, moved, "handed_over", {"therapist": colleague.name})
    raise_open(work, [moved])
    return moved


def is_written_to(person: Person) -> bool:
    """Whether the clinic still writes to the person; not once they have left, cannot be reached or were discharged."""
    gone = (Status.LEFT, Status.UNREACHABLE, Status.DISCHARGED, Status.UNCONFIRMED)
    return person.status not in gone


def discharge(work: Work, staff: Staff, person: Person, reason: str) -> Person:
    """End the person's course; the diary stays until it is erased, nothing is asked any more."""
    check(work, staff, person, "discharge")
    reason = trimmed(reason)
    if person.status == Status.DISCHARGED:
        raise RefusalError(f"person {person.id} was discharged before", "settled")
    if person.status == Status.UNCONFIRMED:
        raise RefusalError(f"person {person.id} waits to be confirmed; do that first", "not_a_patient")
    for course in work.uow.diary.courses_of(person.id):
        work.uow.diary.save_course(replace(course, ended_at=work.now))
    audit(work, staff, "discharge", person, reason)
    ended = replace(person, status=Status.DISCHARGED, next_due=None, next_date=None, away_since=None, away_until=None)
    work.uow.people.save(ended)
    work.uow.dialogues.save(Dialogue(person.id, ""))
    work.uow.outbox.cancel_to(person.id, but_danger=True)
    if is_written_to(person):
        tell_person(work, ended, "discharged", {})
    return ended


def leave_staff(work: Work, staff: Staff, by: Staff | None = None) -> Staff:
    """Stop working here; RefusalError while patients are theirs, or for the only lead.

    `by` is the lead who ends it for them; None when they leave by themselves.
    """
    if by and by.id != staff.id:
        check_lead(work, by, "leave")
    theirs = [each for each in work.uow.people.of(staff.id) if each.status != Status.DISCHARGED]
    if theirs:
        raise RefusalError(
            f"staff {staff.id} has {len(theirs)} patients; hand them over or discharge them first", "has_patients",
            count=len(theirs),
        )  # fmt: skip
    if staff.lead and all(each.id == staff.id for each in leads(work)):
        raise RefusalError(f"staff {staff.id} is the only lead; make another one first", "only_lead")
    audit(work, by or staff, "leave", detail=staff.id)
    return _without_access(work, staff)


def _without_access(work: Work, staff: Staff) -> Staff:
    """Of danger that was on its way to them somebody else is told at the next look."""
    gone = replace(staff, left_at=work.now, next_digest=None)
    work.uow.staff.save(gone)
    work.uow.dialogues.save(Dialogue(staff.id, ""))
    work.uow.outbox.cancel_to(staff.id)
    work.uow.notices.look_now(work.now)
    return gone


def shut_out(work: Work, staff: Staff) -> int:
    """End somebody's access at once, whatever is theirs: a phone was lost, or a lead is gone. Says how many patients
    have no therapist now; every lead sees those, hears of their danger and can hand them over.

    For the machine itself, where whoever asks holds the database anyway. RefusalError when they have left already.
    """
    if staff.left_at:
        raise RefusalError(f"staff {staff.id} has left already", "not_at_work")
    theirs = [replace(person, therapist_id=None) for person in work.uow.people.of(staff.id)]
    for person in theirs:
        work.uow.people.save(person)
    _without_access(work, staff)
    work.uow.audit.add(Audit(staff.clinic_id, "", work.now, "shut_out", detail=staff.id))
    waiting = sum(each.status != Status.DISCHARGED for each in theirs)
    for lead in leads(work):
        key = f"shut_out:{staff.id}:{work.now.isoformat()}:{lead.id}"
        facts = {"name": staff.name, "count": waiting}
        tell_staff(work, lead, "therapist.shut_out", facts, key=key)
    raise_open(work, theirs)
    return waiting


def staff_gone(work: Work, staff: Staff) -> None:
    """Their chat refuses us: marked, and the leads get what is open about their patients."""
    if staff.unreachable_since or not at_work(staff):
        return
    work.uow.staff.save(replace(staff, unreachable_since=work.now))
    work.uow.outbox.cancel_to(staff.id)
    theirs = [each for each in work.uow.people.of(staff.id) if each.status != Status.DISCHARGED]
    for lead in leads(work):
        if reachable(lead):
            key = f"staff_gone:{staff.id}:{work.now.isoformat()}:{lead.id}"
            facts = {"name": staff.name, "count": len(theirs)}
            tell_staff(work, lead, "therapist.gone", facts, key=key)
    raise_open(work, theirs, danger_only=False)
    work.uow.notices.look_now(work.now)


def staff_back(work: Work, staff: Staff) -> Staff:
    """They let us in again, or wrote: what reached nobody is told at the next look."""
    if not staff.unreachable_since:
        return staff
    back = replace(staff, unreachable_since=None)
    work.uow.staff.save(back)
    work.uow.notices.look_now(work.now)
    return back


def retain(work: Work) -> int:
    """One look: tell of what is due in two weeks, do what was told two weeks ago. Returns how many were dealt with."""
    clinic = work.uow.clinics.get()
    if clinic is None or not clinic.keep_months:
        return 0
    silent_since = work.now - dt.timedelta(days=clinic.keep_months * MONTH_DAYS) + WARNING
    closed = work.uow.people.closed(silent_since, MOST)
    done = _give_up_kept(work, {each.id for each in closed}) + sum(_end(work, clinic, each) for each in closed)
    fresh = [each for each in closed if each.fades_at is None]
    _announce(work, clinic, fresh)
    return done + len(fresh)


def _give_up_kept(work: Work, still_closed: set[str]) -> int:
    """Whose fading was announced and about whom something has happened since: they stay."""
    kept = [each for each in work.uow.people.fading(MOST) if each.id not in still_closed]
    for person in kept:
        work.uow.people.save(replace(person, fades_at=None))
    return len(kept)


def _end(work: Work, clinic: Clinic, person: Person) -> bool:
    if person.fades_at is None or person.fades_at > work.now:
        return False
    if clinic.after_keeping == ERASE:
        work.uow.people.erase(person.id)
        work.uow.audit.add(Audit(clinic.id, "", work.now, "erase"))
    else:
        work.uow.people.anonymise(person.id)
        work.uow.audit.add(Audit(clinic.id, "", work.now, "anonymous", person.id))
    return True


def _announce(work: Work, clinic: Clinic, people: Sequence[Person]) -> None:
    """One message to each of the staff, with the names of those who were theirs."""
    due = work.now + WARNING
    told: dict[str, tuple[Staff, list[Person]]] = {}
    for person in people:
        work.uow.people.save(replace(person, fades_at=due))
        for staff in responsible(work, person):
            told.setdefault(staff.id, (staff, []))[1].append(person)
    for staff, theirs in told.values():
        facts = {
            "names": [each.name for each in theirs],
            "until": due.astimezone(dt.UTC).date(),
            "after": clinic.after_keeping,
        }
        key = f"fading:{staff.id}:{work.now.isoformat()}"
        tell_staff(work, staff, "therapist.fading", facts, key=key)
