"""Moving up: every condition, what stands in its way, and the person's own weight meanwhile."""

import datetime as dt
from dataclasses import dataclass, field, replace
from math import ceil

from core.model import Episode, Figure, Move, Reason, ReasonCode
from core.programme import Gate, Programme, Step
from core.rule.course import enter, gates_into, is_pinned, served
from core.rule.draft import Draft, reason
from core.rule.reported import consider_weight
from core.rule.trend import Trend

# What time alone, or being good enough already, puts in the way: the weight may rise meanwhile.
_ONLY_WAITING = frozenset(
    {
        ReasonCode.STAY_DAYS,
        ReasonCode.STAY_TRAINING,
        ReasonCode.STAY_HOLD_DAYS,
        ReasonCode.STAY_GATE,
        ReasonCode.STAY_GATE_LATER,
        ReasonCode.STAY_HIGH_DAY,
        ReasonCode.STAY_TOP,
    }
)


@dataclass(slots=True)
class Way:
    """One way into the step above, and everything that still bars it.

    `shut` is its gate where the mean was found too high tonight, `far` by how much the week's is.
    """

    gate: Gate | None
    bars: list[Reason] = field(default_factory=list)
    shut: float = 0.0
    far: float = 0.0


def climb(programme: Programme, out: Draft, trend: Trend) -> None:
    """Moves up, completes, or writes down everything that stood in the way; the weight may rise while only time does.

    Expects an evening with a rating. A high day or a worse week in the draft forbids every rise.
    """
    step = programme.step(out.episode.step)
    above = programme.steps[step.number] if step.number < len(programme.steps) else None
    stays, few = _stays(programme, out, trend), _ratings(programme, trend)
    way = _way_up(programme, out.episode, trend, step, above, looks=not stays and few is None)
    if few is not None:
        way.bars.append(few)
    if way.shut and not out.reasons:
        out.episode = replace(out.episode, gate_tested=trend.today, gate_shut=way.shut)
    if out.reasons:
        out.reasons.extend([*stays, *way.bars])
    elif not stays and not way.bars and above is not None:
        _advance(programme, out, trend, above, way)
    elif step.maintenance and not stays and not way.bars:
        out.because(ReasonCode.COMPLETED, step.least_days, days=served(out.episode, trend.today))
        out.episode = replace(out.episode, completed=True)
    else:
        stays += way.bars
        if above is None:
            stays.append(reason(ReasonCode.STAY_TOP))
        if all(why.code in _ONLY_WAITING for why in stays):
            consider_weight(programme, out, trend, step)
        out.reasons.extend(stays)


def _advance(programme: Programme, out: Draft, trend: Trend, above: Step, way: Way) -> None:
    episode, today, gate = out.episode, trend.today, way.gate
    step = programme.step(episode.step)
    code = ReasonCode.INTO_MAINTENANCE if above.maintenance else ReasonCode.ADVANCE
    days, least = served(episode, today), _least_days(step, gate)
    figures: tuple[Figure, ...] = (least, programme.rule.advance.ratings)
    if step.training_days is not None:
        figures = (*figures, step.training_days)
    if gate is None:
        out.because(code, *figures, mean=trend.week_mean, days=days)
    else:
        out.because(code, gate.mean, *figures, mean=trend.week_mean, gate=gate.mean.value, days=days)
    out.move = Move.ADVANCE
    out.episode = enter(programme, episode, above.number, today)


def _stays(programme: Programme, out: Draft, trend: Trend) -> list[Reason]:
    """Everything that keeps a person whatever the step above asks, what they most need to know first."""
    found = (
        reason(ReasonCode.STAY_LOOK) if out.episode.awaits_look else None,
        _pin(out.episode, trend.today),
        _settling(programme, out.episode, trend.today),
        _excess(programme, out.episode),
        reason(ReasonCode.STAY_MORNING) if trend.woke_worse and not out.reasons else None,
        _idle(programme, out.episode),
        _week(programme, out, trend),
    )
    return [why for why in found if why is not None]


def _pin(episode: Episode, today: dt.date) -> Reason | None:
    if episode.pinned_until is None or not is_pinned(episode, today):
        return None
    return reason(ReasonCode.STAY_PINNED, days=(episode.pinned_until - today).days)


def _settling(programme: Programme, episode: Episode, today: dt.date) -> Reason | None:
    """Any call to step back bars moving up for a while, and so do the holds of a flare."""
    left = (episode.stay_until - today).days if episode.stay_until is not None else 0
    return reason(ReasonCode.STAY_SETTLING, programme.rule.weeks.settle_days, days=left) if left > 0 else None


def _excess(programme: Programme, episode: Episode) -> Reason | None:
    """More has gathered than the noise of an evening or two."""
    rule = programme.rule.flare
    if episode.excess <= rule.allowance.value:
        return None
    return reason(ReasonCode.STAY_EXCESS, rule.allowance, excess=episode.excess)


def _idle(programme: Programme, episode: Episode) -> Reason | None:
    """The sets were left out of late: nothing grows before they are done again."""
    need = programme.rule.advance.idle_days
    return reason(ReasonCode.STAY_IDLE, need, days=episode.idle_days) if episode.idle_days >= need.value else None


def _ratings(programme: Programme, trend: Trend) -> Reason | None:
    """Enough ratings of the week; of a week in which some evenings were not asked, as many of the others."""
    need = programme.rule.advance.ratings
    if trend.is_rated(need.value):
        return None
    return reason(ReasonCode.STAY_FEW_RATINGS, need, have=trend.week_ratings, need=trend.needed(need.value))


def _week(programme: Programme, out: Draft, trend: Trend) -> Reason | None:
    """The mean may not rise: against last week, or against the person's own level where too little is known of it."""
    rule = programme.rule.weeks
    if any(why.code is ReasonCode.WEEK_UP for why in out.reasons) or not trend.week_ratings:
        return None
    change, code = trend.change(rule.ratings.value), ReasonCode.STAY_WEEK_UP
    if change is None and out.episode.level is not None and trend.is_rated(rule.ratings.value):
        change, code = round(trend.week_mean - out.episode.level, 9), ReasonCode.STAY_ABOVE_LEVEL
    if change is None or change < rule.up.value:
        return None
    return reason(code, rule.up, change=change, limit=rule.up.value)


def _way_up(
    programme: Programme, episode: Episode, trend: Trend, step: Step, above: Step | None, *, looks: bool
) -> Way:
    """The open way into the step above, or the one that is nearest to opening. Nothing leads on from the last step.

    A gate is looked at only on an evening that could lead through it.
    """
    gates: tuple[Gate | None, ...] = (gates_into(above, episode) if above is not None else ()) or (None,)
    ways = [_way(programme, episode, trend, step, gate) for gate in gates]
    if looks:
        for way in ways:
            _test(programme, episode, trend, way)
    # nobody is told of a short cut that their week does not fit; the file's order breaks ties
    nearest = min(ways, key=lambda way: (way.far, len(way.bars)))
    nearest.shut = max(way.shut for way in ways)
    return nearest


def _way(programme: Programme, episode: Episode, trend: Trend, step: Step, gate: Gate | None) -> Way:
    way = Way(gate, _unserved(programme, episode, trend, step, gate))
    if gate is None:
        return way
    if trend.week_ratings:
        way.far = max(trend.week_mean - gate.mean.value, 0.0)
    if gate.hold_days is not None and episode.holds_days < gate.hold_days.value:
        have, need = episode.holds_days, gate.hold_days
        way.bars.append(reason(ReasonCode.STAY_HOLD_DAYS, need, served=have, least=need.value))
    if gate.calm_limit is not None and gate.calm_days is not None:
        since, window = trend.days_since_above(gate.calm_limit.value, gate.calm_days.value), gate.calm_days.value
        if since is not None:
            way.bars.append(
                reason(ReasonCode.STAY_HIGH_DAY, gate.calm_limit, gate.calm_days, days=since, window=window)
            )
    return way


def _test(programme: Programme, episode: Episode, trend: Trend, way: Way) -> None:
    """The mean of the week, and of the longer stretch, against the gate: once a week only.

    Asked again every evening, noise alone would let nearly everybody through who is close above it. A narrow gate that
    was shut says nothing of a wider one.
    """
    rule, gate, wait = programme.rule.advance, way.gate, 0
    if gate is None or way.bars:
        return
    if episode.gate_tested is not None and gate.mean.value <= episode.gate_shut:
        wait = int(rule.every_days.value) - (trend.today - episode.gate_tested).days
    if wait > 0:
        way.bars.append(reason(ReasonCode.STAY_GATE_LATER, gate.mean, rule.every_days, days=wait))
        return
    long = max(rule.gate_days.value, gate.mean_days.value if gate.mean_days is not None else 0)
    mean = max(trend.week_mean, trend.mean(long))
    if mean > gate.mean.value:
        way.shut = gate.mean.value
        way.bars.append(reason(ReasonCode.STAY_GATE, gate.mean, mean=mean, gate=gate.mean.value))


def _unserved(
    programme: Programme, episode: Episode, trend: Trend, step: Step, gate: Gate | None
) -> list[Reason]:
    """Days and training days of the step that are still missing; a short cut asks for fewer, in proportion.

    Whoever was on it before serves a week of it all the same: two moves up never lie closer.
    """
    bars: list[Reason] = []
    days, least = served(episode, trend.today), _least_days(step, gate)
    week, settle = (trend.today - episode.since).days + 1, programme.rule.weeks.settle_days
    if days >= least.value and week < settle.value:
        bars.append(reason(ReasonCode.STAY_DAYS, settle, served=week, least=settle.value))
    elif days < least.value:
        bars.append(reason(ReasonCode.STAY_DAYS, least, served=max(days, 0), least=least.value))
    if step.training_days is not None:
        need = ceil(step.training_days.value * least.value / step.least_days.value)
        if episode.trained < need:
            bars.append(reason(ReasonCode.STAY_TRAINING, step.training_days, have=episode.trained, need=need))
    return bars


def _least_days(step: Step, gate: Gate | None) -> Figure:
    """Of the step that is left: its own, or those of a short cut."""
    short = gate.after_days if gate is not None else None
    return short if short is not None and short.value < step.least_days.value else step.least_days
