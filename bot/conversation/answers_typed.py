"""Reading typed hours and a typed town."""

import datetime as dt
import difflib
import re
import unicodedata
from functools import cache
from zoneinfo import available_timezones

EARLIEST = dt.time(12, 0)  # an evening question; a bare "8" can then only be eight in the evening
LATEST = dt.time(22, 30)
_FIRST_BARE = 8  # of hours by day
_CLOCK = re.compile(r"^(?:at )?(\d{1,2})(?:\s*[:.h]\s*(\d{2}))?\s*(am|pm|a\.m\.?|p\.m\.?|h|o'?clock)?$")
_MOST_SHOWN = 4


def read_time(text: str) -> dt.time | None:
    """The hour of the evening question, or None when it is not one between noon and half past ten at night."""
    plain = unicodedata.normalize("NFKC", text).strip().casefold().rstrip(".!")
    found = _CLOCK.match(plain)
    if not found:
        return None
    hour, minute, half = int(found[1]), int(found[2] or 0), (found[3] or "")[:1]
    if hour < 12 and half != "a":
        hour += 12
    if hour > 23 or minute > 59:
        return None
    time = dt.time(hour, minute)
    return time if EARLIEST <= time <= LATEST else None


def read_hours(text: str) -> tuple[dt.time, ...]:
    """Hours of the day from "10, 13:30 and 5 pm", each once; none where any part is something else.

    A bare number up to seven is in the afternoon: nobody is nudged before eight.
    """
    plain = unicodedata.normalize("NFKC", text).strip().casefold().rstrip(".!")
    hours = []
    for part in filter(None, re.split(r"\s*(?:,|;|\+|&|\band\b)\s*|\s+(?=\d)", plain)):
        found = _CLOCK.match(part)
        hour, minute = (int(found[1]), int(found[2] or 0)) if found else (24, 0)
        half = ((found and found[3]) or "")[:1]
        if hour < 12 and (half == "p" or (half != "a" and hour < _FIRST_BARE)):
            hour += 12
        if hour > 23 or minute > 59:
            return ()
        hours.append(dt.time(hour, minute))
    return tuple(sorted(set(hours)))


def read_zones(text: str) -> tuple[str | None, list[str]]:
    """The time zone of a typed town or zone name when it is certain; else a few near ones to choose from."""
    names = _towns()
    wanted = _plain(text)
    if wanted in names:
        return names[wanted], []
    starts = sorted(zone for town, zone in names.items() if len(wanted) >= 3 and town.startswith(wanted))
    close = [names[town] for town in difflib.get_close_matches(wanted, names, n=_MOST_SHOWN, cutoff=0.75)]
    return None, list(dict.fromkeys([*starts, *close]))[:_MOST_SHOWN]


@cache
def _towns() -> dict[str, str]:
    towns: dict[str, str] = {}
    for zone in sorted(available_timezones()):
        if "/" in zone and not zone.startswith(("Etc/", "SystemV/", "posix/", "right/")):
            towns.setdefault(_plain(zone.rpartition("/")[2]), zone)
            towns[_plain(zone)] = zone
    return towns


def _plain(name: str) -> str:
    letters = unicodedata.normalize("NFKD", name.strip().casefold())
    return "".join(letter for letter in letters if letter.isalnum() or letter == "/")
