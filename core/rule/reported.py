"""What is reported beside an evening's numbers: the weight, an injection, signs that are not there."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from core.model import Decision, Episode, Evening, Figure, Flag, Move, ReasonCode
from core.programme import Programme, Step
from core.rule.course import enter, is_stopped, served
from core.rule.draft import Draft, reason, seal
from core.rule.setback import ease
from core.rule.trend import Trend, look
from core.understanding import Felt

# Stored for ever: a code keeps its meaning.
FELT_CODES = {Felt.EASY: 1, Felt.RIGHT: 2, Felt.TOO_MUCH: 3}


def consider_weight(programme: Programme, out: Draft, trend: Trend, step: Step) -> None:
    """On an evening on which nothing but time keeps a person: take silence about the weight for what it is, or ask.

    Asked is on the evenings of a first trial, and then once a week, of who did sets tonight.
    """
    if not step.cap_g:
        return
    if out.episode.weight_asked is not None:
        _unanswered(programme, out, trend.today, step)
    elif _is_time(programme, out.episode, trend, step):
        out.ask_weight = True
        out.episode = replace(out.episode, weight_asked=trend.today)


def _is_time(programme: Programme, episode: Episode, trend: Trend, step: Step) -> bool:
    rule, today = programme.rule.load, trend.today
    if episode.load_g >= step.cap_g or not trend.trained_tonight or served(episode, today) < 1:
        return False
    if is_trying(episode, today):
        return True
    changed, every = episode.load_changed, rule.every_days.value
    recent = changed is not None and (today - changed).days < every
    return trend.trained_days >= rule.trained_days.value and not recent


def is_trying(episode: Episode, today: dt.date) -> bool:
    """Whether the weight is still being found: every trained evening asks how it was."""
    return episode.trying_until is not None and today < episode.trying_until


def _unanswered(programme: Programme, out: Draft, today: dt.date, step: Step) -> None:
    """Nothing was said of the weight: a little more at most, as if it had been right, and nothing within a trial."""
    rule = programme.rule.load
    out.episode = replace(out.episode, weight_asked=None)
    if is_trying(out.episode, today):
        return
    if step.rises:
        _change(out, today, step, int(rule.silent_g.value), rule.silent_g, rule.every_days)
    # the question was an evening ago at the latest: so a week stays a week
    out.episode = replace(out.episode, load_changed=today - dt.timedelta(days=1))


def answer_weight(
    programme: Programme, episode: Episode, diary: Sequence[Evening], today: dt.date, felt: Felt
) -> Decision:
    """How the weight of the evening `today` felt: more, as much or less from tomorrow on.

    Where the question does not stand any more, since another answer was changed, nothing follows from it.
    """
    out = Draft(episode, reasons=[reason(ReasonCode.WEIGHT_FELT, felt=FELT_CODES[felt])])
    step = programme.step(episode.step)
    if episode.weight_asked == today and not is_stopped(episode) and step.cap_g:
        _follow(programme, out, today, step, felt)
    return _sealed(programme, out, diary, today)


def _follow(programme: Programme, out: Draft, today: dt.date, step: Step, felt: Felt) -> None:
    rule, trying = programme.rule.load, is_trying(out.episode, today)
    out.episode = replace(out.episode, weight_asked=None)
    if felt is Felt.EASY:
        more = rule.try_g if trying else rule.easy_g
        _change(out, today, step, int(more.value), more)
        return
    out.episode = replace(out.episode, trying_until=None, load_changed=today)
    if felt is Felt.TOO_MUCH:
        _change(out, today, step, -int(rule.too_much_g.value), rule.too_much_g, least=int(rule.least_g.value))
    elif step.rises and not trying:
        _change(out, today, step, int(rule.right_g.value), rule.right_g)


def report_weight(
    programme: Programme, episode: Episode, diary: Sequence[Evening], today: dt.date, grams: int
) -> Decision:
    """The weight that the person says they used on `today` is theirs, within what the step allows.

    Not more than before while pain gathers or an evening was bad: then only a lighter one counts.
    """
    out = Draft(episode, reasons=[reason(ReasonCode.WEIGHT_USED, load=grams)])
    step, evening = programme.step(episode.step), look(diary, today).evening
    if not is_stopped(episode) and step.cap_g:
        rule = programme.rule
        load = min(max(grams, int(rule.load.least_g.value)), step.cap_g)
        high = evening is not None and evening.pain is not None and evening.pain > rule.ceiling.day.value
        if high or episode.eased_since is not None or episode.excess > rule.flare.allowance.value:
            load = min(load, episode.load_g)
        out.episode = replace(episode, weight_asked=None, trying_until=None)
        _change(out, today, step, load - episode.load_g, least=load)
        if grams > out.episode.load_g:
            out.because(ReasonCode.WEIGHT_CAPPED, load=out.episode.load_g)
    return _sealed(programme, out, diary, today)


def _change(
    out: Draft, today: dt.date, step: Step, grams: int, *figures: Figure, least: int = 0
) -> None:
    """So many grams more, up to the step's cap, or less, down to `least`."""
    before = out.episode.load_g
    load = min(before + grams, step.cap_g) if grams > 0 else max(before + grams, min(before, least))
    raised = today if load > before else None
    if load > before:
        out.because(ReasonCode.LOAD_UP, *figures, grams=load - before, load=load)
    elif load < before:
        out.because(ReasonCode.LOAD_DOWN, *figures, grams=before - load, load=load)
    out.episode = replace(out.episode, load_g=load, load_changed=today, load_raised=raised)


def _sealed(programme: Programme, out: Draft, diary: Sequence[Evening], today: dt.date) -> Decision:
    """Tomorrow as the evening alone would have it, with what was said beside."""
    if is_stopped(out.episode):
        out.stay_paused()
        return seal(programme, out, today, out.episode.paused_for)
    evening = look(diary, today).evening
    if evening is not None and evening.pain is not None:
        ease(programme, out, evening.pain)
    return seal(programme, out, today)


def report_injection(programme: Programme, episode: Episode, today: dt.date) -> Decision:
    """No load from tomorrow for as many days as the programme says, then its gentle step (Couppé 2022).

    Nothing moves up until the therapist has looked: the number falls for weeks without the tendon being stronger
    (Bisset 2006).
    """
    rest = programme.rule.injection.rest_days
    until = today + dt.timedelta(days=1 + int(rest.value))
    until = max(until, episode.unloaded_until or until)
    out = Draft(replace(episode, unloaded_until=until, awaits_look=True))
    out.because(ReasonCode.INJECTION, rest, days=rest.value)
    gentle = programme.numbered(programme.rule.begin.gentle_step)
    if not episode.completed and gentle <= episode.step:
        out.episode = replace(enter(programme, out.episode, gentle, today), since=max(until, episode.started))
    if is_stopped(episode):
        out.stay_paused()
    elif out.episode.step < episode.step:
        out.move = Move.REGRESS
    return seal(programme, out, today, Flag.INJECTION)


def deny_signs(programme: Programme, episode: Episode, diary: Sequence[Evening], today: dt.date) -> Decision:
    """The red-flag questions are answered with no: sets may be asked again, as after the evening `today` alone."""
    out = Draft(replace(episode, signs_asked=None))
    out.because(ReasonCode.NO_SIGNS)
    return _sealed(programme, out, diary, today)
