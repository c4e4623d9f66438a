"""What an evening adds to an episode whatever is decided, and what days without a single set bring."""

import datetime as dt
from dataclasses import replace

from core.model import Episode, Evening, Kind, Meanwhile, Move, NoticeKind, Reason, ReasonCode
from core.programme import Programme
from core.programme.thresholds import Gap
from core.rule.course import enter, is_pinned
from core.rule.draft import Draft, reason
from core.rule.trend import WEEK_DAYS, Trend, is_training_day, running_excess


def steps_due(rule: Gap, idle_days: int) -> int:
    """How many steps a gap of that length takes back in all."""
    if idle_days >= rule.back_two_days.value:
        return 2
    return 1 if idle_days >= rule.back_days.value else 0


def apply_gap(programme: Programme, out: Draft, before: int, today: dt.date, rating: float | None) -> bool:
    """Writes into the draft what the gap brings, grown from `before` to the episode's idle days.

    `rating` is the latest one, to choose the step of a new start. True when the gap decides the evening: a
    step back, or a new start. A step that the therapist pinned is kept.
    """
    rule = programme.rule.gap
    days = out.episode.idle_days
    restarts = before < rule.restart_days.value <= days
    if before < rule.ease_days.value <= days:
        _ease(programme, out, today)
    if restarts:
        out.ask_red_flags = True
        out.notices.append(NoticeKind.LONG_GAP)
    if is_pinned(out.episode, today):
        return False
    old = out.episode.step
    _walk_back(programme, out, today)
    if restarts:
        _restart(programme, out, today, rating)
    if out.episode.step == old and not restarts:
        return False
    if out.episode.step < old:
        out.move = Move.REGRESS
    out.reasons.insert(0, _why(rule, out.episode, old, restarts=restarts))
    return True


def come_back(programme: Programme, episode: Episode, today: dt.date, days: int, first: Reason) -> Draft:
    """The draft after `days` without an evening; they count towards the gap, and `first` leads the reasons.

    Without a diary at hand, the episode's level stands in for the latest rating.
    """
    idle = episode.idle_days + days
    out = Draft(replace(episode, idle_days=idle, silent_days=0))
    apply_gap(programme, out, episode.idle_days, today, None)
    out.reasons.insert(0, first)
    return out


def _why(rule: Gap, episode: Episode, old: int, *, restarts: bool) -> Reason:
    days = episode.idle_days
    if restarts:
        return reason(ReasonCode.LONG_GAP, rule.restart_days, days=days)
    figure = rule.back_two_days if episode.idle_steps_taken > 1 else rule.back_days
    return reason(ReasonCode.GAP, figure, days=days, steps=old - episode.step)


def _ease(programme: Programme, out: Draft, today: dt.date) -> None:
    episode, rule = out.episode, programme.rule.gap
    floor = min(episode.load_g, int(programme.rule.load.least_g.value))
    load = max(episode.load_g - int(rule.ease_g.value), floor)
    if load < episode.load_g:
        out.because(
            ReasonCode.GAP_LOAD,
            rule.ease_days,
            rule.ease_g,
            days=episode.idle_days,
            grams=episode.load_g - load,
        )
    out.episode = replace(episode, load_g=load, load_changed=today, load_raised=None)


def _walk_back(programme: Programme, out: Draft, today: dt.date) -> None:
    due = steps_due(programme.rule.gap, out.episode.idle_days)
    missing = due - out.episode.idle_steps_taken
    if missing <= 0:
        return
    out.episode = replace(out.episode, idle_steps_taken=due)
    for _ in range(min(missing, out.episode.step - 1)):
        out.episode = enter(programme, out.episode, out.episode.step - 1, today)


def _restart(programme: Programme, out: Draft, today: dt.date, rating: float | None) -> None:
    rule, episode = programme.rule.begin, out.episode
    pain = next(value for value in (rating, episode.level, float(episode.start_rating)) if value is not None)
    target = programme.numbered(rule.gentle_step if pain > rule.gentle_above.value else rule.usual_step)
    target = min(target, episode.step)
    out.episode = replace(enter(programme, episode, target, today, afresh=True), holds_days=0, load_g=0)


# The level is not taken from a handful of ratings: one lucky evening would make every other a rise.
_LEAST_FOR_LEVEL = 4


def fold(programme: Programme, episode: Episode, trend: Trend, evening: Evening) -> Episode:
    """The episode with this evening counted."""
    today, counted = trend.today, programme.rule.attention.setback_days
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
        setbacks=tuple(day for day in episode.setbacks if (today - day).days < counted.value),
        first_week_mean=_first_week_mean(programme, episode, trend),
    )
    if evening.sets_done or evening.meanwhile is Meanwhile.MOST:
        return replace(folded, idle_days=0, idle_steps_taken=0)
    return folded


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
