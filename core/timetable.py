"""When a person is asked: local wall time to UTC, with the local date as the key.

A wall time that a clock change skips moves forward by the gap; one that happens twice is taken the first time.
"""

import datetime as dt
import re
from collections.abc import Sequence
from zoneinfo import ZoneInfo

REMIND_AFTER = dt.timedelta(hours=2)
LAST_REMINDER = dt.time(21, 30)
REMINDERS_GRACE = dt.timedelta(minutes=10)  # one that is on its way at half past nine may still arrive
TOO_LATE = dt.timedelta(hours=3)  # a question later than this is not asked any more
NIGHT_ENDS = dt.time(4, 0)  # what is said before this hour belongs to the evening before
MORNING_ENDS = dt.time(12, 0)  # until then an answer may still be meant for last night
MORNING_CALL = dt.time(9, 0)  # news that came up overnight is told then
TIME_FOR_A_DOSE = dt.timedelta(hours=1)
NUDGE_HOURS = dt.time(8, 0), dt.time(21, 0)  # judgement: by night, and near it, nobody is nudged
NUDGE_LASTS = dt.timedelta(hours=1)  # judgement: one that is later than that is of no use
ONE_DAY = dt.timedelta(days=1)
ONE_WEEK = 7 * ONE_DAY


def instant(date: dt.date, time: dt.time, zone: str) -> dt.datetime | None:
    """The UTC moment of a wall time on a local date; None where that date never happened (a date line moved)."""
    moment = _utc(date, time, zone)
    if local_date(moment, zone) == date or local_date(_utc(date, dt.time(12), zone), zone) == date:
        return moment
    return None


def next_evening(after: dt.date, evening: dt.time, zone: str) -> tuple[dt.date, dt.datetime]:
    """The first local date later than `after` that exists, and when its question is due."""
    date = after + ONE_DAY
    while (due := instant(date, evening, zone)) is None:
        date += ONE_DAY
    return date, due


def due_after_change(
    now: dt.datetime, evening: dt.time, zone: str, asked: dt.date | None
) -> tuple[dt.date, dt.datetime]:
    """The next question after a change of zone or time.

    `asked` is the last local date that has a check-in: none is asked about twice, whichever way the clock moved. Where
    today's hour is past already, it is asked at once: the person is here, and the change is theirs, not our downtime.
    """
    yesterday = local_date(now, zone) - ONE_DAY
    date, due = next_evening(max(yesterday, asked or yesterday), evening, zone)
    return date, max(due, now)


def due_after_start(
    now: dt.datetime, evening: dt.time, zone: str, asked: dt.date | None
) -> tuple[dt.date, dt.datetime]:
    """The next question after a start or a return: today's only while there is still time to do today's sets."""
    date, due = due_after_change(now, evening, zone, asked)
    return (date, due) if due - now >= TIME_FOR_A_DOSE else next_evening(date, evening, zone)


def reminder(due: dt.datetime, zone: str) -> dt.datetime | None:
    """Two hours after the question, or None where that would be too late in the evening."""
    local_due = due.astimezone(ZoneInfo(zone))
    local = (due + REMIND_AFTER).astimezone(ZoneInfo(zone))
    in_time = local.date() == local_due.date() and local.time() <= LAST_REMINDER
    return due + REMIND_AFTER if in_time else None


def reminders_end(date: dt.date, zone: str) -> dt.datetime:
    """From when on nobody is reminded of that local date any more."""
    return _utc(date, LAST_REMINDER, zone) + REMINDERS_GRACE


def end_of_day(date: dt.date, zone: str) -> dt.datetime:
    """The UTC moment at which a local date is over."""
    _, midnight = next_evening(date, dt.time(0), zone)
    return midnight


def too_late(due: dt.datetime, now: dt.datetime) -> bool:
    """Whether a question missed by our downtime is no longer worth asking."""
    return now - due > TOO_LATE


def local_date(moment: dt.datetime, zone: str) -> dt.date:
    return moment.astimezone(ZoneInfo(zone)).date()


def evening_of(moment: dt.datetime, zone: str) -> dt.date:
    """The local date that something said at `moment` is about: after midnight still the evening before."""
    local = moment.astimezone(ZoneInfo(zone))
    return local.date() - ONE_DAY if local.time() < NIGHT_ENDS else local.date()


def is_morning(moment: dt.datetime, zone: str) -> bool:
    """Whether an answer at `moment` might be meant for last night as well as for today."""
    return NIGHT_ENDS <= moment.astimezone(ZoneInfo(zone)).time() < MORNING_ENDS


def morning_call(now: dt.datetime, zone: str) -> dt.datetime:
    """The next nine o'clock in the morning, local time."""
    today = local_date(now, zone)
    call = _utc(today, MORNING_CALL, zone)
    return call if call > now else next_evening(today, MORNING_CALL, zone)[1]


def next_nudge(now: dt.datetime, hours: Sequence[dt.time], zone: str) -> dt.datetime | None:
    """The first moment after `now` that is one of these hours of a local day; None without any."""
    dates = [local_date(now, zone) + n * ONE_DAY for n in range(-1, 3)]  # two, for one of them may never happen
    moments = [moment for date in dates for hour in hours if (moment := instant(date, hour, zone))]
    return min((moment for moment in moments if moment > now), default=None)


def nudge_ends(due: dt.datetime, evening: dt.time, zone: str) -> dt.datetime:
    """Until when a nudge that was due then may arrive: not late, not in quiet hours, not once the evening is asked.

    At or before `due` where it may not come at all.
    """
    date, (first, last) = local_date(due, zone), NUDGE_HOURS
    if due < _utc(date, first, zone):
        return due
    return min(due + NUDGE_LASTS, _utc(date, last, zone), _utc(date, evening, zone))


def _utc(date: dt.date, time: dt.time, zone: str) -> dt.datetime:
    # fold 0: the first of two; for a skipped time Python then applies the offset before the gap, which moves it forward
    return dt.datetime.combine(date, time.replace(fold=0), tzinfo=ZoneInfo(zone)).astimezone(dt.UTC)


DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_TIME = r"([01]\d|2[0-3]):([0-5]\d)"
_PART = re.compile(rf"({'|'.join(DAYS)})(?:\s*-\s*({'|'.join(DAYS)}))?\s+{_TIME}\s*-\s*{_TIME}", re.ASCII)

Hours = tuple[tuple[int, dt.time, dt.time], ...]  # weekday from Monday 0, from, until


def read_hours(written: str) -> Hours:
    """The opening hours, by weekday and time. Raises ValueError for what cannot be read."""
    found: list[tuple[int, dt.time, dt.time]] = []
    for part in filter(None, (each.strip() for each in written.split(","))):
        match = _PART.fullmatch(part)
        if match is None:
            raise ValueError(f"{part!r} is not a day and its hours")
        first, last = DAYS.index(match[1]), DAYS.index(match[2] or match[1])
        begins, ends = dt.time(int(match[3]), int(match[4])), dt.time(int(match[5]), int(match[6]))
        if ends <= begins or last < first:
            raise ValueError(f"{part!r} ends before it begins")
        found += [(day, begins, ends) for day in range(first, last + 1)]
    return tuple(sorted(found))


def opens_next(written: str, now: dt.datetime, zone: str) -> dt.datetime | None:
    """When a clinic that is closed `now` opens again, in its own zone; None while it is open, or without hours."""
    hours, local = read_hours(written), now.astimezone(ZoneInfo(zone))
    if any(day == local.weekday() and begins <= local.time() < ends for day, begins, ends in hours):
        return None
    for ahead in range(8 if hours else 0):
        date = local.date() + ahead * ONE_DAY
        for day, begins, _ in hours:
            opens = instant(date, begins, zone) if day == date.weekday() else None
            if opens is not None and opens > now:
                return opens.astimezone(ZoneInfo(zone))
    return None
