"""What staff set for themselves: when their digest comes, their zone, that they leave."""

import datetime as dt
import re
from dataclasses import replace

from bot.conversation.talk import StaffTalk, plain
from bot.conversation.typed import read_zones
from core.errors import RefusalError
from core.records import Audit, Staff, Status
from core.timetable import ONE_WEEK
from core.use_cases.digesting import plan_digest, queue_digest, this_week
from core.use_cases.rights import at_work, check_lead
from core.use_cases.staffing import leave_staff

TIMES = ("0700", "0730", "0800", "1800")
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
LONGEST = 80
MOST_WEEKS_BACK = 104
_BACK = re.compile(r"[0-9]{0,3}")
_CLOCK = re.compile(r"(\d{1,2})[:.h]?(\d{2})?")


def digest(talk: StaffTalk) -> None:
    """/digest: the week so far; with a number, the week that many weeks back."""
    typed = talk.came.text.strip()
    if not _BACK.fullmatch(typed) or int(typed or 0) > MOST_WEEKS_BACK:
        talk.say("therapist.digest.which", most=MOST_WEEKS_BACK)
        return
    monday = this_week(talk.work.now, talk.staff.zone) - int(typed or 0) * ONE_WEEK
    queue_digest(talk.work, talk.staff, monday, key=f"digest.asked:{talk.update_key}")
    talk.work.uow.audit.add(Audit(talk.staff.clinic_id, talk.staff.id, talk.work.now, "digest"))


def ask_hours(talk: StaffTalk) -> None:
    """When the digest comes, with the days to choose from."""
    talk.wait_for("hours")
    talk.say("therapist.hours", **_now(talk))


def on_hours(talk: StaffTalk, weekday: str, time: str) -> None:
    """A tapped day, then a tapped time."""
    if weekday not in WEEKDAYS or (time and time not in TIMES):
        talk.say("therapist.old_button")
    elif not time:
        talk.wait_for("hours", weekday)
        talk.say("therapist.hours.time", weekday=WEEKDAYS.index(weekday))
    else:
        _set(talk, WEEKDAYS.index(weekday), dt.time(int(time[:2]), int(time[2:])))


def on_hours_text(talk: StaffTalk) -> None:
    """A typed day, a typed time, or both: "Tuesday 7:30"."""
    words = plain(talk.came.text[:LONGEST]).split()
    days = [day for word in words if (day := _weekday(talk, word)) is not None]
    times = [time for word in words if (time := _time(word)) is not None]
    chosen = talk.dialogue.step
    day = days[0] if len(days) == 1 else (WEEKDAYS.index(chosen) if chosen and not days else None)
    if len(times) > 1 or len(days) > 1 or not words or len(days) + len(times) != len(words):
        talk.say("therapist.hours", again=True, **_now(talk))
    elif times:
        _set(talk, talk.staff.digest_weekday if day is None else day, times[0])
    elif day is not None:
        on_hours(talk, WEEKDAYS[day], "")


def _weekday(talk: StaffTalk, word: str) -> int | None:
    known = (f"words.{name}" for name in WEEKDAYS)
    found = [place for place, key in enumerate(known) if word in talk.chats.words(key, talk.staff.language)]
    return found[0] if found else None


def _time(word: str) -> dt.time | None:
    found = _CLOCK.fullmatch(word)
    if not found or int(found[1]) > 23 or int(found[2] or 0) > 59:
        return None
    return dt.time(int(found[1]), int(found[2] or 0))


def _set(talk: StaffTalk, weekday: int, time: dt.time) -> None:
    changed = replace(talk.staff, digest_weekday=weekday, digest_time=time)
    talk.save(plan_digest(changed, talk.work.now))
    talk.nothing_open()
    talk.say("therapist.hours.set", **_now(talk))


def _now(talk: StaffTalk) -> dict[str, object]:
    staff = talk.staff
    return {"weekday": staff.digest_weekday, "time": staff.digest_time, "zone": staff.zone}


def ask_zone(talk: StaffTalk) -> None:
    """The zone the staff member's own clock is in; a town after the command sets it."""
    talk.wait_for("zone")
    if talk.came.text.strip():
        on_zone_text(talk)
    else:
        talk.say("therapist.zone", zone=talk.staff.zone, near=[])


def on_zone(talk: StaffTalk, zone: str, _: str) -> None:
    """One of the zones that were offered."""
    if talk.dialogue.flow == "zone":
        on_zone_text(talk.as_text(zone))
    else:
        talk.say("therapist.old_button")


def on_zone_text(talk: StaffTalk) -> None:
    """A typed town."""
    zone, near = read_zones(talk.came.text[:LONGEST])
    if zone is None:
        talk.say("therapist.zone", zone=talk.staff.zone, near=near, again=True)
        return
    talk.save(plan_digest(replace(talk.staff, zone=zone), talk.work.now))
    talk.nothing_open()
    talk.say("therapist.hours.set", **_now(talk))


FLOW = "leave"


def ask_leave(talk: StaffTalk) -> None:
    """/leave: ask whether it is meant."""
    _ask(talk, talk.staff)


def on_end(talk: StaffTalk, staff_id: str, _: str) -> None:
    """The lead's button under the team."""
    check_lead(talk.work, talk.staff, "leave")
    _ask(talk, _colleague(talk, staff_id))


def on_gone(talk: StaffTalk, staff_id: str, number: str) -> None:
    """Yes, of the question that is open; any other button changes nothing."""
    facts = talk.dialogue.facts
    if talk.dialogue.flow != FLOW or (facts["staff"], facts["number"]) != (staff_id, number):
        talk.say("therapist.old_button")
        return
    gone = leave_staff(talk.work, _colleague(talk, staff_id), talk.staff)
    talk.nothing_open()
    talk.say("therapist.leave.done", name=gone.name, you=gone.id == talk.staff.id)


def on_ending_text(talk: StaffTalk) -> None:
    """A typed yes or no; anything else is asked about again."""
    facts = talk.dialogue.facts
    if talk.typed("words.yes"):
        on_gone(talk, str(facts["staff"]), str(facts["number"]))
    elif talk.typed("words.no"):
        talk.nothing_open()
        talk.say("therapist.nothing_changed")
    else:
        _ask(talk, _colleague(talk, str(facts["staff"])))


def _ask(talk: StaffTalk, staff: Staff) -> None:
    patients = [each for each in talk.work.uow.people.of(staff.id) if each.status != Status.DISCHARGED]
    if patients:
        raise RefusalError(f"staff {staff.id} has {len(patients)} patients", "has_patients", count=len(patients))
    number = talk.work.new_id()[-8:]
    talk.wait_for(FLOW, "confirm", staff=staff.id, number=number)
    talk.say("therapist.leave", staff=staff.id, name=staff.name, you=staff.id == talk.staff.id, number=number)


def _colleague(talk: StaffTalk, staff_id: str) -> Staff:
    found = talk.work.uow.staff.get(staff_id, lock=True)
    if found is None or not at_work(found):
        raise RefusalError(f"no staff {staff_id!r} at work", "not_at_work")
    return found
