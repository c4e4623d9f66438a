"""`holdlower notices`, `clear`, `staff` and `results`: what the clinic does on the machine itself."""

import argparse
import csv
import datetime as dt
import json
import re
import sys
from collections.abc import Mapping
from typing import Any
from zoneinfo import ZoneInfo

from bot.cli.opened import make_sure, note, opened, person_of
from bot.wording.catalogue import Text
from core.errors import HoldlowerError, SettingsError
from core.records import Notice, Staff, Status
from core.use_cases.clinic import AtWeek, Results, quarter, result_rows, results
from core.use_cases.coming_back import clear
from core.use_cases.noticing import has_arrived
from core.use_cases.rights import leads
from core.use_cases.staffing import shut_out
from core.use_cases.work import Work

_QUARTER = re.compile(r"(\d{4})-?[Qq]([1-4])")


def list_notices(options: argparse.Namespace) -> int:
    """Print the notices, newest first, each with the person's id."""
    with opened(options) as (settings, text, work):
        notices = work.uow.notices.newest()
        untold = {each.id for each in notices if each.look_at and not has_arrived(work, each)}
        names = {person.id: person.name for person in work.uow.people.all()}
        note(work, "notices")
    zone = ZoneInfo(settings.clinic_zone)
    facts = [_notice(text, zone, each, names.get(each.person_id, ""), each.id in untold) for each in notices]
    if options.json:
        print(json.dumps(facts, ensure_ascii=False, indent=1))
        return 0
    for one in facts:
        print(text("cli.notices.line", **one | {"name": one["name"] or "?"}))
        if one["text"]:
            print(text("cli.notices.text", text=one["text"]))
        if one["untold"]:
            print(text("cli.notices.untold"))
    if not facts:
        print(text("cli.notices.none"))
    return 0


def _notice(text: Text, zone: ZoneInfo, notice: Notice, name: str, untold: bool) -> dict[str, Any]:
    key = f"notice.{notice.kind.value}"
    if "flag" in notice.facts and text.has(f"{key}.{notice.facts['flag']}"):
        key = f"{key}.{notice.facts['flag']}"
    said, at = " ".join(notice.text.split()), f"{notice.at.astimezone(zone):%Y-%m-%d %H:%M}"
    return {"at": at, "person": notice.person_id, "name": name, "kind": notice.kind.value, "what": text(key),
            "text": said, "untold": untold}  # fmt: skip


def clear_one(options: argparse.Namespace) -> int:
    """Let a stopped or screened-out person go on; the reason is kept beside the notices."""
    if not (reason := options.reason.strip()):
        raise HoldlowerError("--reason is empty: say in a few words why the person may go on")
    with opened(options) as (_, text, work):
        person = person_of(work, options.person)
        clear(work, person, reason)
        note(work, "clear", person.id, reason)
    print(text("cli.clear.done", name=person.name or person.id))
    return 0


def staff_of(options: argparse.Namespace) -> int:
    """List the staff, or shut one of them out."""
    if options.shut_out is not None:
        return _shut_out(options)
    with opened(options) as (_, text, work):
        facts = [_member(work, each) for each in work.uow.staff.all() if each.left_at is None]
    if options.json:
        print(json.dumps(facts, ensure_ascii=False, indent=1))
        return 0
    print("\n".join([_line(text, each) for each in facts] or [text("cli.staff.none")]))
    return 0


def _member(work: Work, staff: Staff) -> dict[str, Any]:
    role = "lead" if staff.lead else "therapist" if staff.confirmed else "waits"
    count = sum(each.status != Status.DISCHARGED for each in work.uow.people.of(staff.id))
    since = staff.unreachable_since
    blocked = f"{since:%Y-%m-%d %H:%M} UTC" if since else None
    return {"staff": staff.id, "name": staff.name, "role": role, "patients": count, "unreachable_since": blocked}


def _line(text: Text, member: Mapping[str, Any]) -> str:
    role = text(f"cli.staff.role.{member['role']}")
    line = text("cli.staff.line", staff=member["staff"], name=member["name"], role=role, count=member["patients"])
    since = member["unreachable_since"]
    return text("cli.staff.unreachable", line=line, since=since) if since else line


def _shut_out(options: argparse.Namespace) -> int:
    with opened(options) as (_, text, work):
        name = _colleague(work, options.shut_out).name
    make_sure(options, text, text("cli.staff.sure", name=name))
    with opened(options) as (_, text, work):
        count = shut_out(work, _colleague(work, options.shut_out))
        alone = not leads(work)
    print(text("cli.staff.done", name=name, count=count))
    if alone:
        print(text("cli.staff.no_lead"))
    return 0


def _colleague(work: Work, staff_id: str) -> Staff:
    staff = work.uow.staff.get(staff_id, lock=True)
    if staff is None:
        raise HoldlowerError(f"staff {staff_id}: nobody has this id; holdlower staff shows the ids")
    return staff


def print_results(options: argparse.Namespace) -> int:
    """Print the quarter asked for, or the last one that is over."""
    with opened(options) as (_, text, work):
        since, until = _quarter(options.quarter, work.now.date())
        found = results(work, since, until)
        note(work, "results", detail=since.isoformat())
    if options.csv:
        csv.writer(sys.stdout).writerows([("name", "value"), *result_rows(found, masked=True)])
    elif options.json:
        print(json.dumps(dict(result_rows(found)), indent=1))
    else:
        print("\n".join(page(text, found)))
    return 0


def _quarter(written: str | None, today: dt.date) -> tuple[dt.date, dt.date]:
    if written is None:
        number = (today.month - 1) // 3
        return quarter(today.year, number) if number else quarter(today.year - 1, 4)
    match = _QUARTER.fullmatch(written)
    if match is None:
        raise SettingsError(f"{written}: expected a quarter such as 2026-Q2")
    return quarter(int(match[1]), int(match[2]))


def page(text: Text, found: Results) -> list[str]:
    """The results in lines for a person."""
    last = found.until - dt.timedelta(days=1)
    dealt = found.dealt
    lines = [
        text("cli.results.head", first=found.since.isoformat(), last=last.isoformat()),
        text("cli.results.people", began=found.began, finished=found.finished, left=found.left),
        text("cli.results.flares", flares=found.flares, evenings=found.evenings),
        text("cli.results.notices", notices=dealt.notices, dealt=dealt.dealt),
    ]
    if dealt.median_hours is not None:
        lines.append(text("cli.results.hours", hours=text.number(dealt.median_hours)))
    lines += ["", text("cli.results.change")]
    for mark in found.marks:
        lines += _mark(text, mark)
    if found.source:
        lines.append(text("cli.results.source", source=found.source))
    return [*lines, text("cli.results.no_comparison")]


def _mark(text: Text, mark: AtWeek) -> list[str]:
    who = {"week": mark.week, "people": mark.people, "following": mark.following, "measured": mark.measured}
    lines = [text("cli.results.mark", **who)]
    if mark.change is not None:
        change = text.hundredths(mark.change)
        between = {"low": _number(text, mark.low), "high": _number(text, mark.high)}
        lines.append(text("cli.results.mean", change=change, **between))
    if mark.untreated:
        most, least = (text.hundredths(value) for value in mark.untreated)
        lines.append(text("cli.results.untreated", most=most, least=least))
    return lines


def _number(text: Text, value: float | None) -> str:
    return text("therapist.file.none") if value is None else text.hundredths(value)
