"""The diary as a table: CSV for spreadsheets (RFC 4180) and the same rows as JSON, one row per evening.

alias        whose row; in tables of a whole caseload only
date         local date, ISO 8601
asked        yes, or no when nobody asked that evening
pain         0-10, empty without a rating
sets_done    empty without an answer
sets_asked   0 on a rest day
flag         what a text said beside numbers, empty when nothing
step         the step of that day, from 1
load_g       its load in grams
move         hold, advance, regress or pause: what the date ended with; empty while it is undecided
reasons      reason codes in order, parted by spaces (a list in JSON)
unread       words that the reading did not use; empty when there are none
side         left or right: of which course it is
"""

import csv
import datetime as dt
import io
import json
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from types import MappingProxyType
from typing import Any

from core.model import Decision, Episode, Evening, Flag, Move, ReasonCode

Cell = str | int | None
Courses = Iterable[tuple[str, Sequence["DiaryRow"]]]  # alias and rows


@dataclass(frozen=True, slots=True)
class DiaryRow:
    """One evening; the module says what each column means."""

    date: dt.date
    asked: bool
    pain: int | None
    sets_done: int | None
    sets_asked: int
    flag: Flag | None
    step: int
    load_g: int
    move: Move | None
    reasons: tuple[ReasonCode, ...] = ()
    unread: str = ""
    side: str = ""


COLUMNS = tuple(field.name for field in fields(DiaryRow))


def diary_rows(
    start: Episode,
    diary: Iterable[Evening],
    decided: Sequence[tuple[Episode, Decision]],
    unread: Mapping[dt.date, str] = MappingProxyType({}),
    side: str = "",
) -> tuple[DiaryRow, ...]:
    """The rows of one course by date. `start` is the episode it began with, `decided` its live decisions in order,
    each with the episode it started from; a date with decisions only gets a row of its own, as not asked.
    """
    evenings = {each.date: each for each in diary}
    by_date: defaultdict[dt.date, list[tuple[Episode, Decision]]] = defaultdict(list)
    for before, decision in decided:
        by_date[decision.date].append((before, decision))
    rows, now = [], start
    for date in sorted(evenings.keys() | by_date.keys()):
        made = by_date.get(date, [])
        before = made[0][0] if made else now
        now = made[-1][1].after if made else now
        evening = evenings.get(date) or Evening(date, asked=False)
        rows.append(replace(_row(evening, before, [each for _, each in made], unread.get(date, "")), side=side))
    return tuple(rows)


def _row(evening: Evening, before: Episode, made: Sequence[Decision], unread: str) -> DiaryRow:
    return DiaryRow(
        evening.date,
        evening.asked,
        evening.pain,
        evening.sets_done,
        evening.sets_asked,
        evening.flag,
        before.step,
        before.load_g,
        made[-1].move if made else None,
        tuple(reason.code for decision in made for reason in decision.reasons),
        unread,
    )


def diary_csv(rows: Iterable[DiaryRow]) -> str:
    """One person's table."""
    return table(COLUMNS, (_cells(row) for row in rows))


def caseload_csv(courses: Courses) -> str:
    """Several people's table, the alias first."""
    return table(("alias", *COLUMNS), ([guarded(alias), *_cells(row)] for alias, rows in courses for row in rows))


def diary_json(rows: Iterable[DiaryRow]) -> str:
    """The same rows as a list of objects."""
    return json.dumps([_object(row) for row in rows], ensure_ascii=False, indent=1)


def caseload_json(courses: Courses) -> str:
    """The same rows as a list of objects, the alias in each."""
    listed = [{"alias": alias} | _object(row) for alias, rows in courses for row in rows]
    return json.dumps(listed, ensure_ascii=False, indent=1)


def table(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Every text is quoted, so that a spreadsheet that parts columns by semicolons cannot break one open."""
    file = io.StringIO(newline="")
    writer = csv.writer(file, quoting=csv.QUOTE_NONNUMERIC)  # ends lines by CRLF and doubles quotes, as RFC 4180 says
    writer.writerow(header)
    writer.writerows(rows)
    return file.getvalue()


def _cells(row: DiaryRow) -> list[Cell]:
    values = _object(row) | {"asked": "yes" if row.asked else "no", "reasons": " ".join(row.reasons)}
    return [guarded(value) if isinstance(value, str) else value for value in values.values()]


def _object(row: DiaryRow) -> dict[str, Any]:
    values: dict[str, Any] = {name: getattr(row, name) for name in COLUMNS}
    return values | {
        "date": row.date.isoformat(),
        "flag": row.flag.value if row.flag else None,
        "move": row.move.value if row.move else None,
        "reasons": [code.value for code in row.reasons],
    }


# What spreadsheets take for a formula: = + - @, tab and line breaks at the start of a cell, in full width too, and
# after blanks. Source: OWASP, CSV Injection; blanks and a leading apostrophe are ours, so that the guard can be undone.
_FORMULA = re.compile(r"'*(?:[\t\r\n\0]|[\s\0]*[=+\-@＝＋－＠])")


# C0 and C1 of ISO 6429 but for tabs and line ends: a file that is shown on a terminal would be obeyed by it
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")


def guarded(text: str) -> str:
    """The text with an apostrophe before what a spreadsheet would run."""
    text = _CONTROL.sub("\ufffd", text)
    return f"'{text}" if _FORMULA.match(text) else text
