"""What is shown of courses: a person's own picture, the digest's pictures and file, the rule; knows nothing of how."""

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


@dataclass(frozen=True, slots=True)
class Line:
    """A course over the days `first` to `last`, both in; dates are ISO text, `means` are (middle day, mean)."""

    first: str
    last: str
    days: tuple[Day, ...]
    bands: tuple[Band, ...]
    flares: tuple[str, ...]
    means: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class LineWords:
    """Every word in a drawn course, from the catalogue; `day_month` carries placeholders."""

    evening: str
    weekly_mean: str
    missed: str
    flare: str
    nothing: str
    step_key: str  # key: what the numbers in the row above are
    day_month: str
    months: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Panel:
    """One patient's small picture. `mean` is the week's, in figures, "" when there is none."""

    number: str  # apart from the name, so that a name written from right to left cannot turn it
    name: str
    why: str
    mean: str
    line: Line


@dataclass(frozen=True, slots=True)
class PanelsFacts:
    """One picture of at most `core.digest.PANELS` patients."""

    title: str
    note: str  # what is drawn: scale and stretch of time
    panels: tuple[Panel, ...]
    words: LineWords


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a head, all of one length."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One patient's page of the file."""

    number: str  # the place in the caseload, as in the overview
    name: str
    about: str  # side, week of the course
    step: str
    why: str  # the reasons to look, "" when there are none
    line: Line
    weeks: Table
    facts: tuple[tuple[str, str], ...]  # (what, how it stands)
    decisions: Table
    numbers: tuple[str, tuple[str, ...]]  # (title, lines): where the numbers are from
    notices: tuple[str, tuple[str, ...]]  # (title, lines)


@dataclass(frozen=True, slots=True)
class Overview:
    """The first page of the file: counts as (number, what), and the caseload in order."""

    title: str
    lines: tuple[str, ...]
    counts: tuple[tuple[str, str], ...]
    caseload: Table


@dataclass(frozen=True, slots=True)
class FileFacts:
    """One PDF: the overview where it is the first of several files, then a page a patient."""

    title: str  # in the document's own properties
    clinic: str
    week: str
    foot: str  # "not a diagnosis"
    page: str  # "page {page} of {pages}"
    further: str  # beside a name whose page goes on
    language: str
    made: str  # aware ISO time
    overview: Overview | None
    pages: tuple[Page, ...]
    words: LineWords
