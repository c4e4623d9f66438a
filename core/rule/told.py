"""What is told beside an evening's numbers: an injection, and that the signs asked about are not there."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from core.model import Decision, Episode, Evening, Flag, Move, ReasonCode
from core.programme import Programme
from core.rule.course import enter, is_stopped
from core.rule.outcome import Outcome, seal
from core.rule.setback import ease
from core.rule.trend import look


def report_injection(programme: Programme, episode: Episode, today: dt.date) -> Decision:
    """No load from tomorrow for as many days as the programme says, then its gentle step (evidence rows L6 and G4).

    Nothing moves up until the therapist has looked: the number falls for weeks without the tendon being stronger.
    """
    rest = programme.rule.injection.rest_days
    until = today + dt.timedelta(days=1 + int(rest.value))
    until = max(until, episode.unloaded_until or until)
    out = Outcome(replace(episode, unloaded_until=until, awaits_look=True))
    out.because(ReasonCode.INJECTION, rest, days=rest.value)
    gentle = programme.numbered(programme.rule.begin.gentle_step)
    if not episode.completed and gentle <= episode.step:
        out.episode = replace(enter(programme, out.episode, gentle, today), since=max(until, episode.started))
    if is_stopped(episode):
        out.move = Move.PAUSE
        out.because(ReasonCode.STILL_PAUSED)
    elif out.episode.step < episode.step:
        out.move = Move.REGRESS
    return seal(programme, out, today, Flag.INJECTION)


def deny_signs(programme: Programme, episode: Episode, diary: Sequence[Evening], today: dt.date) -> Decision:
    """The red-flag questions are answered with no: sets may be asked again, as after the evening `today` alone."""
    out = Outcome(replace(episode, signs_asked=None))
    out.because(ReasonCode.NO_SIGNS)
    if is_stopped(episode):
        out.move = Move.PAUSE
        out.because(ReasonCode.STILL_PAUSED)
        return seal(programme, out, today, episode.paused_for)
    evening = look(diary, today).evening
    if evening is not None and evening.pain is not None:
        ease(programme, out, evening.pain)
    return seal(programme, out, today)
