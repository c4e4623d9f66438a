"""The numbers of calendar weeks, Monday to Sunday as ISO 8601 counts them, and of a fortnight's adherence."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from core.model import Evening, Figure, Provenance

WEEK_DAYS = 7
FORTNIGHT_DAYS = 14
LEAST_RATINGS = 3  # judgement: a mean of one or two evenings says more than it knows
HIGH_PAIN = Figure("weekly.high_pain", 6.0, Provenance.PUBLISHED, ("C2",))  # where moderate pain begins
ADHERENT = Figure("weekly.adherent", 0.8, Provenance.PUBLISHED, ("J3",))


@dataclass(frozen=True, slots=True)
class Adherence:
    """Sets done of the sets asked; evenings that nobody asked about count for neither."""

    done: int
    asked: int

    @property
    def share(self) -> float | None:
        """None when no sets were asked."""
        return self.done / self.asked if self.asked else None

    @property
    def adherent(self) -> bool | None:
        """Whether ADHERENT is reached; None when no sets were asked."""
        return None if self.share is None else self.share >= ADHERENT.value


@dataclass(frozen=True, slots=True)
class Week:
    """One calendar week of a diary; pain 0-10."""

    monday: dt.date
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


def adherence(evenings: Iterable[Evening]) -> Adherence:
    """The sets of these evenings; nobody does more than was asked."""
    counted = [each for each in evenings if each.asked]
    done = sum(min(each.sets_done or 0, each.sets_asked) for each in counted)
    return Adherence(done, sum(each.sets_asked for each in counted))


def fortnight(diary: Iterable[Evening], until: dt.date) -> Adherence:
    """The sets of the fourteen days up to `until`, by which a person is called adherent."""
    first = until - dt.timedelta(days=FORTNIGHT_DAYS - 1)
    return adherence(each for each in diary if first <= each.date <= until)


def _week(monday: dt.date, evenings: Iterable[Evening]) -> Week:
    evenings = tuple(evenings)
    rated = [(each.pain, each.date) for each in evenings if each.pain is not None]
    worst = max((pain for pain, _ in rated), default=None)
    return Week(
        monday=monday,
        rated=len(rated),
        asked=sum(each.asked or each.pain is not None for each in evenings),
        total=sum(pain for pain, _ in rated),
        worst=worst,
        worst_on=min((date for pain, date in rated if pain == worst), default=None),
        high_days=sum(pain >= HIGH_PAIN.value for pain, _ in rated),
        sets=adherence(evenings),
    )
