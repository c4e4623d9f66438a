"""A course as it is drawn: its evenings, steps, flares and weekly means over a stretch of days. No words."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from core.digest.patient_week import Made
from core.model import Episode, Evening
from core.weeks import LEAST_RATINGS, WEEK_DAYS, weeks

_ONE_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class CourseLine:
    """The days from `first` to `last`, both in. `steps` are (first day, last day, step), `means` (middle day, mean).

    Means are of calendar weeks, as in the digest's numbers, so that the picture and the table say the same.
    """

    first: dt.date
    last: dt.date
    evenings: tuple[Evening, ...]
    steps: tuple[tuple[dt.date, dt.date, int], ...]
    flares: tuple[dt.date, ...]
    means: tuple[tuple[dt.date, float], ...]


def course_line(
    start: Episode, diary: Sequence[Evening], made: Sequence[Made], sunday: dt.date, weeks: int | None = None
) -> CourseLine:
    """The course up to `sunday`: the last `weeks` weeks, or all of it.

    `start` is the episode the course began with, `made` its live decisions in order.
    """
    first = start.started if weeks is None else sunday - dt.timedelta(days=weeks * WEEK_DAYS - 1)
    first = min(first, sunday)
    past = [each.decision for each in made if each.decision.date <= sunday]
    return CourseLine(
        first=first,
        last=sunday,
        evenings=tuple(each for each in diary if first <= each.date <= sunday),
        steps=_steps(start, [each.after for each in past], first, sunday),
        flares=tuple(dict.fromkeys(d.date for d in past if d.after.flared == d.date >= first)),
        means=_means(diary, first, sunday),
    )


def _steps(
    start: Episode, states: Sequence[Episode], first: dt.date, last: dt.date
) -> tuple[tuple[dt.date, dt.date, int], ...]:
    begun = [(start.since, start.step)]
    for state in states:
        if state.step != begun[-1][1]:
            begun.append((state.since, state.step))
    ends = [since - _ONE_DAY for since, _ in begun[1:]] + [last]
    found = [(max(since, first), min(end, last), step) for (since, step), end in zip(begun, ends, strict=True)]
    return tuple((since, end, step) for since, end, step in found if since <= end)


def _means(diary: Sequence[Evening], first: dt.date, last: dt.date) -> tuple[tuple[dt.date, float], ...]:
    """Every calendar week's mean at its middle; a week that `first` cuts stands at the middle of what is left."""
    found = []
    for week in weeks(diary, first, last):
        begin, end = max(week.first, first), week.first + dt.timedelta(days=WEEK_DAYS - 1)
        if week.mean is not None and week.rated >= LEAST_RATINGS:
            found.append((begin + (end - begin) // 2, week.mean))
    return tuple(found)
