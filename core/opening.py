"""When a clinic is open, as its lead writes it: "Mon-Fri 08:00-18:00, Sat 09:00-12:00"."""

import datetime as dt
import re
from zoneinfo import ZoneInfo

from core.timetable import ONE_DAY, instant

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
