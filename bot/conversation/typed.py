"""What a whole typed line may stand for: an hour, hours by day, a town, or a button by its label or number."""

import datetime as dt
import difflib
import re
import unicodedata
from collections.abc import Iterator
from functools import cache
from zoneinfo import available_timezones

from bot.buttons import Verb, carried
from bot.conversation.talk import plain
from bot.ports import Came, Incoming
from core.ports import UnitOfWork
from core.records import Button

EARLIEST = dt.time(12, 0)  # an evening question; a bare "8" can then only be eight in the evening
LATEST = dt.time(22, 30)
_FIRST_BARE = 8  # of hours by day
_CLOCK = re.compile(r"^(?:at )?(\d{1,2})(?:\s*[:.h]\s*(\d{2}))?\s*(am|pm|a\.m\.?|p\.m\.?|h|o'?clock)?$")
_MOST_SHOWN = 4
LAST_MESSAGES = 3
LONGEST_LABEL = 64
OPEN_ONLY = carried(Verb.ANSWER, "")  # the answer to a question that is open: of the latest message alone
_NUMBERED = re.compile(r"(\d+)\.\s")


def read_time(text: str) -> dt.time | None:
    """The hour of the evening question, or None when it is not one between noon and half past ten at night."""
    time = _clock(_line(text), 12)
    return time if time and EARLIEST <= time <= LATEST else None


def read_hours(text: str) -> tuple[dt.time, ...]:
    """Hours of the day from "10, 13:30 and 5 pm", each once; none where any part is something else.

    A bare number up to seven is in the afternoon: nobody is nudged before eight.
    """
    parts = re.split(r"\s*(?:,|;|\+|&|\band\b)\s*|\s+(?=\d)", _line(text))
    hours = {_clock(part, _FIRST_BARE) for part in parts if part}
    return () if None in hours else tuple(sorted(filter(None, hours)))


def _line(text: str) -> str:
    return unicodedata.normalize("NFKC", text).strip().casefold().rstrip(".!")


def _clock(text: str, morning_from: int) -> dt.time | None:
    """The time of day; a bare hour before `morning_from` is in the afternoon."""
    found = _CLOCK.match(text)
    if not found:
        return None
    hour, minute, half = int(found[1]), int(found[2] or 0), (found[3] or "")[:1]
    if hour < 12 and (half == "p" or (half != "a" and hour < morning_from)):
        hour += 12
    return dt.time(hour, minute) if hour < 24 and minute < 60 else None


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


def typed_button(uow: UnitOfWork, came: Incoming, *, asked: bool, numbers: bool) -> str | None:
    """The data of the button whose label was typed; None where the line is none.

    While something is `asked`, only the latest message with buttons counts, so that an answer is never taken for an
    older button. `numbers`: a bare number means the line of a list, which is no answer to anything then.
    """
    line = plain(came.text)
    if came.came != Came.TEXT or not line or len(line) > LONGEST_LABEL or (line.isdecimal() and not numbers):
        return None
    for place, shown in enumerate(_shown(uow, came, asked=asked)):
        for button in shown:
            if place and button.data.startswith(OPEN_ONLY):
                continue
            if line == plain(button.label) or (numbers and line == _number(button.label)):
                return button.data
        if asked:
            break  # the others are not even read, at each answer of an evening
    return None


def _shown(uow: UnitOfWork, came: Incoming, *, asked: bool) -> Iterator[tuple[Button, ...]]:
    """The buttons of the last messages that have any, the latest first."""
    # while something is asked the latest has some, mostly, and the others need not be opened
    for most, known in ((1, 0), (LAST_MESSAGES, 1)) if asked else ((LAST_MESSAGES, 0),):
        for message in uow.outbox.latest(came.channel, came.address, most)[known:]:
            if message.words.buttons:
                yield tuple(button for row in message.words.buttons for button in row)


def _number(label: str) -> str | None:
    found = _NUMBERED.match(label)
    return found[1] if found else None
