"""What leads read of the clinic itself: how it stands, how the service did in a week, which closed courses end soon;
and when the digest comes, on whose clock."""

import datetime as dt
from collections.abc import Iterator, Sequence
from zoneinfo import ZoneInfo

from bot.wording.catalogue import Text
from bot.wording.filling import Word, button, command, data, in_rows, isolated, shown, town
from bot.wording.staff_lists import in_line, member_line
from core.page import TeamMember
from core.records import Button, Invitation, Worded

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
TIMES = ("0700", "0730", "0800", "1800")
NAMES_SHOWN = 20


def _clinic(
    text: Text, clinic: str, version: str, team: Sequence[TeamMember], invitations: Sequence[Invitation], zone: str,
    copied: dt.datetime | None, waiting: int, untold: int, emergency: str, hours: str, opens: dt.datetime | None,
    months: int, after: str,
) -> Worded:  # fmt: skip
    """The clinic as it stands, a part a line."""
    lines = [text("therapist.clinic", clinic=isolated(shown(clinic, text("invitation.clinic"))))]
    lines += [member_line(text, each) for each in team]
    lines += ["", *_invitations(text, invitations, ZoneInfo(zone)), *_running(text, copied, waiting, untold)]
    lines += ["", *_closed(text, emergency, hours, opens)]
    kept = text.many(f"therapist.clinic.kept.{after}", months) if months else text("therapist.clinic.kept.always")
    lines.append(kept)
    lines += ["", text("therapist.clinic.version", version=version)]
    return Worded("\n".join(lines), ((command(text, "team"), command(text, "notices")),))


def _invitations(text: Text, invitations: Sequence[Invitation], zone: ZoneInfo) -> Iterator[str]:
    if not invitations:
        yield text("therapist.clinic.invitations.none")
        return
    yield text.many("therapist.clinic.invitations", len(invitations))
    for each in invitations[:NAMES_SHOWN]:
        role, until = text(f"therapist.clinic.role.{each.role}"), text.day(each.expires_at.astimezone(zone).date())
        yield text("therapist.clinic.invitation", name=in_line(text, each.note), role=role, until=until)


def _running(text: Text, copied: dt.datetime | None, waiting: int, untold: int) -> Iterator[str]:
    if copied:
        yield text("therapist.clinic.copy", day=text.day(copied.date()), time=text.time(copied.time()))
    else:
        yield text("therapist.clinic.copy.none")
    yield text.many("therapist.clinic.waiting", waiting)
    if untold:
        yield text.many("therapist.clinic.untold", untold)


def _closed(text: Text, emergency: str, hours: str, opens: dt.datetime | None) -> Iterator[str]:
    """What patients are told of emergencies, and when nobody is there."""
    emergency = emergency or text("emergency")
    yield text("therapist.clinic.emergency", words=emergency)
    yield text("therapist.clinic.hours", hours=hours) if hours else text("therapist.clinic.hours.none")
    if hours and opens:
        said = {"date": text.day(opens.date()), "evening": text.time(opens.time())}
        yield text("therapist.clinic.closed", words=text("clinic.closed", **said, emergency=emergency))


def _service(
    text: Text, asked: int, answered: int, late: int, failed: int, notices: int, dealt: int, hours: float | None
) -> Worded:
    """The week's line on the service."""
    parts = [text("therapist.service", asked=asked, answered=answered)]
    parts += [text.many(f"therapist.service.{key}", n) for key, n in (("late", late), ("failed", failed)) if n]
    if notices:
        parts.append(text.many("therapist.service.notices", notices, dealt=dealt))
    if hours is not None:
        parts.append(text("therapist.service.hours", hours=text.number(hours)))
    return Worded(" ".join(parts), ((command(text, "clinic"),),))


def _fading(text: Text, names: Sequence[str], after: str, until: dt.date) -> Worded:
    """Whose closed courses are made anonymous or erased in two weeks."""
    more = text("therapist.fading.more", count=len(names) - NAMES_SHOWN) if len(names) > NAMES_SHOWN else ""
    first = ", ".join(in_line(text, each) for each in names[:NAMES_SHOWN])
    words = text.many(f"therapist.fading.{after}", len(names), until=text.day(until), names=first + more)
    return Worded(f"{words} {text('therapist.fading.keep')}")


def _hours(text: Text, weekday: int, time: dt.time, zone: str, again: bool = False) -> Worded:
    words = text("therapist.hours", **_when(text, weekday, time, zone))
    days = [button(text, "hours", name, key=name) for name in WEEKDAYS]
    return Worded(f"{text('again')}\n\n{words}" if again else words, in_rows(days, 4))


def _when(text: Text, weekday: int, time: dt.time, zone: str) -> dict[str, str]:
    return {"day": text(f"therapist.{WEEKDAYS[weekday]}"), "time": f"{time:%H:%M}", "place": town(zone)}


def _time(text: Text, weekday: int) -> Worded:
    name = WEEKDAYS[weekday]
    times = [Button(f"{time[:2]}:{time[2:]}", data("hours", name, time)) for time in TIMES]
    return Worded(text("therapist.hours.time", day=text(f"therapist.{name}")), in_rows(times, 4))


def _set(text: Text, weekday: int, time: dt.time, zone: str) -> Worded:
    return Worded(text("therapist.hours.set", **_when(text, weekday, time, zone)))


def _zone(text: Text, zone: str, near: Sequence[str], again: bool = False) -> Worded:
    buttons = in_rows((Button(town(each), data("zone", each)) for each in near), 2)
    words = text("therapist.zone.near" if near else "therapist.zone", place=town(zone))
    return Worded(f"{text('again')}\n\n{words}" if again and not near else words, buttons)


STAFF_CLINIC: dict[str, Word] = {
    "therapist.clinic": _clinic,
    "therapist.service": _service,
    "therapist.fading": _fading,
    "therapist.hours": _hours,
    "therapist.hours.time": _time,
    "therapist.hours.set": _set,
    "therapist.zone": _zone,
}
