"""What pain calls back: severe days, a mean above the ceiling, a flare. A worse week only keeps people where they are.

A flare eases the dose and keeps the ladder: holds until a quiet week has passed, one step below where it began. The
others, and a second flare within the weeks that are counted, go back for real: the steps are climbed anew.
"""

import datetime as dt
from dataclasses import dataclass, replace

from core.model import Episode, Move, NoticeKind, Reason, ReasonCode
from core.programme import Programme
from core.rule.counted import reaches
from core.rule.course import enter, is_pinned
from core.rule.draft import Draft, reason
from core.rule.gaps import steps_due
from core.rule.trend import Trend

# On the lowest step nobody steps back, so that the reason given must not say so.
_ON_LOWEST = {
    ReasonCode.SEVERE_TWICE: ReasonCode.SEVERE_ONCE,
    ReasonCode.FLARE: ReasonCode.STAY_EXCESS,
    ReasonCode.FLARE_AGAIN: ReasonCode.STAY_EXCESS,
}


@dataclass(frozen=True, slots=True)
class Call:
    """Why a step back is called for, and to which step (0: there is none below); `eases` where a flare begins."""

    why: Reason
    target: int
    eases: bool = False


def apply_setback(programme: Programme, out: Draft, trend: Trend, pain: int) -> bool:
    """Writes into the draft what tonight's pain calls for; True when it called for a step back.

    Only the first of several calls moves: nobody goes back twice in one evening. On the lowest step and on a
    pinned one the call is written down and the person stays. Any call forbids moving up for a while.
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
    after = episode.setbacks[-1] if on_holds and episode.setbacks else None
    if trend.count_from(rule.limit.value, rule.days.value, after) < rule.times.value:
        return None
    numbers = {"pain": pain, "limit": rule.limit.value, "days": rule.days.value}
    why = reason(ReasonCode.SEVERE_TWICE, rule.limit, rule.times, rule.days, **numbers)
    return Call(why, step.number - 1 if on_holds else step.holds)


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
    return Call(reason(ReasonCode.ABOVE_CEILING_WEEK, limit, mean=trend.week_mean, limit=limit.value), target)


def _flare(programme: Programme, episode: Episode, today: dt.date) -> Call | None:
    """The running excess at its limit.

    It waits there until an earlier step back has had its week, and one that is being eased until that has had its
    time: nothing is measured anew then.
    """
    rule = programme.rule.flare
    if _unsettled(programme, episode, today) or not reaches(episode.excess, rule.limit.value):
        return None
    numbers = {"excess": episode.excess, "limit": rule.limit.value, "level": episode.level or 0.0}
    figures = (rule.limit, rule.allowance, rule.half_life_weeks)
    below, flared = episode.step - 1, episode.flared
    if flared is not None and (today - flared).days < programme.rule.attention.setback_days.value:
        again = reason(ReasonCode.FLARE_AGAIN, *figures, **numbers)
        return Call(again, min(programme.step(episode.step).holds, below))
    return Call(reason(ReasonCode.FLARE, *figures, **numbers), below, eases=True)


def _unsettled(programme: Programme, episode: Episode, today: dt.date) -> bool:
    """Whether an earlier step back still has to work: the same evenings must not cause another."""
    rule = programme.rule
    if episode.eased_since is not None:
        return (today - episode.eased_since).days < rule.flare.lasts_days.value
    if episode.stay_until is not None and today < episode.stay_until:
        return True
    backs = episode.setbacks
    return bool(backs) and (today - backs[-1]).days < rule.weeks.settle_days.value


def _step_back(programme: Programme, out: Draft, today: dt.date, calls: list[Call]) -> None:
    reasons, first = [call.why for call in calls], calls[0]
    codes = {why.code for why in reasons}
    if ReasonCode.SEVERE_TWICE in codes:
        out.notices.append(NoticeKind.SEVERE_TWICE)
    if is_pinned(out.episode, today):
        until = out.episode.pinned_until or today
        out.because(ReasonCode.STAY_PINNED, days=(until - today).days)
        out.reasons.extend(reasons)
        _stay_here(programme, out, today, eases=first.eases)
    else:
        _count(programme, out, today)
        if first.target < 1:
            reasons = [replace(why, code=_ON_LOWEST.get(why.code, why.code)) for why in reasons]
            _stay_here(programme, out, today, eases=False)
        else:
            _go_back(programme, out, today, first)
        out.reasons.extend(reasons)
    stay = today + dt.timedelta(days=int(programme.rule.weeks.settle_days.value))
    flared = today if codes & {ReasonCode.FLARE, ReasonCode.FLARE_AGAIN} else out.episode.flared
    out.episode = replace(out.episode, flared=flared, stay_until=stay)


def _count(programme: Programme, out: Draft, today: dt.date) -> None:
    """One entry for each evening that called for less, also where there is no lower step."""
    rule = programme.rule.attention
    out.episode = replace(out.episode, setbacks=(*out.episode.setbacks, today))
    if len(out.episode.setbacks) >= rule.setbacks.value:
        out.notices.append(NoticeKind.THIRD_SETBACK)


def _go_back(programme: Programme, out: Draft, today: dt.date, call: Call) -> None:
    before = out.episode
    fallen = before.step - call.target
    # A gap that is due the same evening asks for no further step: this one is counted towards it.
    taken = min(before.idle_steps_taken + fallen, steps_due(programme.rule.gap, before.idle_days))
    lower = enter(programme, before, call.target, today, afresh=not call.eases)
    out.move = Move.REGRESS
    out.plan = before  # tomorrow is no harder than it would have been
    out.episode = replace(lower, idle_steps_taken=taken, eased_since=today if call.eases else None)


def _stay_here(programme: Programme, out: Draft, today: dt.date, *, eases: bool) -> None:
    """Measures anew from here, as a step back would: else one lasting rise would call every few evenings."""
    out.episode = replace(out.episode, excess=0.0, weight_asked=None)
    if eases:
        out.plan = out.episode
        out.episode = replace(enter(programme, out.episode, out.episode.step, today), eased_since=today)


def settle(programme: Programme, out: Draft, trend: Trend) -> None:
    """Ends the holds of a flare once they have had their days and a quiet week has passed, or says why not yet."""
    rule, since = programme.rule.flare, out.episode.eased_since
    if since is None:
        return
    left = int(rule.stay_days.value) - (trend.today - since).days
    if left > 0 or not _is_quiet(programme, out, trend):
        out.because(ReasonCode.STAY_EASED, rule.stay_days, days=max(left, 1))
        return
    tomorrow = trend.today + dt.timedelta(days=1)
    stay = trend.today + dt.timedelta(days=int(programme.rule.weeks.settle_days.value))
    out.episode = replace(out.episode, eased_since=None, since=tomorrow, stay_until=stay)
    out.because(ReasonCode.FLARE_OVER, rule.stay_days, days=(trend.today - since).days)


def _is_quiet(programme: Programme, out: Draft, trend: Trend) -> bool:
    """A week of enough ratings in which nothing has gathered and nothing rose."""
    rule = programme.rule
    quiet = out.episode.excess <= rule.flare.allowance.value and not out.reasons
    return quiet and trend.is_rated(rule.weeks.ratings.value)


def _high_day(programme: Programme, out: Draft, trend: Trend, pain: int) -> None:
    """One day's pain changes tomorrow only; a severe one is asked about, and a second one is for a clinician."""
    severe = programme.rule.severe
    if pain >= severe.limit.value:
        out.ask_red_flags = True
        again = trend.count_from(severe.limit.value, severe.days.value, None) >= severe.times.value
        out.see_clinician = out.see_clinician or again
    ease(programme, out, pain)


def ease(programme: Programme, out: Draft, pain: int) -> None:
    """What one bad evening means for the day after, whatever else is weighed: rest, or half the sets as holds."""
    severe, ceiling = programme.rule.severe, programme.rule.ceiling
    if pain >= severe.limit.value:
        out.rest = True
        if not {ReasonCode.SEVERE_ONCE, ReasonCode.SEVERE_TWICE} & {why.code for why in out.reasons}:
            out.because(ReasonCode.SEVERE_ONCE, severe.limit, pain=pain, limit=severe.limit.value)
    elif pain > ceiling.day.value:
        out.halve = True
        out.because(ReasonCode.ABOVE_CEILING_DAY, ceiling.day, pain=pain, limit=ceiling.day.value)


def _worse_week(programme: Programme, out: Draft, trend: Trend) -> None:
    """A mean that rose: stay, and take back a recent rise of the load."""
    rule, episode = programme.rule.weeks, out.episode
    change = trend.change(rule.ratings.value)
    if change is None or change < rule.up.value:
        return
    out.because(ReasonCode.WEEK_UP, rule.up, change=change, limit=rule.up.value)
    raised = episode.load_raised
    if raised is None or (trend.today - raised).days > rule.ease_days.value:
        return
    least = min(episode.load_g, int(programme.rule.load.least_g.value))
    load = max(episode.load_g - int(rule.ease_g.value), least)
    if load < episode.load_g:
        out.because(ReasonCode.LOAD_DOWN, rule.ease_g, grams=episode.load_g - load, load=load)
        # Forgetting the rise makes sure that it is taken back once only.
        out.episode = replace(episode, load_g=load, load_changed=trend.today, load_raised=None)
