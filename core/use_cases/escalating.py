"""Danger is told until somebody has it: anew to whoever is responsible now, and to the leads when it takes too long."""

import datetime as dt
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace

from core.errors import UnreadableError
from core.model import NoticeKind
from core.records import Notice, OutboxState, Person, Staff, Status
from core.timetable import ONE_WEEK
from core.use_cases.noticing import reach, responsible, tell_notice, tell_staff
from core.use_cases.open_matters import open_notices
from core.use_cases.rights import at_work, leads, reachable
from core.use_cases.work import Work

AGAIN = dt.timedelta(minutes=30)  # judgement: how often we look whether there is somebody to tell by now
ON_ITS_WAY = frozenset({OutboxState.PENDING, OutboxState.SENDING, OutboxState.SENT, OutboxState.UNKNOWN})


def look_at_danger(work: Work, notice_id: str) -> None:
    """Whether somebody has it, and has done something: otherwise whoever is responsible, and the leads, are told.

    The clinic says after how many hours. What is settled, or a week old, is not looked at again.
    """
    notice = work.uow.notices.get(notice_id)
    person = work.uow.people.get(notice.person_id) if notice else None
    clinic = work.uow.clinics.get(notice.clinic_id) if notice else None
    if notice is None or person is None or clinic is None or not _open(work, person, notice):
        work.uow.notices.look_again(notice_id, None)
        return
    age, told = work.now - notice.at, has_arrived(work, notice)
    hours = {"undelivered": clinic.undelivered_hours, "open": clinic.open_hours}
    due = {name: dt.timedelta(hours=count) for name, count in hours.items()}
    tell_again(work, person, notice, responsible(work, person) if not told else ())
    if age >= due["open"]:
        tell_again(work, person, notice, leads(work), "open", hours["open"])
    elif not told and age >= due["undelivered"]:
        tell_again(work, person, notice, leads(work), "undelivered", hours["undelivered"])
    done = told and age >= due["open"]
    again = work.now + AGAIN if not told else notice.at + due["open"]
    work.uow.notices.look_again(notice_id, None if done else max(again, work.now + dt.timedelta(minutes=1)))


def has_arrived(work: Work, notice: Notice) -> bool:
    """Whether anybody on the staff has been told of it."""
    return any(state is OutboxState.SENT for _, state in work.uow.outbox.ways_of(notice.id))


def telling(work: Work, person: Person) -> str:
    """How far their latest danger has come: "told" the therapist, "clinic_told" somebody else, or as `reach`."""
    notices = work.uow.notices.about(person.id, since=work.now - ONE_WEEK)
    latest = next((each for each in notices if each.kind == NoticeKind.DANGER), None)
    ways = work.uow.outbox.ways_of(latest.id) if latest else ()
    have_it = {whose for whose, state in ways if state is OutboxState.SENT}
    if have_it:
        return "told" if person.therapist_id in have_it else "clinic_told"
    return reach(work, person)


def tell_again(
    work: Work, person: Person, notice: Notice, staff: Sequence[Staff], late: str = "", hours: int = 0
) -> None:
    """Queue a notice for each of them who has not got it, nor is getting it; each lateness is told once."""
    ways = work.uow.outbox.ways_of(notice.id)
    for each in staff:
        states = [state for whose, state in ways if whose == each.id]
        if reachable(each) and (late or not ON_ITS_WAY.intersection(states)):
            mark = late or (str(len(states)) if states else "")
            tell_notice(work, person, notice, each, mark, late, hours)


def raise_open(work: Work, people: Sequence[Person], *, danger_only: bool = True) -> None:
    """What is open about these people goes to whoever is responsible now."""
    for person in people:
        with suppress(UnreadableError):  # of them nothing is known; what is open about the others goes on
            for notice in reversed(open_notices(work, person)):
                if notice.kind == NoticeKind.DANGER or not danger_only:
                    tell_again(work, person, notice, responsible(work, person))


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


def _open(work: Work, person: Person, notice: Notice) -> bool:
    return notice.id in {each.id for each in open_notices(work, person)}
