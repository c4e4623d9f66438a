"""Which dates to name under a picture so that the names never touch."""

import datetime as dt
from collections.abc import Sequence

MOST_LABELS = 6
DAY_STEPS = (1, 2, 3, 7, 14)
MONTH_STEPS = (1, 2, 3, 6, 12)


def date_ticks(
    first: dt.date, last: dt.date, day_month: str, months: Sequence[str]
) -> list[tuple[dt.date, str]]:
    """At most six (date, label) between two days, both in; the year stands where it begins.

    `day_month` is a format with `day` and `month`; `months` are twelve short names.
    """
    span = (last - first).days
    for step in DAY_STEPS:
        if span // step < MOST_LABELS:
            dates = [first + dt.timedelta(days=n) for n in range(0, span + 1, step)]
            return [(date, day_month.format(day=date.day, month=months[date.month - 1])) for date in dates]
    for step in MONTH_STEPS:
        dates = _month_starts(first, last, step)
        if len(dates) <= MOST_LABELS:
            break
    return [(date, _month_label(date, months, with_year=n == 0 or date.month == 1)) for n, date in enumerate(dates)]


def _month_starts(first: dt.date, last: dt.date, step: int) -> list[dt.date]:
    starts = []
    year, month = first.year, first.month
    while (date := dt.date(year, month, 1)) <= last:
        if date >= first and (month - 1) % step == 0:
            starts.append(date)
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
    return starts


def _month_label(date: dt.date, months: Sequence[str], *, with_year: bool) -> str:
    name = months[date.month - 1]
    return f"{name}\n{date.year}" if with_year else name
