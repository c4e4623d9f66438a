"""The one place for what a week comes to: its mean, its change, its share of sets; and a fortnight's sets.

A week is the seven days up to an evening. Up to a Sunday that is the calendar week of ISO 8601, which the digest tells;
up to the last evening that is over it is what a page or a list shows today. So both say the same on a Monday morning.
The rule gathers its two weeks by itself in one pass (`core/rule/trend.py`), and tests hold it to this.
"""

import datetime as dt
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from operator import attrgetter

from core.model import Evening, Figure, Meanwhile, Provenance

WEEK_DAYS = 7
FORTNIGHT_DAYS = 14
LEAST_RATINGS = 3  # judgement: a mean of one or two evenings says more than it knows
HIGH_PAIN = Figure("weekly.high_pain", 6.0, Provenance.PUBLISHED, ("C2",))  # where moderate pain begins


@dataclass(frozen=True, slots=True)
class Adherence:
    """Sets done of the sets asked on the evenings of which that is known; `untold` are the others that asked for sets.

    An evening of which somebody said afterwards "most" or "some" is told, and has no number. Evenings that nobody
    asked about count for none of them.
    """

    done: int
    asked: int
    untold: int = 0

    @property
    def share(self) -> float | None:
        """None when nothing is known."""
        return self.done / self.asked if self.asked else None


@dataclass(frozen=True, slots=True)
class Week:
    """Seven days of a diary from `first` on, in a calendar a Monday; pain 0-10."""

    first: dt.date
    rated: int  # evenings with a rating
    asked: int  # evenings that were asked about, or rated unasked
    total: int  # sum of the ratings
    worst: int | None
    worst_on: dt.date | None  # the first evening of that rating
    high_days: int  # evenings at HIGH_PAIN or more
    sets: Adherence

    @property
    def mean(self) -> float | None:
        """Mean rating; None without any. Fewer than LEAST_RATINGS say little: look at `rated` before showing it."""
        return self.total / self.rated if self.rated else None


def monday_of(date: dt.date) -> dt.date:
    """The first day of the date's ISO week."""
    return date - dt.timedelta(days=date.weekday())


def weeks(diary: Iterable[Evening], started: dt.date, until: dt.date) -> tuple[Week, ...]:
    """Every week from the one of `started` to the one of `until`, those without any evening too, oldest first.

    Evenings before `started` or after `until` are passed over, so that the first and last week may be short.
    """
    by_week: defaultdict[dt.date, list[Evening]] = defaultdict(list)
    for evening in diary:
        if started <= evening.date <= until:
            by_week[monday_of(evening.date)].append(evening)
    count = (monday_of(until) - monday_of(started)).days // WEEK_DAYS + 1
    mondays = (monday_of(started) + dt.timedelta(weeks=number) for number in range(count))
    return tuple(_week(monday, by_week.get(monday, ())) for monday in mondays)


def week_of_days(diary: Iterable[Evening], until: dt.date) -> Week:
    """The seven days up to `until`."""
    first = until - dt.timedelta(days=WEEK_DAYS - 1)
    return _week(first, [each for each in diary if first <= each.date <= until])


def week_up_to(diary: Sequence[Evening], today: dt.date) -> dt.date:
    """The last evening that is over: today's once something was said for it, else yesterday's."""
    tonight = next((each for each in reversed(diary) if each.date == today), None)
    said = tonight is not None and (tonight.pain is not None or tonight.sets_done is not None)
    return today if said else today - dt.timedelta(days=1)


def week_number(started: dt.date, today: dt.date) -> int:
    """Which week of a course a day is in, from 1; the days before its first one are of the first week, too."""
    return max((today - started).days, 0) // WEEK_DAYS + 1


def weekly_means(diary: Sequence[Evening], until: dt.date, count: int) -> list[tuple[int, float]]:
    """The means of the last `count` weeks, counted back from 0, the one up to `until`; those of LEAST_RATINGS at least.

    `diary` is sorted by date; later evenings do not count. The oldest first.
    """
    first = until - dt.timedelta(days=count * WEEK_DAYS - 1)
    ratings: defaultdict[int, list[int]] = defaultdict(list)
    for evening in diary[bisect_left(diary, first, key=attrgetter("date")) :]:
        week = (until - evening.date).days // WEEK_DAYS
        if evening.pain is not None and week >= 0:
            ratings[-week].append(evening.pain)
    return [(week, sum(pains) / len(pains)) for week, pains in sorted(ratings.items()) if len(pains) >= LEAST_RATINGS]


def mean_change(this: tuple[int, int], last: tuple[int, int], least: float) -> float | None:
    """This week's mean minus the last one's, each from the sum of its ratings and their number; None unless both have
    at least `least` ratings."""
    (total, rated), (total_before, rated_before) = this, last
    if min(rated, rated_before) < max(least, 1):
        return None
    # rounded so that a change of exactly half a point is half a point in binary fractions too
    return round(total / rated - total_before / rated_before, 9)


def adherence(evenings: Iterable[Evening]) -> Adherence:
    """The sets of these evenings; nobody does more than was asked."""
    done = asked = untold = 0
    for each in evenings:
        if not (each.asked and each.sets_asked):
            continue
        if each.sets_done is not None or each.meanwhile is Meanwhile.NONE:
            done += min(each.sets_done or 0, each.sets_asked)
            asked += each.sets_asked
        elif each.meanwhile is None:
            untold += 1
    return Adherence(done, asked, untold)


def fortnight(diary: Iterable[Evening], until: dt.date) -> Adherence:
    """The sets of the fourteen days up to `until`."""
    first = until - dt.timedelta(days=FORTNIGHT_DAYS - 1)
    return adherence(each for each in diary if first <= each.date <= until)


def _week(first: dt.date, evenings: Iterable[Evening]) -> Week:
    evenings = tuple(evenings)
    rated = [(each.pain, each.date) for each in evenings if each.pain is not None]
    worst = max((pain for pain, _ in rated), default=None)
    return Week(
        first=first,
        rated=len(rated),
        asked=sum(each.asked or each.pain is not None for each in evenings),
        total=sum(pain for pain, _ in rated),
        worst=worst,
        worst_on=min((date for pain, date in rated if pain == worst), default=None),
        high_days=sum(pain >= HIGH_PAIN.value for pain, _ in rated),
        sets=adherence(evenings),
    )
