"""What days without a single set bring: a lighter load, steps back, a new start."""

import datetime as dt
from dataclasses import replace

from core.model import Episode, Move, NoticeKind, Reason, ReasonCode
from core.programme import Programme
from core.programme.thresholds import Gap
from core.rule.course import enter, is_pinned
from core.rule.draft import Draft, reason


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


def back_after(programme: Programme, episode: Episode, today: dt.date, days: int, first: Reason) -> Draft:
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
