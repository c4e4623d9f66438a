"""When the digest comes, and on whose clock."""

from collections.abc import Callable, Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.staff_buttons import button, data, in_rows
from core.records import Button, Worded

Facts = Mapping[str, Any]
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
TIMES = ("0700", "0730", "0800", "1800")


def _hours(text: Text, facts: Facts) -> Worded:
    days = [button(text, "hours", name, key=name) for name in WEEKDAYS]
    return Worded(_again(text, facts, text("therapist.hours", **_when(text, facts))), in_rows(days, 4))


def _again(text: Text, facts: Facts, words: str) -> str:
    return f"{text('again')}\n\n{words}" if facts.get("again") else words


def _when(text: Text, facts: Facts) -> dict[str, str]:
    day = text(f"therapist.{WEEKDAYS[facts['weekday']]}")
    return {"day": day, "time": f"{facts['time']:%H:%M}", "place": _town(facts["zone"])}


def _town(zone: str) -> str:
    return zone.rpartition("/")[2].replace("_", " ")


def _time(text: Text, facts: Facts) -> Worded:
    name = WEEKDAYS[facts["weekday"]]
    times = [Button(f"{time[:2]}:{time[2:]}", data("hours", name, time)) for time in TIMES]
    return Worded(text("therapist.hours.time", day=text(f"therapist.{name}")), in_rows(times, 4))


def _set(text: Text, facts: Facts) -> Worded:
    return Worded(text("therapist.hours.set", **_when(text, facts)))


def _zone(text: Text, facts: Facts) -> Worded:
    near = [Button(_town(zone), data("zone", zone)) for zone in facts["near"]]
    words = text("therapist.zone.near" if near else "therapist.zone", place=_town(facts["zone"]))
    return Worded(words if near else _again(text, facts, words), in_rows(near, 2))


STAFF_HOURS: dict[str, Callable[[Text, Facts], Worded]] = {
    "therapist.hours": _hours,
    "therapist.hours.time": _time,
    "therapist.hours.set": _set,
    "therapist.zone": _zone,
}
