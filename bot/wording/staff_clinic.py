"""What leads read of the clinic itself: how it stands, how the service did in a week, which closed courses end soon;
and when the digest comes, on whose clock."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.filling import isolated, shown
from bot.wording.keyboard import button, command, data, in_rows
from bot.wording.staff_lists import member_line
from core.records import Button, Worded

Facts = Mapping[str, Any]
NAMES_SHOWN = 20


def _clinic(text: Text, facts: Facts) -> Worded:
    """The clinic as it stands, a part a line."""
    lines = [text("therapist.clinic", clinic=isolated(shown(facts["clinic"], text("invitation.clinic"))))]
    lines += [member_line(text, each) for each in facts["team"]]
    lines += ["", *_invitations(text, facts), *_running(text, facts), "", *_closed(text, facts), *_kept(text, facts)]
    lines += ["", text("therapist.clinic.version", version=facts["version"])]
    return Worded("\n".join(lines), ((command(text, "team"), command(text, "notices")),))


def _invitations(text: Text, facts: Facts) -> Iterator[str]:
    if not facts["invitations"]:
        yield text("therapist.clinic.invitations.none")
        return
    yield text.many("therapist.clinic.invitations", len(facts["invitations"]))
    for each in facts["invitations"][:NAMES_SHOWN]:
        name = isolated(shown(each["name"], text("therapist.no_name")))
        role = text(f"therapist.clinic.role.{each['role']}")
        yield text("therapist.clinic.invitation", name=name, role=role, until=text.day(each["until"]))


def _running(text: Text, facts: Facts) -> Iterator[str]:
    if copied := facts["copied"]:
        yield text("therapist.clinic.copy", day=text.day(copied.date()), time=text.time(copied.time()))
    else:
        yield text("therapist.clinic.copy.none")
    yield text.many("therapist.clinic.waiting", facts["waiting"])
    if facts["untold"]:
        yield text.many("therapist.clinic.untold", facts["untold"])


def _closed(text: Text, facts: Facts) -> Iterator[str]:
    """What patients are told of emergencies, and when nobody is there."""
    yield text("therapist.clinic.emergency", words=facts["emergency"] or text("emergency"))
    if not facts["hours"]:
        yield text("therapist.clinic.hours.none")
        return
    yield text("therapist.clinic.hours", hours=facts["hours"])
    if opens := facts["opens"]:
        said = {"date": text.day(opens.date()), "evening": text.time(opens.time())}
        words = text("clinic.closed", **said, emergency=facts["emergency"] or text("emergency"))
        yield text("therapist.clinic.closed", words=words)


def _kept(text: Text, facts: Facts) -> Iterator[str]:
    if facts["months"]:
        yield text.many(f"therapist.clinic.kept.{facts['after']}", facts["months"])
    else:
        yield text("therapist.clinic.kept.always")


def _service(text: Text, facts: Facts) -> Worded:
    """The week's line on the service."""
    parts = [text("therapist.service", asked=facts["asked"], answered=facts["answered"])]
    parts += [text.many(f"therapist.service.{name}", facts[name]) for name in ("late", "failed") if facts[name]]
    if facts["notices"]:
        parts.append(text.many("therapist.service.notices", facts["notices"], dealt=facts["dealt"]))
    if facts["hours"] is not None:
        parts.append(text("therapist.service.hours", hours=text.number(facts["hours"])))
    return Worded(" ".join(parts), ((command(text, "clinic"),),))


def _fading(text: Text, facts: Facts) -> Worded:
    """Whose closed courses are made anonymous or erased in two weeks."""
    names = [isolated(shown(each, text("therapist.no_name"))) for each in facts["names"]]
    more = text("therapist.fading.more", count=len(names) - NAMES_SHOWN) if len(names) > NAMES_SHOWN else ""
    key = f"therapist.fading.{facts['after']}"
    words = text.many(key, len(names), until=text.day(facts["until"]), names=", ".join(names[:NAMES_SHOWN]) + more)
    return Worded(f"{words} {text('therapist.fading.keep')}")


STAFF_CLINIC: dict[str, Callable[[Text, Facts], Worded]] = {
    "therapist.clinic": _clinic,
    "therapist.service": _service,
    "therapist.fading": _fading,
}


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
