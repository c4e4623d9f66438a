"""The rule: one evening's facts in, one decision out. Pure: the same input gives the same output for ever.

In order: danger, what pain calls back (severe days, ceiling, flare), gaps, moving up, staying; beside them the
looks for no important change.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from core.model import DANGER, Decision, Episode, Evening, Flag, Move, NoticeKind, Reason, ReasonCode
from core.programme import Programme
from core.programme.thresholds import Plateau
from core.rule.climb import climb
from core.rule.counted import count_evening
from core.rule.course import begin, is_stopped, is_unloaded
from core.rule.dose import dose_on
from core.rule.draft import RULE_VERSION, Draft, reason, seal
from core.rule.gaps import apply_gap, back_after
from core.rule.reported import answer_weight, deny_signs, report_injection, report_weight
from core.rule.setback import apply_setback, ease, settle
from core.rule.trend import Trend, look

__all__ = [
    "RULE_VERSION", "answer_weight", "begin", "clear_danger", "decide", "deny_signs", "dose_on", "report_danger",
    "report_injection", "report_weight", "resume",
]  # fmt: skip

_SERIOUS_FIRST = tuple(Flag)
_STOPPING = DANGER | {Flag.CIRCUMSTANCE}


def decide(programme: Programme, episode: Episode, diary: Sequence[Evening], today: dt.date) -> Decision:
    """The decision for the evening `today`, which the episode has not counted yet.

    `diary` is sorted by date; entries after `today` and more than 42 days before it are not read. No entry
    for today means that nobody asked. Raises ProgrammeError when the episode stands on a step that the
    programme does not have.
    """
    trend = look(diary, today)
    evening = trend.evening
    flag = evening.flag if evening is not None else None
    if evening is not None and evening.pain is not None and (flag in DANGER or episode.paused_for):
        episode = replace(episode, paused_pain=evening.pain)
    if is_stopped(episode):
        return _stay_stopped(programme, episode, today, flag)
    if flag in DANGER and flag is not None:
        return report_danger(programme, episode, today, flag)
    if episode.completed:
        return _stay_completed(programme, episode, today, flag)
    out = Draft(episode, notices=_questions(flag))
    if evening is None or not (evening.asked or evening.pain is not None or evening.sets_done is not None):
        out.because(ReasonCode.NOT_ASKED)
        return seal(programme, out, today, flag)
    _weigh(programme, out, trend, evening)
    if out.ask_red_flags and evening.pain is not None:  # they are put beside the answer to this evening
        out.episode = replace(out.episode, signs_asked=today)
    _say_why_no_sets(programme, out, today)
    return seal(programme, out, today, flag)


def _say_why_no_sets(programme: Programme, out: Draft, today: dt.date) -> None:
    until, asked = out.episode.unloaded_until, out.episode.signs_asked
    if until is not None and is_unloaded(out.episode, today + dt.timedelta(days=1)):
        days = (until - today).days - 1
        out.reasons.insert(0, reason(ReasonCode.UNLOADED, programme.rule.injection.rest_days, days=days))
    if asked is not None and asked < today:
        out.reasons.insert(0, reason(ReasonCode.SIGNS_OPEN))


def _weigh(programme: Programme, out: Draft, trend: Trend, evening: Evening) -> None:
    before = out.episode
    out.episode = count_evening(programme, before, trend, evening)
    if before.silent_days < programme.rule.attention.silent_days.value <= out.episode.silent_days:
        out.notices.append(NoticeKind.SILENT)
    called = evening.pain is not None and apply_setback(programme, out, trend, evening.pain)
    latest = None
    if out.episode.idle_days >= programme.rule.gap.restart_days.value:
        latest = trend.latest()
    gone = apply_gap(programme, out, before.idle_days, trend.today, latest)
    if evening.pain is None:
        out.because(ReasonCode.NO_ANSWER)
        return
    _look_for_plateau(programme, out, trend, before.first_week_mean)
    if evening.woke_worse:  # how the sets were borne shows on the next morning; tomorrow's are half
        out.halve = True
        out.because(ReasonCode.WORSE_ON_WAKING)
    if called or gone or is_unloaded(out.episode, trend.today):
        return
    if before.eased_since is not None:
        settle(programme, out, trend)
    else:
        climb(programme, out, trend)


def _look_for_plateau(programme: Programme, out: Draft, trend: Trend, first_week_before: float | None) -> None:
    """Adds a notice when a look is due and finds too small a fall; each look is made once and kept in `told`.

    `first_week_before` is the first week's mean as it stood before tonight. A look that falls due before that
    mean is known is passed over: there is nothing yet to compare with.
    """
    first, rule = out.episode.first_week_mean, programme.rule.plateau
    if first is None or trend.week_ratings < programme.rule.weeks.ratings.value:
        return
    mean, day = trend.mean(rule.mean_days.value), (trend.today - out.episode.started).days + 1
    for kind, due in (
        (NoticeKind.PLATEAU_6_WEEKS, rule.early_days),
        (NoticeKind.PLATEAU_12_WEEKS, rule.middle_days),
        (NoticeKind.PLATEAU_26_WEEKS, rule.late_days),
    ):
        if day < due.value or kind.value in out.episode.told:
            continue
        out.episode = replace(out.episode, told=out.episode.told | {kind.value})
        if first_week_before is not None and _too_small(rule, kind, first, mean):
            out.notices.append(kind)
            out.see_clinician = out.see_clinician or kind is not NoticeKind.PLATEAU_6_WEEKS


def _too_small(rule: Plateau, kind: NoticeKind, first: float, mean: float) -> bool:
    """Source of shares and points: Farrar 2001 and IMMPACT 2008, as the programme file names them."""
    if mean <= rule.quiet_mean.value:
        return False
    fall = round(first - mean, 9)
    if first < rule.low_start.value:
        return kind is not NoticeKind.PLATEAU_6_WEEKS and fall < rule.points.value
    if kind is NoticeKind.PLATEAU_6_WEEKS:
        return fall < rule.early_share.value * first
    if kind is NoticeKind.PLATEAU_12_WEEKS:
        return fall < rule.middle_share.value * first and fall < rule.points.value
    return fall < rule.late_share.value * first


def report_danger(programme: Programme, episode: Episode, today: dt.date, flag: Flag) -> Decision:
    """Stops the programme until the therapist clears it; of two dangers the more serious is kept.

    So does a circumstance that they have to look at first. Raises ValueError for a flag that stops nothing.
    """
    if flag not in _STOPPING:
        raise ValueError(f"{flag.value} is no danger; expected one of {', '.join(sorted(_STOPPING))}")
    kept = min((flag, episode.paused_for or flag), key=_SERIOUS_FIRST.index)
    since = episode.paused_since or today
    stopped = replace(episode, paused_for=kept, paused_since=since, signs_asked=None)
    out = Draft(stopped, move=Move.PAUSE, notices=[NoticeKind.DANGER])
    out.because(ReasonCode.DANGER)
    return seal(programme, out, today, flag)


def clear_danger(programme: Programme, episode: Episode, today: dt.date) -> Decision:
    """The therapist lifts the stop; the days it lasted count towards the gap.

    After a very bad evening the first dose is a rest day, or half of one, all the same. Nobody moves up within a week.
    """
    days = (today - episode.paused_since).days if episode.paused_since is not None else 0
    settled = today + dt.timedelta(days=int(programme.rule.weeks.settle_days.value))
    pain, lifted = episode.paused_pain, replace(
        episode, paused_for=None, paused_since=None, paused_pain=None, stay_until=settled
    )
    first = reason(ReasonCode.OVERRIDE, days=days)
    if lifted.completed:
        return _stay_completed(programme, lifted, today, None, first)
    if lifted.stopped is not None:  # the therapist's own stop outlasts this one, and counts these days itself
        return _stay_stopped(programme, lifted, today, None, first)
    out = back_after(programme, lifted, today, days, first)
    if pain is not None:
        ease(programme, out, pain)
    return seal(programme, out, today)


def resume(programme: Programme, episode: Episode, today: dt.date, days_away: int) -> Decision:
    """After the person's own pause: `days_away` count towards the gap. A stop stays a stop.

    The first reason always carries the days, so that the same decision can be made again from it.
    """
    days = max(days_away, 0)
    if is_stopped(episode):
        return _stay_stopped(programme, episode, today, None, days=days)
    if episode.completed:
        return _stay_completed(programme, episode, today, None, reason(ReasonCode.RESUMED, days=days))
    away = reason(ReasonCode.RESUMED, days=days)
    return seal(programme, back_after(programme, episode, today, days, away), today)


def _stay_stopped(
    programme: Programme, episode: Episode, today: dt.date, flag: Flag | None, *first: Reason, **numbers: float
) -> Decision:
    if flag in DANGER and flag is not None:
        return report_danger(programme, episode, today, flag)
    out = Draft(episode, reasons=list(first), notices=_questions(flag))
    out.stay_paused(**numbers)
    return seal(programme, out, today, flag or episode.paused_for)


def _stay_completed(
    programme: Programme, episode: Episode, today: dt.date, flag: Flag | None, *first: Reason
) -> Decision:
    out = Draft(episode, notices=_questions(flag))
    step = programme.step(episode.step)
    out.reasons += [*first, reason(ReasonCode.COMPLETED, step.least_days, days=step.least_days.value)]
    return seal(programme, out, today, flag)


def _questions(flag: Flag | None) -> list[NoticeKind]:
    return [NoticeKind.CLINICAL_QUESTION] if flag is Flag.CLINICAL_QUESTION else []
