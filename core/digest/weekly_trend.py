"""The Theil-Sen slope with its interval, and Kendall's tau_b: a change that one odd week cannot turn.

Written out here although scipy has both: for two dozen subtractions it would add half again to what is installed,
nearly double the memory of the serving process and stall its first page for the better part of a second. The tests
hold this module to scipy on random points.
"""

import datetime as dt
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from math import sqrt

from core.model import Evening
from core.weeks import weekly_means

Z = 1.959963984540054  # the normal quantile of a two-sided 95 % interval
# Of four points in no order at all, all six slopes agree by chance in 2 of 4! orders, 8 %: no interval of 95 % is to
# be had. Of five in 2 of 120. Kendall's exact distribution.
LEAST_FOR_INTERVAL = 5


@dataclass(frozen=True, slots=True)
class Slope:
    """Change of y for one unit of x: the median of all slopes between two points, and its 95 % interval.

    `low` and `high` are None with fewer than LEAST_FOR_INTERVAL points. `tau_b` is None when every y is the same.
    """

    slope: float
    low: float | None
    high: float | None
    tau_b: float | None


def theil_sen(points: Sequence[tuple[float, float]]) -> Slope:
    """The slope through (x, y) points. Raises ValueError with fewer than two or with an x given twice.

    Source: Sen PK. J Am Stat Assoc 1968;63:1379-1389, the interval by its equation 2.6, which allows for equal y;
    Kendall MG. Biometrika 1945;33:239-251 for tau_b.
    """
    ordered = sorted(points)
    if len(ordered) < 2 or len({x for x, _ in ordered}) < len(ordered):
        raise ValueError(f"a slope takes two points or more, each x once; got {ordered}")
    slopes = sorted((b - a) / (x - w) for (w, a), (x, b) in combinations(ordered, 2))
    ties = [count for count in Counter(y for _, y in ordered).values() if count > 1]
    low, high = _interval(slopes, len(ordered), ties)
    return Slope(_median(slopes), low, high, _tau_b(slopes, ties))


def _median(ordered: Sequence[float]) -> float:
    middle = len(ordered) // 2
    return ordered[middle] if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2


def _interval(slopes: Sequence[float], count: int, ties: Sequence[int]) -> tuple[float | None, float | None]:
    if count < LEAST_FOR_INTERVAL:
        return None, None
    reach = Z * sqrt((_weight(count) - sum(map(_weight, ties))) / 18)
    low = max(round((len(slopes) - reach) / 2) - 1, 0)
    high = min(round((len(slopes) + reach) / 2), len(slopes) - 1)
    return slopes[low], slopes[high]


def _weight(count: int) -> int:
    """What so many points, or so many equal ones, bring to eighteen times the variance of Kendall's score."""
    return count * (count - 1) * (2 * count + 5)


def _tau_b(slopes: Sequence[float], ties: Sequence[int]) -> float | None:
    """Rising pairs minus falling ones, over the geometric mean of the pairs that x and y can order."""
    ordered_by_y = len(slopes) - sum(k * (k - 1) // 2 for k in ties)
    if not ordered_by_y:
        return None
    score = sum((slope > 0) - (slope < 0) for slope in slopes)
    return score / sqrt(len(slopes) * ordered_by_y)


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
    means = weekly_means(diary, until, WEEKS)
    latest = means[-1][1] if means else None
    if len(means) < LEAST_WEEKS:
        return WeeklyTrend(len(means), latest)
    found = theil_sen(means)
    return WeeklyTrend(len(means), latest, found.slope, found.low, found.high, found.tau_b)
