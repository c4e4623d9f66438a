"""The change of pain per week over the last weeks, from weekly means; facts, no words.

Weekly means and not evenings: on whole-number evenings more than half of all slopes can be exactly 0, and then so is
their median, whatever the direction. Theil-Sen and not least squares: one flare week moves it little, and its interval
asks nothing of the shape of the noise.
"""

import datetime as dt
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from operator import attrgetter

from core.digest.slope import theil_sen
from core.model import Evening
from core.weeks import LEAST_RATINGS, WEEK_DAYS

# Judgement: at a daily SD of 1 eight weeks show a fall by a quarter point a week in two of five to two of three
# people, six weeks in one of seven at best; over more weeks a course is no longer a straight line.
WEEKS = 8
LEAST_WEEKS = 4  # judgement: three means make three slopes; the week's own change says as much


class Direction(StrEnum):
    """What a weekly trend allows to be said."""

    TOO_FEW = "too_few"  # weeks with a mean
    NO_VARIATION = "no_variation"  # all weekly means are the same
    NO_INTERVAL = "no_interval"  # a slope, and too few weeks to say how sure it is
    RISING = "rising"
    FALLING = "falling"
    OPEN = "open"  # rising and falling both lie within the interval


@dataclass(frozen=True, slots=True)
class WeeklyTrend:
    """Points (0-10) a week over the last WEEKS weeks, from `means` weekly means; what cannot be told is None.

    `low` and `high` bound the 95 % interval; `tau_b` is Kendall's. `mean` is that of the latest week with one.
    """

    means: int
    mean: float | None = None
    slope: float | None = None
    low: float | None = None
    high: float | None = None
    tau_b: float | None = None

    @property
    def direction(self) -> Direction:
        if self.slope is None:
            return Direction.TOO_FEW
        if self.tau_b is None:
            return Direction.NO_VARIATION
        if self.low is None or self.high is None:
            return Direction.NO_INTERVAL
        if self.low > 0:
            return Direction.RISING
        return Direction.FALLING if self.high < 0 else Direction.OPEN


def weekly_trend(diary: Sequence[Evening], until: dt.date) -> WeeklyTrend:
    """The trend as of `until`: weeks are counted back from that day, those with fewer than LEAST_RATINGS left out.

    `diary` is sorted by date; later evenings do not count. Up to a Sunday the weeks are calendar weeks.
    """
    first = until - dt.timedelta(days=WEEKS * WEEK_DAYS - 1)
    ratings: defaultdict[int, list[int]] = defaultdict(list)
    for evening in diary[bisect_left(diary, first, key=attrgetter("date")) :]:
        week = (until - evening.date).days // WEEK_DAYS
        if evening.pain is not None and week >= 0:
            ratings[-week].append(evening.pain)
    means = [(week, sum(pains) / len(pains)) for week, pains in sorted(ratings.items()) if len(pains) >= LEAST_RATINGS]
    latest = means[-1][1] if means else None
    if len(means) < LEAST_WEEKS:
        return WeeklyTrend(len(means), latest)
    found = theil_sen(means)
    return WeeklyTrend(len(means), latest, found.slope, found.low, found.high, found.tau_b)
