"""`holdlower results`: the clinic's own results of a quarter, for a person, a program or a researcher."""

import argparse
import csv
import datetime as dt
import json
import re
import sys

from bot.cli.opened import note, opened
from bot.run.opening import CLINIC_ID
from bot.wording.catalogue import Text
from core.errors import SettingsError
from core.use_cases.results import AtWeek, Results, quarter, results, rows

_QUARTER = re.compile(r"(\d{4})-?[Qq]([1-4])")


def print_results(options: argparse.Namespace) -> int:
    """Print the quarter asked for, or the last one that is over."""
    with opened(options) as (_, text, work):
        since, until = _quarter(options.quarter, work.now.date())
        found = results(work, CLINIC_ID, since, until)
        note(work, "results", detail=since.isoformat())
    if options.csv:
        csv.writer(sys.stdout).writerows([("name", "value"), *rows(found, masked=True)])
    elif options.json:
        print(json.dumps(dict(rows(found)), indent=1))
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
