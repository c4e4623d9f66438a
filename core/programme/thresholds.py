"""Every threshold the rule measures against, section by section: what the file may say, and what the rule reads.
Beside them the times of a guided set that no exercise says, and what a change of the pain is worth.

Weights are in grams, shares between 0 and 1.
"""

from typing import Literal

from pydantic.dataclasses import dataclass

from core.programme.stated import (
    CLOSED,
    Days,
    Duration,
    Evenings,
    FewDays,
    FewTimes,
    HalfLife,
    Key,
    Level,
    Limit,
    Points,
    Rating,
    Share,
    Times,
    Weight,
)  # fmt: skip


@dataclass(frozen=True, slots=True, config=CLOSED)
class Begin:
    """Where a course starts: a start rating above `gentle_above` takes the gentler step. Both by their keys."""

    gentle_above: Rating
    gentle_step: Key
    usual_step: Key


@dataclass(frozen=True, slots=True, config=CLOSED)
class Severe:
    """`limit` or more is severe: a rest day once, back to holds at `times` within `days`."""

    limit: Rating
    times: FewTimes
    days: FewDays


@dataclass(frozen=True, slots=True, config=CLOSED)
class Ceiling:
    """Above `day` once: half the sets, as holds. Weekly mean above `week` after the holds: back to holds."""

    day: Rating
    week: Rating


@dataclass(frozen=True, slots=True, config=CLOSED)
class Flare:
    """The running excess above level + allowance, at most `daily_cap` a day, and what follows at `limit`.

    The level is the mean of `level_days`, each rating moved on by a decline of that half-life.
    """

    allowance: Points
    limit: Limit
    daily_cap: Points
    stay_days: Days  # of holds, at least
    lasts_days: Days  # so long it is the same flare; a limit reached later is a second one
    load_share: Share  # of the own weight, for the holds
    level_days: Level
    half_life_weeks: HalfLife


@dataclass(frozen=True, slots=True, config=CLOSED)
class Weeks:
    """This week's mean against the last one's, each from at least `ratings` ratings."""

    ratings: Evenings
    up: Points
    settle_days: Days  # after any step back, before a rise of the mean may cause another
    ease_g: Weight
    ease_days: Days  # a raise of the load this recent is taken for the cause


@dataclass(frozen=True, slots=True, config=CLOSED)
class Advance:
    """What moving on needs beside a step's own days and gate: ratings of the week, and the mean of `gate_days`, too.

    A gate is looked at once in `every_days`.
    """

    ratings: Evenings
    idle_days: Days  # so many in a row with sets asked and none known bar it
    gate_days: Level
    every_days: Days


@dataclass(frozen=True, slots=True, config=CLOSED)
class Load:
    """The person's own weight: what "easy", "right", "too much" and silence make of it, while trying and later."""

    try_g: Weight
    try_days: Days
    easy_g: Weight
    right_g: Weight
    silent_g: Weight
    too_much_g: Weight
    least_g: Weight
    every_days: Days
    trained_days: Evenings  # of a week, to be asked how the weight was


@dataclass(frozen=True, slots=True, config=CLOSED)
class Gap:
    """What so many days in a row without a set bring."""

    ease_days: Days
    ease_g: Weight
    back_days: Days
    back_two_days: Days
    restart_days: Days


@dataclass(frozen=True, slots=True, config=CLOSED)
class Attention:
    """When the therapist is told although nothing is dangerous."""

    silent_days: Days
    setbacks: Times
    setback_days: Days
    sets_share: Share  # below it the sets of a fortnight are few


@dataclass(frozen=True, slots=True, config=CLOSED)
class Injection:
    """An injection into the place that hurts, before or during the course: so many days without load."""

    rest_days: Days


@dataclass(frozen=True, slots=True, config=CLOSED)
class Plateau:
    """Falls of the mean, as shares of the first week's, that are too small for their day."""

    mean_days: Level  # the latest, that the mean is of: a week alone is too noisy for a verdict
    low_start: Rating  # a first week below: shares say nothing, only points count
    quiet_mean: Rating  # at or below: never called a plateau
    early_days: Days
    early_share: Share
    middle_days: Days
    middle_share: Share
    points: Points
    late_days: Days
    late_share: Share


@dataclass(frozen=True, slots=True, config=CLOSED)
class Rule:
    """Every threshold of the rule, section by section as in the file."""

    begin: Begin
    severe: Severe
    ceiling: Ceiling
    flare: Flare
    weeks: Weeks
    advance: Advance
    load: Load
    gap: Gap
    attention: Attention
    plateau: Plateau
    injection: Injection


@dataclass(frozen=True, slots=True, config=CLOSED)
class Guiding:
    """A set that is counted through: which arm begins, and the seconds that no exercise says."""

    first: Literal["sore", "other"]
    ready_s: Duration
    change_s: Duration  # from one arm to the other
    back_s: Duration  # while the load is brought back up after a lowering


@dataclass(frozen=True, slots=True, config=CLOSED)
class Progress:
    """Of a change of the weekly mean since the first week: how much can be told from noise, and how much matters."""

    apart: Points
    matters: Points
