"""Moving up: every condition, what stands in its way, and the weekly rise of the load meanwhile."""

import datetime as dt
from dataclasses import replace

from core.model import Episode, Figure, Move, Reason, ReasonCode
from core.programme import Gate, Programme, Step
from core.rule.course import enter, gates_into, served
from core.rule.outcome import Outcome, reason
from core.rule.setback import pinned
from core.rule.trend import WEEK_DAYS, Trend

# What time alone, or being good enough already, puts in the way: the load may rise meanwhile.
_ONLY_WAITING = frozenset(
    {
        ReasonCode.STAY_DAYS,
        ReasonCode.STAY_HOLD_DAYS,
        ReasonCode.STAY_GATE,
        ReasonCode.STAY_HIGH_DAY,
        ReasonCode.STAY_TOP,
    }
)


def climb(programme: Programme, out: Outcome, trend: Trend) -> None:
    """Moves up, raises the load, completes, or writes down everything that stood in the way.

    Expects an evening with a rating. A high day or a worse week on the sheet forbids every rise.
    """
    step = programme.step(out.episode.step)
    above = programme.steps[step.number] if step.number < len(programme.steps) else None
    gate, barred = _way_in(above or step, out.episode, trend)
    stays = _stays(programme, out, trend, step, above, barred)
    if out.reasons:
        out.reasons.extend(stays)
    elif not stays and above is not None:
        _advance(programme, out, trend, above, gate)
    elif step.maintenance and all(why.code is ReasonCode.STAY_TOP for why in stays):
        days = served(out.episode, trend.today)
        out.because(ReasonCode.COMPLETED, step.least_days, days=days)
        out.episode = replace(out.episode, completed=True)
    else:
        if step.rises and all(why.code in _ONLY_WAITING for why in stays):
            _raise_load(programme, out, trend.today, step)
        out.reasons.extend(stays)


def _advance(programme: Programme, out: Outcome, trend: Trend, above: Step, gate: Gate | None) -> None:
    episode, today = out.episode, trend.today
    step = programme.step(episode.step)
    code = ReasonCode.INTO_MAINTENANCE if above.maintenance else ReasonCode.ADVANCE
    figures: tuple[Figure, ...] = (step.least_days, programme.rule.advance.ratings, step.sets_share)
    days = served(episode, today)
    if gate is None:
        out.because(code, *figures, mean=trend.week_mean, days=days)
    else:
        out.because(code, gate.mean, *figures, mean=trend.week_mean, gate=gate.mean.value, days=days)
    out.move = Move.ADVANCE
    out.episode = enter(programme, episode, above.number, today)


def _raise_load(programme: Programme, out: Outcome, today: dt.date, step: Step) -> None:
    rule, episode = programme.rule.load, out.episode
    load = min(episode.load_g + int(rule.rise_g.value), step.cap_g)
    every = rule.every_days.value
    changed = episode.load_changed
    recent = served(episode, today) < every or (changed is not None and (today - changed).days < every)
    if recent or load <= episode.load_g:
        return
    out.because(ReasonCode.LOAD_UP, rule.rise_g, rule.every_days, grams=load - episode.load_g, load=load)
    out.episode = replace(episode, load_g=load, load_changed=today, load_raised=today)


def _stays(
    programme: Programme, out: Outcome, trend: Trend, step: Step, above: Step | None, barred: Reason | None
) -> list[Reason]:
    """Everything in the way, what a person most needs to know first."""
    days = served(out.episode, trend.today)
    unserved = None
    if days < step.least_days.value:
        unserved = reason(
            ReasonCode.STAY_DAYS, step.least_days, served=max(days, 0), least=step.least_days.value
        )
    return [
        why
        for why in (
            reason(ReasonCode.STAY_LOOK) if out.episode.awaits_look else None,
            _kept(out.episode, trend.today),
            _after_flare(programme, out.episode, trend.today),
            _excess(programme, out.episode),
            _week(programme, out, trend),
            _sets(step, trend),
            unserved,
            _ratings(programme, trend),
            barred,
            reason(ReasonCode.STAY_TOP) if above is None else None,
        )
        if why is not None
    ]


def _kept(episode: Episode, today: dt.date) -> Reason | None:
    if episode.pinned_until is None or not pinned(episode, today):
        return None
    return reason(ReasonCode.STAY_PINNED, days=(episode.pinned_until - today).days)


def _after_flare(programme: Programme, episode: Episode, today: dt.date) -> Reason | None:
    rule = programme.rule.flare
    left = (episode.stay_until - today).days if episode.stay_until is not None else 0
    if episode.flared is not None:
        left = max(left, int(rule.stay_days.value) - (today - episode.flared).days)
    return reason(ReasonCode.STAY_AFTER_FLARE, rule.stay_days, days=left) if left > 0 else None


def _excess(programme: Programme, episode: Episode) -> Reason | None:
    """More has gathered than the noise of an evening or two."""
    rule = programme.rule.flare
    if episode.excess <= rule.allowance.value:
        return None
    return reason(ReasonCode.STAY_EXCESS, rule.allowance, excess=episode.excess)


def _week(programme: Programme, out: Outcome, trend: Trend) -> Reason | None:
    """The mean may not rise. In the first fortnight the start rating stands in for the week before."""
    rule = programme.rule.weeks
    change, code = trend.change(rule.ratings.value), ReasonCode.STAY_WEEK_UP
    if change is None:
        first_fortnight = (trend.today - out.episode.started).days + 1 < 2 * WEEK_DAYS
        if trend.week_ratings < rule.ratings.value:
            return None  # too few ratings this week is a reason of its own
        if not first_fortnight:
            have, need = trend.last_week_ratings, rule.ratings
            return reason(ReasonCode.STAY_NO_LAST_WEEK, need, have=have, need=need.value)
        change, code = round(trend.week_mean - out.episode.start_rating, 9), ReasonCode.STAY_ABOVE_START
    if change < rule.up.value or any(why.code is ReasonCode.WEEK_UP for why in out.reasons):
        return None
    return reason(code, rule.up, change=change, limit=rule.up.value)


def _sets(step: Step, trend: Trend) -> Reason | None:
    share = trend.sets_share()
    if share >= step.sets_share.value:
        return None
    return reason(ReasonCode.STAY_SETS, step.sets_share, share=share, need=step.sets_share.value)


def _ratings(programme: Programme, trend: Trend) -> Reason | None:
    need = programme.rule.advance.ratings
    if trend.week_ratings >= need.value:
        return None
    return reason(ReasonCode.STAY_FEW_RATINGS, need, have=trend.week_ratings, need=need.value)


def _way_in(step: Step, episode: Episode, trend: Trend) -> tuple[Gate | None, Reason | None]:
    """The open gate of a step, or of its shut ones the reason that is nearest to opening."""
    barred: list[Reason] = []
    for gate in gates_into(step, episode):
        why = _bar(step, gate, episode, trend)
        if why is None:
            return gate, None
        barred.append(why)
    if not barred:
        return None, None
    # A gate whose mean is met is nearer than one that waits for less pain; the file's order breaks ties.
    return None, min(barred, key=lambda why: why.code is ReasonCode.STAY_GATE)


def _bar(step: Step, gate: Gate, episode: Episode, trend: Trend) -> Reason | None:
    mean = trend.week_mean
    if gate.mean_days is not None:
        mean = max(mean, _long_mean(gate.mean_days, trend))
    if mean > gate.mean.value:
        return reason(ReasonCode.STAY_GATE, gate.mean, mean=mean, gate=gate.mean.value)
    need = gate.hold_days
    if need is not None and episode.holds_days < need.value:
        return reason(ReasonCode.STAY_HOLD_DAYS, need, served=episode.holds_days, least=need.value)
    if gate.calm_limit is not None and gate.calm_days is not None:
        since = trend.days_since_above(gate.calm_limit.value, gate.calm_days.value)
        if since is not None:
            window = gate.calm_days.value
            return reason(
                ReasonCode.STAY_HIGH_DAY, gate.calm_limit, gate.calm_days, days=since, window=window
            )
    return None


def _long_mean(days: Figure, trend: Trend) -> float:
    ratings = trend.ratings(days.value)
    return sum(ratings) / len(ratings)
