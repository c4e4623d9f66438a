"""What an evening adds to an episode whatever is decided: counters, the excess, the level, the first mean."""

import datetime as dt
from dataclasses import replace

from core.model import Episode, Evening, Kind, Meanwhile
from core.programme import Programme
from core.rule.excess import running_excess
from core.rule.gap import ended
from core.rule.trend import WEEK_DAYS, Trend, is_training_day

# The level is not taken from a handful of ratings: one lucky evening would make every other a rise.
_LEAST_FOR_LEVEL = 4


def fold(programme: Programme, episode: Episode, trend: Trend, evening: Evening) -> Episode:
    """The episode with this evening counted."""
    today = trend.today
    idle, silent = _days(episode, evening)
    excess, level = _excess(programme, episode, trend, evening.pain)
    folded = replace(
        episode,
        idle_days=idle,
        silent_days=silent,
        excess=excess,
        level=level,
        holds_days=episode.holds_days + _on_holds(programme, episode, evening),
        trained=episode.trained + _trained(episode, evening),
        setbacks=_recent(programme, episode, today),
        first_week_mean=_first_week_mean(programme, episode, trend),
    )
    return ended(folded) if evening.sets_done or evening.meanwhile is Meanwhile.MOST else folded


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


def _excess(
    programme: Programme, episode: Episode, trend: Trend, pain: int | None
) -> tuple[float, float]:
    """The running excess and the level; after so many evenings without a rating nothing is left of the excess."""
    rule = programme.rule.flare
    level = float(episode.start_rating) if episode.level is None else episode.level
    excess = episode.excess
    if pain is None:
        return excess, level
    if trend.unrated_days > programme.rule.gap.ease_days.value - 1:
        excess = 0.0
    foretold = _foretold(rule.level_days.value, rule.half_life_weeks.value, episode, trend)
    if foretold is not None:
        level = foretold
    excess = running_excess(excess, pain, level, rule.allowance.value, rule.daily_cap.value)
    # it may wait at the limit, and then the first quieter evening counts
    return min(excess, rule.limit.value), level


def _foretold(days: float, half_life_weeks: float, episode: Episode, trend: Trend) -> float | None:
    enrolled = episode.started - dt.timedelta(days=1)  # before the first evening, whatever the hour
    return trend.level_before(days, half_life_weeks, (enrolled, episode.start_rating), _LEAST_FOR_LEVEL)


def _recent(programme: Programme, episode: Episode, today: dt.date) -> tuple[dt.date, ...]:
    days = programme.rule.attention.setback_days.value
    backs = episode.setbacks
    if not backs or (today - backs[0]).days < days:
        return backs
    return tuple(day for day in backs if (today - day).days < days)


def _first_week_mean(programme: Programme, episode: Episode, trend: Trend) -> float | None:
    if episode.first_week_mean is not None or (trend.today - episode.started).days < WEEK_DAYS - 1:
        return episode.first_week_mean
    enough = trend.week_ratings >= programme.rule.weeks.ratings.value
    return trend.week_mean if enough else None
