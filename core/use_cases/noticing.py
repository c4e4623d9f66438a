"""The one way to note something the therapist must know: kept once for each matter, and told at once."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from zoneinfo import ZoneInfo

from core.model import NoticeKind
from core.records import Facts, Lost, Notice, Outgoing, Person, Priority, Staff
from core.timetable import instant, local_date, next_evening
from core.use_cases.rights import leads, reachable
from core.use_cases.work import Work

# A lead is told once of what an outage swallowed: when it is over, or each hour while it lasts. Judgement.
SETTLED_AFTER = dt.timedelta(minutes=5)
TOLD_EVERY = dt.timedelta(hours=1)
# What comes of days without an answer is found at midnight, and no sleep is worth it. Judgement.
CAN_WAIT = frozenset({NoticeKind.SILENT, NoticeKind.LONG_GAP})
NIGHT = (dt.time(21), dt.time(7))


def tell_therapist(
    work: Work, person: Person, kind: NoticeKind, key: str, facts: Facts | None = None, text: str = "", by: str = ""
) -> bool:
    """Note a matter and tell whoever looks after the person, in the same transaction; False: `key` was told before.

    `text` is the person's own words. `by` is the member of staff who did it themselves and need not be told.
    """
    told = responsible(work, person)
    look_at = _first_look(work, person, told) if kind == NoticeKind.DANGER else None
    notice = Notice(work.new_id(), person.clinic_id, person.id, kind, key, work.now, facts or {}, text, look_at)
    if not work.uow.add_notice(notice):
        return False
    for staff in told:
        if staff.id != by:
            work.uow.enqueue(notice_message(work, person, notice, staff))
    return True


def _first_look(work: Work, person: Person, told: Sequence[Staff]) -> dt.datetime:
    """At once when there is nobody to tell."""
    clinic = work.uow.clinic(person.clinic_id)
    hours = clinic.undelivered_hours if clinic else 0
    return work.now + dt.timedelta(hours=hours) if told else work.now


def responsible(work: Work, person: Person) -> tuple[Staff, ...]:
    """The person's therapist; every lead while there is none at work whose chat can be reached."""
    staff = [each for each in work.uow.all_staff() if reachable(each)]
    own = tuple(each for each in staff if each.id == person.therapist_id)
    return own or tuple(each for each in staff if each.lead)


def reach(work: Work, person: Person) -> str:
    """Whom what is told now reaches: "being" told is the therapist, "clinic_being" a lead; else there is "nobody"."""
    staff = responsible(work, person)
    own = any(each.id == person.therapist_id for each in staff)
    return "being" if own else "clinic_being" if staff else "nobody"


def to_staff(
    work: Work, staff: Staff, kind: str, key: str, facts: Facts, about: str = "", not_before: dt.datetime | None = None
) -> Outgoing:
    """A message to a member of staff; `about` is the patient it names, so that erasing finds it."""
    return Outgoing(
        key=key,
        clinic_id=staff.clinic_id,
        person_id=staff.id,
        channel=staff.channel,
        address=staff.address,
        kind=kind,
        facts=dict(facts) | {"language": staff.language},
        priority=Priority.NOTICE,
        at=work.now,
        not_before=not_before,
        about=about,
    )


def tell_lost(work: Work) -> tuple[Lost, ...]:
    """Tell every lead in a line how many messages were given up since the last time; returns those."""
    lost = work.uow.lost_messages()
    if not lost:
        return ()
    ends = [each.ended for each in lost]
    if max(ends) > work.now - SETTLED_AFTER and min(ends) > work.now - TOLD_EVERY:
        return ()
    asked = sum(each.priority == Priority.BULK for each in lost)
    replies = sum(each.priority in (Priority.REPLY, Priority.DANGER) for each in lost)
    facts: dict[str, object] = {
        "count": len(lost), "asked": asked, "replies": replies, "others": len(lost) - asked - replies,
        "since": min(each.at for each in lost).isoformat(), "until": max(ends).isoformat(),
    }  # fmt: skip
    for lead in leads(work):
        key = f"lost:{lost[-1].id}:{lead.id}"
        work.uow.enqueue(to_staff(work, lead, "therapist.lost", key, facts | {"zone": lead.zone}))
    work.uow.lost_told([each.id for each in lost])
    return lost


def notice_message(
    work: Work, person: Person, notice: Notice, staff: Staff, mark: str = "", late: str = "", hours: int = 0
) -> Outgoing:
    """A notice as it is told to one of the staff; `mark` tells a further telling from the first.

    `late`: it was "undelivered" or is "open" after so many hours.
    """
    facts = {"flag": ""} | dict(notice.facts)
    facts |= {"notice": notice.id, "kind": notice.kind.value, "person": person.id, "name": person.name}
    facts |= {"text": notice.text, "status": person.status.value}
    if late:
        facts |= {"late": late, "hours": hours}
    later = _by_day(work.now, staff.zone) if notice.kind in CAN_WAIT else None
    key = f"notice:{notice.id}:{staff.id}" + (f":{mark}" if mark else "")
    told = to_staff(work, staff, "therapist.notice", key, facts, person.id, later)
    danger = notice.kind == NoticeKind.DANGER
    return replace(told, notice_id=notice.id, priority=Priority.DANGER if danger else told.priority)


def _by_day(now: dt.datetime, zone: str) -> dt.datetime | None:
    """The morning, when it is night there now."""
    evening, morning = NIGHT
    local, today = now.astimezone(ZoneInfo(zone)).time(), local_date(now, zone)
    if local < morning:
        return instant(today, morning, zone)
    return next_evening(today, morning, zone)[1] if local >= evening else None
