"""What a lead looks at: the clinic, how the service did in a week; and the end of what is kept too long."""

import datetime as dt
import statistics
from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.model import NoticeKind
from core.records import Audit, Clinic, Invitation, Person, Queues, ServiceWeek, Staff
from core.timetable import ONE_WEEK
from core.use_cases.noticing import responsible, tell_staff
from core.use_cases.rights import LOOKING
from core.use_cases.work import Work

MOST_NOTICES = 1000
NEEDS_NOTHING = frozenset({NoticeKind.CLEARED})


@dataclass(frozen=True, slots=True)
class ClinicState:
    clinic: Clinic
    staff: tuple[Staff, ...]  # not those who left
    invitations: tuple[Invitation, ...]  # that can still be used
    copied: dt.datetime | None  # when `holdlower backup` last ran
    queues: Queues


def clinic_state(work: Work, clinic: Clinic) -> ClinicState:
    """The clinic at this moment."""
    staff = tuple(each for each in work.uow.staff.all() if each.left_at is None)
    backup, queues = work.uow.audit.last_done("backup"), work.uow.figures.queues(work.now)
    return ClinicState(clinic, staff, work.uow.invitations.open(work.now), backup, queues)


@dataclass(frozen=True, slots=True)
class Dealt:
    """Notices of a week: how many, how many somebody did something about, and after how many hours on the median."""

    notices: int
    dealt: int
    median_hours: float | None


def dealt_with(work: Work, clinic_id: str, since: dt.datetime, until: dt.datetime) -> Dealt:
    """Looking at a page is not doing something; the first act after a notice answers it."""
    notices = [
        each
        for each in work.uow.notices.newest(clinic_id, MOST_NOTICES)
        if since <= each.at < until and each.kind not in NEEDS_NOTHING
    ]
    acts = {
        person: sorted(each.at for each in work.uow.audit.latest(person, MOST_NOTICES) if each.action not in LOOKING)
        for person in {each.person_id for each in notices}
    }
    waits = [
        (first - each.at).total_seconds() / 3600
        for each in notices
        if (first := next((at for at in acts[each.person_id] if at >= each.at), None))
    ]
    return Dealt(len(notices), len(waits), statistics.median(waits) if waits else None)


def tell_service(work: Work, lead: Staff, monday: dt.datetime) -> None:
    """Queue the week's line on the service for a lead; nothing for a week in which nobody was to be asked."""
    since = monday - ONE_WEEK
    week: ServiceWeek = work.uow.figures.service_week(since, monday)
    if not week.planned:
        return
    dealt = dealt_with(work, lead.clinic_id, since, monday)
    facts = {
        "asked": week.asked, "late": week.late, "failed": week.failed, "answered": week.answered,
        "notices": dealt.notices, "dealt": dealt.dealt, "hours": dealt.median_hours,
    }  # fmt: skip
    key = f"service:{lead.id}:{monday.isoformat()}"
    tell_staff(work, lead, "therapist.service", facts, key=key)


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
