"""The facts and words of a person's picture, and of the picture of the rule; knows nothing of how they are drawn."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple


@dataclass(frozen=True, slots=True)
class Mark:
    """One rule: its name, false step-backs per 100 weeks, mean delay in evenings. `own`: the rule of this program."""

    name: str
    rate: float
    delay: float
    own: bool = False


@dataclass(frozen=True, slots=True)
class RulePanel:
    """One group of people: the best possible as a curve of (rate, delay), and the rules beside it."""

    title: str
    curve: tuple[tuple[float, float], ...]
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class RuleFacts:
    """Panels one below the other. `aim` is the share above the curve's delay that the rule may take."""

    title: str
    across: str
    up: str
    best: str  # what the curve is
    aimed: str  # what the broken line above it is
    aim: float
    panels: tuple[RulePanel, ...]


LEAST_RATINGS = 3  # judgement: a mean of one or two evenings says more than it knows


class Day(NamedTuple):
    """One evening: ISO date, pain 0-10 or None, and whether it was asked."""

    date: str
    pain: int | None
    asked: bool


class Band(NamedTuple):
    """Days on one step, both ends in: ISO dates and the number that people know the step by."""

    start: str
    end: str
    step: int


@dataclass(frozen=True, slots=True)
class Words:
    """Every word in the picture, from the catalogue; `step` and `day_month` carry placeholders."""

    title: str  # "Pain on average in the day, 0 to 10"
    evening: str  # key: one dot
    weekly_mean: str  # key: the line
    missed: str  # key: a tick on the base line
    flare: str  # beside an arrow
    injection: str  # beside a line down the picture
    nothing: str  # in the place of the dots when there are none
    step: str  # "Step {step}"
    day_month: str  # "{day} {month}"
    months: tuple[str, ...]  # twelve short names
    decimal: str = "."
    chance: str = ""  # key: the band about the first week's mean
    kilos: str = ""  # above the line of the own weight: "Your weight, kg"


@dataclass(frozen=True, slots=True)
class ProgressFacts:
    """What one picture shows. `days` by date, unasked ones may be left out; dates are ISO text."""

    days: tuple[Day, ...]
    bands: tuple[Band, ...]
    flares: tuple[str, ...]
    words: Words
    injections: tuple[str, ...] = ()
    first: float | None = None  # the first week's mean; within `apart` of it a mean may be chance
    apart: float = 0.0
    loads: tuple[tuple[str, int], ...] = ()  # (date, grams): the own weight from that day on



def weekly_means(days: Sequence[Day]) -> tuple[tuple[dt.date, float], ...]:
    """(middle day, mean of the ratings) of each seven days, counted back from the last day.

    So the latest mean is the one told in words. A week with fewer than three ratings has none, and one that the first
    day cuts has its middle half-way from there.
    """
    rated = [(dt.date.fromisoformat(day.date), day.pain) for day in days if day.pain is not None]
    if not rated:
        return ()
    first, last = dt.date.fromisoformat(days[0].date), dt.date.fromisoformat(days[-1].date)
    weeks: dict[int, list[int]] = {}
    for date, pain in rated:
        weeks.setdefault((last - date).days // 7, []).append(pain)
    means = []
    for ago, pains in sorted(weeks.items(), reverse=True):
        end = last - dt.timedelta(weeks=ago)
        start = max(end - dt.timedelta(days=6), first)
        if len(pains) >= LEAST_RATINGS:
            means.append((start + (end - start) // 2, sum(pains) / len(pains)))
    return tuple(means)
