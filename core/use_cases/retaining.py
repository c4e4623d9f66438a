"""What happens to a closed course after the clinic's period: told two weeks before, then made anonymous or erased.

Closed is who left, was discharged or screened out, or cannot be reached, and about whom nothing has happened since: no
evening, decision, notice or note. A note written meanwhile keeps a course for another period.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from core.records import Audit, Clinic, Person, Staff
from core.use_cases.noticing import responsible, tell_staff
from core.use_cases.work import Work

WARNING = dt.timedelta(days=14)
MONTH_DAYS = 365.2425 / 12
MOST = 200  # people a look, so that no transaction grows long
ANONYMOUS, ERASE = "anonymous", "erase"


def retain(work: Work, clinic_id: str) -> int:
    """One look: tell of what is due in two weeks, do what was told two weeks ago. Returns how many were dealt with."""
    clinic = work.uow.clinics.get(clinic_id)
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
            "people": [each.id for each in theirs], "names": [each.name for each in theirs],
            "until": due.astimezone(dt.UTC).date(), "months": clinic.keep_months,
            "after": clinic.after_keeping,
        }  # fmt: skip
        key = f"fading:{staff.id}:{work.now.isoformat()}"
        tell_staff(work, staff, "therapist.fading", facts, key=key)
