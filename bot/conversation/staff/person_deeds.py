"""Deeds about the person beside the course: the hour, words to them, notes, scores, the therapist, the end."""

import datetime as dt

from bot.conversation.answers_typed import read_time
from bot.conversation.staff.deed import Deed, Facts, Kind
from core.errors import RefusalError
from core.records import Staff, Status
from core.scores.prtee import read_prtee
from core.timetable import local_date
from core.use_cases.overriding import add_note, ask_morning, record_outcome, set_evening, write_to
from core.use_cases.rights import at_work
from core.use_cases.staffing import discharge, hand_over, is_written_to
from core.weeks import WEEK_DAYS

HOUR_BACK = "@"  # begins what stands in the button that puts an hour back
HOURS = ("1800", "1900", "2000", "2100")


def _hour(written: str) -> dt.time:
    """Of "1930"."""
    return dt.time(int(written[:2]), int(written[2:]))


def _check_evening(deed: Deed) -> Facts:
    if deed.person.status in (Status.UNCONFIRMED, Status.DISCHARGED):
        raise RefusalError(f"person {deed.person.id} is {deed.person.status.value}", "not_a_patient")
    facts = {"before": deed.person.evening.isoformat("minutes")}
    if deed.arg:
        facts["after"] = _read_hour(deed, deed.arg)
    return facts


def _read_hour(_: Deed, words: str) -> str:
    """The hour as HH:MM; "" for none, or one at which nobody is asked."""
    time = read_time(f"{words[:2]}:{words[2:]}" if words.isdecimal() and len(words) == len(HOURS[0]) else words)
    return time.isoformat("minutes") if time else ""


def _change_evening(deed: Deed) -> str:
    before = deed.person.evening
    set_evening(deed.work, deed.staff, deed.person, dt.time.fromisoformat(_read_hour(deed, deed.arg)), deed.typed)
    return f"{HOUR_BACK}{before:%H%M}-{local_date(deed.work.now, deed.person.zone).toordinal()}"


def put_back_evening(deed: Deed, written: str, reason: str) -> None:
    """Undo a change of the hour; RefusalError on another day than its own."""
    hour, _, day = written.partition("-")
    if day != str(local_date(deed.work.now, deed.person.zone).toordinal()) or not hour.isdecimal():
        raise RefusalError("an hour can be put back on the day of its change only", "undo_too_late")
    set_evening(deed.work, deed.staff, deed.person, _hour(hour), reason)


def _check_morning(deed: Deed) -> Facts:
    return {"before": deed.person.ask_morning}


def _change_morning(deed: Deed) -> str:
    ask_morning(deed.work, deed.staff, deed.person, deed.typed)
    return ""


def _check_written_to(deed: Deed) -> Facts:
    if not is_written_to(deed.person):
        raise RefusalError(f"person {deed.person.id} is {deed.person.status.value}: not written to", "not_written_to")
    return {"therapist": deed.staff.name}


def _write(deed: Deed) -> str:
    write_to(deed.work, deed.staff, deed.person, deed.typed)
    return ""


def _check_note(deed: Deed) -> Facts:
    return {}


def _note(deed: Deed) -> str:
    add_note(deed.work, deed.staff, deed.person, deed.typed)
    return ""


def _check_score(deed: Deed) -> Facts:
    course = deed.course()
    if not deed.typed:
        return {}
    score = read_prtee(deed.typed)
    days = (local_date(deed.work.now, deed.person.zone) - course.episode.started).days
    earlier = deed.work.uow.outcomes(deed.person.id)
    facts: dict[str, object] = {
        "week": max(round(days / WEEK_DAYS), 0),
        "total": score.total,
        "pain": score.pain,
        "function": score.function,
        "answered": score.answered,
    }
    if earlier:
        facts |= {"since": earlier[0].week, "first": earlier[0].total}
    return facts


def _record(deed: Deed) -> str:
    record_outcome(deed.work, deed.staff, deed.person, read_prtee(deed.typed))
    return ""


def _colleagues(deed: Deed) -> list[list[str]]:
    staff = deed.work.uow.all_staff()
    others = [each for each in staff if each.therapist and at_work(each) and each.id != deed.person.therapist_id]
    return [[each.id, each.name] for each in others]


def _colleague(deed: Deed) -> Staff:
    found = deed.work.uow.staff(deed.arg)
    if found is None:
        raise RefusalError(f"no staff {deed.arg!r}", "not_at_work")
    return found


def _check_hand_over(deed: Deed) -> Facts:
    if deed.person.status in (Status.UNCONFIRMED, Status.DISCHARGED):
        raise RefusalError(f"person {deed.person.id} is {deed.person.status.value}", "not_a_patient")
    if not deed.arg:
        if not _colleagues(deed):
            raise RefusalError("there is no other therapist at work", "no_colleague")
        return {}
    return {"colleague": _colleague(deed).name, "out_of_sight": not deed.staff.lead}


def _hand_over(deed: Deed) -> str:
    hand_over(deed.work, deed.staff, deed.person, _colleague(deed))
    return ""


def _check_discharge(deed: Deed) -> Facts:
    if deed.person.status in (Status.UNCONFIRMED, Status.DISCHARGED):
        raise RefusalError(f"person {deed.person.id} is {deed.person.status.value}", "not_a_patient")
    return {}


def _discharge(deed: Deed) -> str:
    discharge(deed.work, deed.staff, deed.person, deed.typed)
    return ""


PERSON_DEEDS: dict[str, Kind] = {
    "evening": Kind(
        check=_check_evening, do=_change_evening, choices=lambda deed: list(HOURS), read=_read_hour
    ),
    "morning": Kind(check=_check_morning, do=_change_morning),
    "write": Kind(check=_check_written_to, do=_write, typed="message"),
    "note": Kind(check=_check_note, do=_note, typed="note"),
    "score": Kind(check=_check_score, do=_record, typed="score"),
    "hand_over": Kind(check=_check_hand_over, do=_hand_over, typed="", choices=_colleagues),
    "discharge": Kind(check=_check_discharge, do=_discharge),
}
