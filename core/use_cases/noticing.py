"""What the therapist must know: kept once for each matter, told at once; danger is told until somebody has it."""

import datetime as dt
from collections.abc import Sequence
from contextlib import suppress
from zoneinfo import ZoneInfo

from core.errors import StoreError, UnreadableError
from core.model import NoticeKind
from core.records import Facts, Lost, Notice, OutboxState, Person, Priority, Staff
from core.timetable import ONE_WEEK, instant, local_date, next_evening
from core.use_cases.rights import leads, open_notices, reachable
from core.use_cases.work import Recipient, Work, queue

# A lead is told once of what an outage swallowed: when it is over, or each hour while it lasts. Judgement.
SETTLED_AFTER = dt.timedelta(minutes=5)
TOLD_EVERY = dt.timedelta(hours=1)
# What comes of days without an answer is found at midnight, and no sleep is worth it. Judgement.
CAN_WAIT = frozenset({NoticeKind.SILENT, NoticeKind.LONG_GAP})
_UNREADABLE = "\N{REPLACEMENT CHARACTER}"  # a name that no key opens
NIGHT = (dt.time(21), dt.time(7))
ON_ITS_WAY = frozenset({OutboxState.PENDING, OutboxState.SENDING, OutboxState.SENT, OutboxState.UNKNOWN})
AGAIN = dt.timedelta(minutes=30)  # judgement: how often we look whether there is somebody to tell by now


def tell_therapist(
    work: Work, person: Person, kind: NoticeKind, key: str, facts: Facts | None = None, text: str = "", by: str = ""
) -> bool:
    """Note a matter and tell whoever looks after the person, in the same transaction; False: `key` was told before.

    `text` is the person's own words. `by` is the member of staff who did it themselves and need not be told.
    """
    told = responsible(work, person)
    look_at = _first_look(work, told) if kind == NoticeKind.DANGER else None
    notice = Notice(work.new_id(), person.clinic_id, person.id, kind, key, work.now, facts or {}, text, look_at)
    if not work.uow.notices.add(notice):
        return False
    for staff in told:
        if staff.id != by:
            tell_notice(work, person, notice, staff)
    return True


def _first_look(work: Work, told: Sequence[Staff]) -> dt.datetime:
    """At once when there is nobody to tell."""
    clinic = work.uow.clinics.get()
    hours = clinic.undelivered_hours if clinic else 0
    return work.now + dt.timedelta(hours=hours) if told else work.now


def pass_on(work: Work, person: Person, message_id: str, file: str, sent_at: dt.datetime, words: str) -> None:
    """Somebody's own voice message, picture or file, for whoever looks after them, once; it stays unread by us.

    It is copied in the chat service, without the sender's account; to staff of another service only the line goes.
    """
    key = f"file:{person.id}:{message_id}"
    if not tell_therapist(work, person, NoticeKind.CLINICAL_QUESTION, key, {"flag": "problem"}, words):
        return
    for staff in responsible(work, person):
        copied = (person.address, message_id) if staff.channel == person.channel else None
        facts: Facts = {"name": person.name, "file": file, "at": sent_at, "zone": staff.zone, "copied": copied}
        tell_staff(work, staff, "therapist.file", facts, key=f"{key}:{staff.id}", about=person.id)


def responsible(work: Work, person: Person) -> tuple[Staff, ...]:
    """The person's therapist; every lead while there is none at work whose chat can be reached."""
    staff = [each for each in work.uow.staff.all() if reachable(each)]
    own = tuple(each for each in staff if each.id == person.therapist_id)
    return own or tuple(each for each in staff if each.lead)


def reach(work: Work, person: Person) -> str:
    """Whom what is told now reaches: "being" told is the therapist, "clinic_being" a lead; else there is "nobody"."""
    staff = responsible(work, person)
    own = any(each.id == person.therapist_id for each in staff)
    return "being" if own else "clinic_being" if staff else "nobody"


def tell_staff(work: Work, staff: Staff, kind: str, facts: Facts, *, key: str, about: str = "") -> None:
    """Queue a message to a member of staff; `about` is the patient it names, so that erasing finds it."""
    queue(work, Recipient.of(staff), kind, facts, key=key, priority=Priority.NOTICE, about=about)


def tell_person(work: Work, person: Person, kind: str, facts: Facts) -> None:
    """Tell the person what the staff did; goes ahead of the evening's questions."""
    queue(work, Recipient.of(person), kind, facts, key=f"{kind}:{work.new_id()}", priority=Priority.NOTICE)


def tell_unhandled(work: Work, chat: Recipient, emergency: str, *, key: str, text: str, name: str) -> None:
    """Danger words that the program could not work on: the advice goes out, and a person is told of them at once.

    Nothing of the writer's own rows need be readable: then it is the leads who are told, with the name in the chat.
    """
    try:
        person = _at(work, chat)
        staff = responsible(work, person) if person else ()
        name = (person and person.name.strip(_UNREADABLE)) or name
    except StoreError:
        staff = tuple(each for each in leads(work) if reachable(each))
    known = "being" if staff else "nobody"
    facts = {"emergency": emergency, "told": known}
    queue(work, chat, "danger.unhandled", facts, key=f"unhandled:{key}", priority=Priority.DANGER)
    for each in staff:
        to = Recipient.of(each)
        told = {"words": text, "name": name}
        queue(work, to, "therapist.unhandled", told, key=f"unhandled:{key}:{each.id}", priority=Priority.DANGER)


def _at(work: Work, chat: Recipient) -> Person | None:
    try:
        return work.uow.people.at(chat.channel, chat.address)
    except UnreadableError as error:
        return work.uow.people.whose(error.table, error.row)


def tell_unreadable(work: Work, error: UnreadableError) -> None:
    """Say once, to the therapist or else the leads, that a row of somebody's cannot be read."""
    person = work.uow.people.whose(error.table, error.row)
    if person is None:
        return
    for staff in responsible(work, person):
        key = f"unreadable:{error.table}:{error.row}:{staff.id}"
        tell_staff(work, staff, "therapist.unreadable", {"name": person.name}, key=key, about=person.id)


def tell_lost(work: Work) -> tuple[Lost, ...]:
    """Tell every lead in a line how many messages were given up since the last time; returns those."""
    lost = work.uow.outbox.lost()
    if not lost:
        return ()
    ends = [each.ended for each in lost]
    if max(ends) > work.now - SETTLED_AFTER and min(ends) > work.now - TOLD_EVERY:
        return ()
    asked = sum(each.priority == Priority.BULK for each in lost)
    replies = sum(each.priority in (Priority.REPLY, Priority.DANGER) for each in lost)
    facts: dict[str, object] = {
        "asked": asked, "replies": replies, "others": len(lost) - asked - replies,
        "since": min(each.at for each in lost), "until": max(ends),
    }  # fmt: skip
    for lead in leads(work):
        key = f"lost:{lost[-1].id}:{lead.id}"
        tell_staff(work, lead, "therapist.lost", facts | {"zone": lead.zone}, key=key)
    work.uow.outbox.lost_told([each.id for each in lost])
    return lost


def tell_notice(
    work: Work, person: Person, notice: Notice, staff: Staff, mark: str = "", late: str = "", hours: int = 0
) -> None:
    """Queue a notice to one of the staff; `mark` tells a further telling from the first.

    `late`: it was "undelivered" or is "open" after so many hours.
    """
    facts: dict[str, object] = {"notice": notice, "person": person.id, "name": person.name, "words": notice.text}
    facts |= {"late": late, "hours": hours}
    danger = notice.kind == NoticeKind.DANGER
    queue(
        work, Recipient.of(staff), "therapist.notice", facts,
        key=f"notice:{notice.id}:{staff.id}" + (f":{mark}" if mark else ""),
        priority=Priority.DANGER if danger else Priority.NOTICE,
        not_before=_by_day(work.now, staff.zone) if notice.kind in CAN_WAIT else None,
        about=person.id,
        notice_id=notice.id,
    )  # fmt: skip


def _by_day(now: dt.datetime, zone: str) -> dt.datetime | None:
    """The morning, when it is night there now."""
    evening, morning = NIGHT
    local, today = now.astimezone(ZoneInfo(zone)).time(), local_date(now, zone)
    if local < morning:
        return instant(today, morning, zone)
    return next_evening(today, morning, zone)[1] if local >= evening else None


def look_at_danger(work: Work, notice_id: str) -> None:
    """Whether somebody has it, and has done something: otherwise whoever is responsible, and the leads, are told.

    The clinic says after how many hours. What is settled, or a week old, is not looked at again.
    """
    notice = work.uow.notices.get(notice_id)
    person = work.uow.people.get(notice.person_id) if notice else None
    clinic = work.uow.clinics.get() if notice else None
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


def _open(work: Work, person: Person, notice: Notice) -> bool:
    return notice.id in {each.id for each in open_notices(work, person)}
