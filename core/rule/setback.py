"""The reasons to step back that pain gives: severe days, a mean above the ceiling, a flare. A worse week only keeps."""

import datetime as dt
from dataclasses import replace

from core.model import Episode, Move, NoticeKind, Reason, ReasonCode
from core.programme import Programme
from core.rule.course import enter
from core.rule.excess import reaches
from core.rule.gap import steps_due
from core.rule.outcome import Outcome, reason
from core.rule.trend import Trend

Call = tuple[Reason, int]  # why, and the step it calls for; 0 on the lowest step: there is none

# On the lowest step nobody steps back, so that the reason given must not say so.
_ON_LOWEST = {
    ReasonCode.SEVERE_TWICE: ReasonCode.SEVERE_ONCE,
    ReasonCode.FLARE: ReasonCode.STAY_EXCESS,
}


def pinned(episode: Episode, today: dt.date) -> bool:
    """Whether the therapist keeps the person on this step."""
    return episode.pinned_until is not None and today < episode.pinned_until


def apply_setback(programme: Programme, out: Outcome, trend: Trend, pain: int) -> bool:
    """Writes onto the sheet what tonight's pain calls for; True when it called for a step back.

    Only the first of several calls moves: nobody goes back twice in one evening. On the lowest step and on a
    pinned one the call is written down and the person stays.
    """
    calls = _calls(programme, out.episode, trend, pain)
    if calls:
        _step_back(programme, out, trend.today, calls)
    _high_day(programme, out, trend, pain)
    if not calls:
        _worse_week(programme, out, trend)
    return bool(calls)


def _calls(programme: Programme, episode: Episode, trend: Trend, pain: int) -> list[Call]:
    found = (
        _severe_again(programme, episode, trend, pain),
        _above_ceiling(programme, episode, trend),
        _flare(programme, episode, trend.today),
    )
    return [call for call in found if call is not None]


def _severe_again(programme: Programme, episode: Episode, trend: Trend, pain: int) -> Call | None:
    """Severe days often enough within the week.

    After the holds they always count. On the holds only days since the last step back do: the same pair must
    not take a person down two steps.
    """
    rule, step = programme.rule.severe, programme.step(episode.step)
    if pain < rule.limit.value:
        return None
    on_holds = step.holds == step.number
    after = episode.step_backs[-1] if on_holds and episode.step_backs else None
    if trend.count_from(rule.limit.value, rule.days.value, after) < rule.times.value:
        return None
    numbers = {"pain": pain, "limit": rule.limit.value, "days": rule.days.value}
    why = reason(ReasonCode.SEVERE_TWICE, rule.limit, rule.times, rule.days, **numbers)
    return why, step.number - 1 if on_holds else step.holds


def _above_ceiling(programme: Programme, episode: Episode, trend: Trend) -> Call | None:
    """The weekly mean above the ceiling.

    On holds it is the step's own limit, and only once the last step back has settled.
    """
    if trend.week_ratings < programme.rule.weeks.ratings.value:
        return None
    step = programme.step(episode.step)
    if step.holds != step.number:
        limit, target = programme.rule.ceiling.week, step.holds
    elif step.back_above is not None and not _unsettled(programme, episode, trend.today):
        limit, target = step.back_above, step.number - 1
    else:
        return None
    if trend.week_mean <= limit.value:
        return None
    return reason(ReasonCode.ABOVE_CEILING_WEEK, limit, mean=trend.week_mean, limit=limit.value), target


def _flare(programme: Programme, episode: Episode, today: dt.date) -> Call | None:
    """The running excess at its limit.

    It waits there until an earlier step back has had its week: nothing is measured anew then.
    """
    rule = programme.rule.flare
    if _unsettled(programme, episode, today) or not reaches(episode.excess, rule.limit.value):
        return None
    numbers = {"excess": episode.excess, "limit": rule.limit.value, "level": episode.level or 0.0}
    why = reason(ReasonCode.FLARE, rule.limit, rule.allowance, rule.half_life_weeks, **numbers)
    return why, episode.step - 1


def _unsettled(programme: Programme, episode: Episode, today: dt.date) -> bool:
    """Whether an earlier step back still has to work: the same evenings must not cause another."""
    if episode.stay_until is not None and today < episode.stay_until:
        return True
    backs = episode.step_backs
    return bool(backs) and (today - backs[-1]).days < programme.rule.weeks.settle_days.value


def _step_back(programme: Programme, out: Outcome, today: dt.date, calls: list[Call]) -> None:
    reasons = [why for why, _ in calls]
    codes = {why.code for why in reasons}
    target = calls[0][1]
    if ReasonCode.SEVERE_TWICE in codes:
        out.notices.append(NoticeKind.SEVERE_TWICE)
    if pinned(out.episode, today):
        until = out.episode.pinned_until or today
        out.because(ReasonCode.STAY_PINNED, days=(until - today).days)
        out.reasons.extend(reasons)
        _stay_here(out)
    elif target < 1:
        _count(programme, out, today)
        out.reasons.extend(replace(why, code=_ON_LOWEST.get(why.code, why.code)) for why in reasons)
        _stay_here(out)
    else:
        _count(programme, out, today)
        out.reasons.extend(reasons)
        _go_back(programme, out, today, target)
    if ReasonCode.FLARE in codes:
        stay = today + dt.timedelta(days=int(programme.rule.flare.stay_days.value))
        out.episode = replace(out.episode, flared=today, stay_until=stay)


def _count(programme: Programme, out: Outcome, today: dt.date) -> None:
    """One entry for each evening that called for a step back, also where there is no lower step."""
    rule = programme.rule.attention
    out.episode = replace(out.episode, step_backs=(*out.episode.step_backs, today))
    if len(out.episode.step_backs) >= rule.step_backs.value:
        out.notices.append(NoticeKind.THIRD_STEP_BACK)


def _go_back(programme: Programme, out: Outcome, today: dt.date, target: int) -> None:
    fallen = out.episode.step - target
    # A gap that is due the same evening asks for no further step: this one is counted towards it.
    taken = min(out.episode.idle_steps_taken + fallen, steps_due(programme.rule.gap, out.episode.idle_days))
    out.move = Move.REGRESS
    out.episode = replace(enter(programme, out.episode, target, today), idle_steps_taken=taken)


def _stay_here(out: Outcome) -> None:
    """Measures anew from here, as a step back would: else one lasting rise would call every few evenings."""
    out.episode = replace(out.episode, excess=0.0)


def _high_day(programme: Programme, out: Outcome, trend: Trend, pain: int) -> None:
    """One day's pain changes tomorrow only: rest when severe, else half the sets as holds."""
    severe, ceiling = programme.rule.severe, programme.rule.ceiling
    if pain >= severe.limit.value:
        out.rest = out.ask_red_flags = True
        again = trend.count_from(severe.limit.value, severe.days.value, None) >= severe.times.value
        out.see_clinician = out.see_clinician or again
        if not {ReasonCode.SEVERE_ONCE, ReasonCode.SEVERE_TWICE} & {why.code for why in out.reasons}:
            out.because(ReasonCode.SEVERE_ONCE, severe.limit, pain=pain, limit=severe.limit.value)
    elif pain > ceiling.day.value:
        out.halve = True
        out.because(ReasonCode.ABOVE_CEILING_DAY, ceiling.day, pain=pain, limit=ceiling.day.value)


def ease(programme: Programme, out: Outcome, pain: int) -> None:
    """What one bad evening means for the day after where nothing else is weighed: rest, or half the sets as holds."""
    severe, ceiling = programme.rule.severe, programme.rule.ceiling
    if pain >= severe.limit.value:
        out.rest = True
        out.because(ReasonCode.SEVERE_ONCE, severe.limit, pain=pain, limit=severe.limit.value)
    elif pain > ceiling.day.value:
        out.halve = True
        out.because(ReasonCode.ABOVE_CEILING_DAY, ceiling.day, pain=pain, limit=ceiling.day.value)


def _worse_week(programme: Programme, out: Outcome, trend: Trend) -> None:
    """A mean that rose, but not by enough to step back: stay, and take back a recent rise of the load."""
    rule, episode = programme.rule.weeks, out.episode
    change = trend.change(rule.ratings.value)
    if change is None or change < rule.up.value:
        return
    out.because(ReasonCode.WEEK_UP, rule.up, change=change, limit=rule.up.value)
    raised = episode.load_raised
    if raised is None or (trend.today - raised).days > rule.ease_days.value:
        return
    floor = min(episode.load_g, programme.step(episode.step).floor_g)
    load = max(episode.load_g - int(rule.ease_g.value), floor)
    if load < episode.load_g:
        out.because(ReasonCode.LOAD_DOWN, rule.ease_g, grams=episode.load_g - load, load=load)
        # Forgetting the rise makes sure that it is taken back once only.
        out.episode = replace(episode, load_g=load, load_changed=trend.today, load_raised=None)
