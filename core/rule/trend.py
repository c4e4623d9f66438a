"""What the latest evenings come to: means, changes, shares; reads at most 42 days back."""

import datetime as dt
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil
from operator import attrgetter

from core.model import Evening
from core.programme.thresholds import WINDOW_DAYS
from core.weeks import WEEK_DAYS, mean_change

_date = attrgetter("date")


@dataclass(slots=True)
class Trend:
    """Means and counts as of one evening; the week is the seven days up to today."""

    today: dt.date
    diary: Sequence[Evening]
    end: int  # of the entries up to today
    evening: Evening | None = None  # today's
    week_sum: int = 0
    week_ratings: int = 0
    last_week_sum: int = 0
    last_week_ratings: int = 0
    week_asked: int = 0  # evenings of the week that were asked about, or rated unasked
    trained_days: int = 0  # of the week
    woke_worse: bool = False  # on any morning of the week

    @property
    def week_mean(self) -> float:
        """Mean rating of this week; only to be asked for when there are ratings."""
        return self.week_sum / self.week_ratings

    def change(self, least: float) -> float | None:
        """This week's mean minus the last one's; None unless both have at least `least` ratings."""
        this, last = (self.week_sum, self.week_ratings), (self.last_week_sum, self.last_week_ratings)
        return mean_change(this, last, least)

    def is_rated(self, least: float) -> bool:
        """Whether the week has `least` ratings of seven evenings, or as many of those that were asked about."""
        return self.week_ratings >= self.needed(least)

    def needed(self, least: float) -> int:
        """So many ratings of this week, `least` where every evening was asked about, in proportion where not.

        Two at least, since one alone is unreliable.
        """
        return max(ceil(least * self.week_asked / WEEK_DAYS), 2)

    @property
    def trained_tonight(self) -> bool:
        return self.evening is not None and is_training_day(self.evening)

    @property
    def unrated_days(self) -> int:
        """Days without a rating since the latest before today; as many as are read where there is none."""
        return next((days - 1 for days, _ in self._rated(WINDOW_DAYS + 1) if days), WINDOW_DAYS)

    def latest(self) -> int | None:
        """The latest rating within 42 days."""
        return next((pain for _, pain in self._rated(WINDOW_DAYS)), None)

    def mean(self, days: float) -> float:
        """Mean rating of the last `days` days; only to be asked for when there are ratings."""
        ratings = [pain for _, pain in self._rated(days)]
        return sum(ratings) / len(ratings)

    def days_since_above(self, limit: float, days: float) -> int | None:
        """How long ago a rating above the limit was given, within `days` days; None when there is none."""
        return next((ago for ago, pain in self._rated(days) if pain > limit), None)

    def count_from(self, limit: float, days: float, after: dt.date | None) -> int:
        """Ratings of at least `limit` within `days` days and later than `after`."""
        if after is not None:
            days = min(days, (self.today - after).days)
        return sum(pain >= limit for _, pain in self._rated(days))

    def _rated(self, days: float) -> Iterator[tuple[int, int]]:
        """(days ago, rating) of each rated evening of the last `days` days, the latest first."""
        for place in range(self.end - 1, -1, -1):
            evening = self.diary[place]
            ago = (self.today - evening.date).days
            if ago >= days:
                return
            if evening.pain is not None:
                yield ago, evening.pain

    def level_before(
        self, days: float, half_life_weeks: float, first: tuple[dt.date, int], least: int
    ) -> float | None:
        """The level that the evenings before today foretell: their mean, each moved on by the usual decline.

        `first` is the rating at enrolment with its date, which counts as one of them. None with fewer than `least`
        within the days.
        """
        fading = _fading(min(int(days), WINDOW_DAYS), half_life_weeks)
        now, most = self.today.toordinal(), len(fading) - 1
        total, count = 0.0, 0
        # one entry a date, so that no more of them can lie within the days
        for evening in self.diary[max(self.end - most - 1, 0) : self.end]:
            pain = evening.pain
            if pain is not None and 0 < (age := now - evening.date.toordinal()) <= most:
                total += pain * fading[age]
                count += 1
        age = now - first[0].toordinal()
        if age <= most:
            total += first[1] * fading[age]
            count += 1
        return total / count if count >= least else None


@lru_cache(maxsize=16)
def _fading(days: int, half_life_weeks: float) -> tuple[float, ...]:
    """What remains after so many days, from none to `days`."""
    return tuple(0.5 ** (day / WEEK_DAYS / half_life_weeks) for day in range(days + 1))


def look(diary: Sequence[Evening], today: dt.date) -> Trend:
    """The trend as of `today` of a diary sorted by date; later entries are not looked at."""
    end = bisect_right(diary, today, key=_date)
    trend = Trend(today, diary, end)
    if end and diary[end - 1].date == today:
        trend.evening = diary[end - 1]
    now = today.toordinal()
    for place in range(end - 1, -1, -1):
        evening = diary[place]
        age = now - evening.date.toordinal()
        if age >= 2 * WEEK_DAYS:
            break
        pain = evening.pain
        counts = evening.asked or pain is not None
        if age >= WEEK_DAYS:
            if pain is not None:
                trend.last_week_sum += pain
                trend.last_week_ratings += 1
            continue
        trend.week_asked += counts
        trend.trained_days += is_training_day(evening)
        trend.woke_worse = trend.woke_worse or evening.woke_worse
        if pain is not None:
            trend.week_sum += pain
            trend.week_ratings += 1
    return trend


def is_training_day(evening: Evening) -> bool:
    """At least half of the sets asked were told as done."""
    return evening.sets_asked > 0 and 2 * (evening.sets_done or 0) >= evening.sets_asked
