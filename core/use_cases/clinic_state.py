"""What a lead looks at: the clinic as it stands, and how the service did in a week."""

import datetime as dt
import statistics
from dataclasses import dataclass

from core.model import NoticeKind
from core.records import Clinic, Invitation, Queues, ServiceWeek, Staff
from core.use_cases.noticing import tell_staff
from core.use_cases.open_matters import LOOKING
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
    since = monday - dt.timedelta(days=7)
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
