"""The numbers of one calendar week, the sets of a fortnight, and the change since the first week."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from core.model import Evening, Figure, Provenance
from core.programme import Programme

WEEK_DAYS = 7
FORTNIGHT_DAYS = 14
LEAST_RATINGS = 3  # judgement: a mean of one or two evenings says more than it knows
# Stone AA et al. J Pain 2021;22(4):359-370: time in high pain matters to people more than the average. Six is where
# Boonstra AM et al. Front Psychol 2016;7:1466 let moderate pain begin.
HIGH_PAIN = 6
# Clifford C et al. 2019 (table 2 of BMJ Open Sport Exerc Med 2020;6:e000760) count who did at least 80 % of sessions.
ADHERENT = Figure("digest.adherent", 0.8, Provenance.PUBLISHED, ("J3",))
# Dworkin RH et al. J Pain 2008;9(2):105-121. The page read says 10-20 % for minimal; what lies up to 30 % is taken for
# minimal too (judgement).
MINIMAL, MODERATE, SUBSTANTIAL = (
    Figure(f"digest.change.{name}", share, Provenance.PUBLISHED, ("B2",))
    for name, share in (("minimal", 0.1), ("moderate", 0.3), ("substantial", 0.5))
)


@dataclass(frozen=True, slots=True)
class WeekNumbers:
    """One calendar week of a diary. `step` and `load_g` stand as its last evening left them."""

    monday: dt.date
    rated: int
    asked: int  # evenings, a volunteered rating among them; those nobody asked for are left out
    total: int  # of the ratings
    worst: int | None
    worst_on: dt.date | None  # the first evening of that rating
    high_days: int  # evenings at HIGH_PAIN or more
    sets_done: int
    sets_asked: int
    step: int
    load_g: int

    @property
    def mean(self) -> float | None:
        """Mean rating; None with fewer than LEAST_RATINGS."""
        return self.total / self.rated if self.rated >= LEAST_RATINGS else None


def week_numbers(diary: Iterable[Evening], monday: dt.date, step: int, load_g: int) -> WeekNumbers:
    """The numbers of the week that begins on `monday`; evenings outside it are passed over."""
    week = within(diary, monday, monday + dt.timedelta(days=WEEK_DAYS - 1))
    rated = [(each.pain, each.date) for each in week if each.pain is not None]
    worst = max((pain for pain, _ in rated), default=None)
    done, asked = sets(week)
    return WeekNumbers(
        monday=monday,
        rated=len(rated),
        asked=sum(each.asked or each.pain is not None for each in week),
        total=sum(pain for pain, _ in rated),
        worst=worst,
        worst_on=min((date for pain, date in rated if pain == worst), default=None),
        high_days=sum(pain >= HIGH_PAIN for pain, _ in rated),
        sets_done=done,
        sets_asked=asked,
        step=step,
        load_g=load_g,
    )


def within(diary: Iterable[Evening], first: dt.date, last: dt.date) -> tuple[Evening, ...]:
    """The evenings from `first` to `last`, both in."""
    return tuple(each for each in diary if first <= each.date <= last)


def sets(evenings: Sequence[Evening]) -> tuple[int, int]:
    """Sets done and asked; evenings nobody asked count for neither, and nobody does more than was asked."""
    counted = [each for each in evenings if each.asked]
    return sum(min(each.sets_done or 0, each.sets_asked) for each in counted), sum(each.sets_asked for each in counted)


class Band(StrEnum):
    """How much better, in the words of Dworkin 2008; WORSE is a rise as large as the least of these falls."""

    WORSE = "worse"
    NONE = "none"
    MINIMAL = "minimal"
    MODERATE = "moderate"
    SUBSTANTIAL = "substantial"


@dataclass(frozen=True, slots=True)
class Change:
    """From the first week's mean to this week's. `points` below zero is better; `share` of the first week's mean.

    `share` and `band` are None where the first week was too low for shares to say anything.
    """

    first: float
    points: float
    share: float | None
    band: Band | None


def change_since(programme: Programme, first: float, mean: float) -> Change:
    """The change since a first week of mean `first`."""
    points = round(mean - first, 9)
    if first <= 0 or first < programme.rule.plateau.low_start.value:
        return Change(first, points, None, None)
    share = round(points / first, 9)
    return Change(first, points, share, _band(share))


def _band(share: float) -> Band:
    if share >= MINIMAL.value:
        return Band.WORSE
    for figure, band in ((SUBSTANTIAL, Band.SUBSTANTIAL), (MODERATE, Band.MODERATE), (MINIMAL, Band.MINIMAL)):
        if -share >= figure.value:
            return band
    return Band.NONE
