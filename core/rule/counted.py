"""What an evening adds to an episode: the sum behind a flare, the level, days idle and trained."""

import datetime as dt
from dataclasses import replace

from core.model import Episode, Evening, Kind, Meanwhile
from core.programme import Programme
from core.rule.trend import Trend, is_training_day
from core.weeks import WEEK_DAYS

# The level is not taken from a handful of ratings: one lucky evening would make every other a rise.
_LEAST_FOR_LEVEL = 4


def count_evening(programme: Programme, episode: Episode, trend: Trend, evening: Evening) -> Episode:
    """The episode with this evening counted."""
    today, window = trend.today, programme.rule.attention.setback_days
    idle, silent = _days(episode, evening)
    excess, level = _excess(programme, episode, trend, evening.pain)
    after = replace(
        episode,
        idle_days=idle,
        silent_days=silent,
        excess=excess,
        level=level,
        holds_days=episode.holds_days + _on_holds(programme, episode, evening),
        trained=episode.trained + _trained(episode, evening),
        setbacks=tuple(day for day in episode.setbacks if (today - day).days < window.value),
        first_week_mean=_first_week_mean(programme, episode, trend),
    )
    if evening.sets_done or evening.meanwhile is Meanwhile.MOST:
        return replace(after, idle_days=0, idle_steps_taken=0)
    return after


def _days(episode: Episode, evening: Evening) -> tuple[int, int]:
    """Idle and silent days; a rest day cannot be idle, and only an evening that was asked can be silent.

    Of an evening without an answer nothing is known, so that it counts as idle to be safe, until it is told. Some of
    the sets neither lengthen a gap nor end it. Judgement.
    """
    idle, silent = episode.idle_days, episode.silent_days
    some = evening.meanwhile in (Meanwhile.MOST, Meanwhile.SOME)
    if evening.asked and evening.sets_asked and not evening.sets_done and not some:
        idle += 1
    if evening.pain is not None or evening.sets_done is not None or evening.flag is not None:
        silent = 0
    elif evening.asked:
        silent += 1
    return idle, silent


def _trained(episode: Episode, evening: Evening) -> int:
    """A training day on the step: the holds of a flare are none."""
    here = evening.date >= episode.since and episode.eased_since is None
    return int(here and (is_training_day(evening) or evening.meanwhile is Meanwhile.MOST))


def _on_holds(programme: Programme, episode: Episode, evening: Evening) -> int:
    counts = evening.asked and (evening.date >= episode.since or episode.eased_since is not None)
    holds = episode.eased_since is not None or programme.step(episode.step).dose.kind is Kind.ISOMETRIC
    return int(counts and holds)


def _excess(programme: Programme, episode: Episode, trend: Trend, pain: int | None) -> tuple[float, float]:
    """The running excess and the level; after so many evenings without a rating nothing is left of the excess."""
    rule = programme.rule.flare
    level = float(episode.start_rating) if episode.level is None else episode.level
    excess = episode.excess
    if pain is None:
        return excess, level
    if trend.unrated_days > programme.rule.gap.ease_days.value - 1:
        excess = 0.0
    enrolled = episode.started - dt.timedelta(days=1), episode.start_rating  # at whatever hour of that day
    foretold = trend.level_before(rule.level_days.value, rule.half_life_weeks.value, enrolled, _LEAST_FOR_LEVEL)
    level = level if foretold is None else foretold
    excess = running_excess(excess, pain, level, rule.allowance.value, rule.daily_cap.value)
    # it may wait at the limit, and then the first quieter evening counts
    return min(excess, rule.limit.value), level


def _first_week_mean(programme: Programme, episode: Episode, trend: Trend) -> float | None:
    if episode.first_week_mean is not None or (trend.today - episode.started).days < WEEK_DAYS - 1:
        return episode.first_week_mean
    enough = trend.week_ratings >= programme.rule.weeks.ratings.value
    return trend.week_mean if enough else None


def running_excess(
    previous: float, value: float, level: float, allowance: float, cap: float | None = None
) -> float:
    """The sum after one more value: what exceeds level + allowance adds, the rest takes away, not under zero.

    `cap` is the most that one value adds. Units are those of the value. Source: Page ES. Biometrika
    1954;41:100-115, in the tabular form of the NIST/SEMATECH e-Handbook 6.3.2.3.
    """
    step = value - level - allowance
    if cap is not None and step > cap:
        step = cap
    total = previous + step
    return total if total > 0 else 0.0


def reaches(total: float, limit: float) -> bool:
    """Whether a sum of differences reaches a limit, forgiving the last binary digits of a mean."""
    return total >= limit - 1e-9
