"""The draft that one evening's rules write into, and the decision it is sealed as."""

import datetime as dt
from dataclasses import dataclass, field

from core.model import Decision, Episode, Figure, Flag, Move, NoticeKind, Reason, ReasonCode
from core.programme import Programme
from core.rule.dose import dose_on, halved, rest_of, work

RULE_VERSION = "4"


@dataclass(slots=True)
class Draft:
    """What the rules have come to so far: the first reason is the deciding one.

    `rest` and `halve` change tomorrow's dose only, whatever the move is.
    """

    episode: Episode
    move: Move = Move.HOLD
    reasons: list[Reason] = field(default_factory=list)
    notices: list[NoticeKind] = field(default_factory=list)
    rest: bool = False
    halve: bool = False
    ask_red_flags: bool = False
    see_clinician: bool = False
    ask_weight: bool = False
    plan: Episode | None = None  # as it stood before a step back: tomorrow is no harder than it would have been

    def because(self, code: ReasonCode, *figures: Figure, **numbers: float) -> None:
        """Adds a reason with its numbers and the figures it was measured against."""
        self.reasons.append(reason(code, *figures, **numbers))

    def stay_paused(self, **numbers: float) -> None:
        """Nothing is asked: the stop goes on."""
        self.move = Move.PAUSE
        self.because(ReasonCode.STILL_PAUSED, **numbers)


def reason(code: ReasonCode, *figures: Figure, **numbers: float) -> Reason:
    return Reason(code, tuple(numbers.items()), figures)


def seal(programme: Programme, out: Draft, today: dt.date, flag: Flag | None = None) -> Decision:
    """The decision for tomorrow that the draft comes to."""
    episode = out.episode
    tomorrow = today + dt.timedelta(days=1)
    if out.move is Move.PAUSE:
        dose = None
    else:
        dose = dose_on(programme, episode, tomorrow)
        if out.plan is not None and work(planned := dose_on(programme, out.plan, tomorrow)) < work(dose):
            dose = rest_of(programme, episode) if not planned.asked else halved(programme, episode, dose)
        if out.rest:
            dose = rest_of(programme, episode)
        elif out.halve and dose.asked:
            dose = halved(programme, episode, dose)
    return Decision(
        date=today,
        move=out.move,
        step=episode.step,
        dose=dose,
        for_date=tomorrow,
        reasons=tuple(out.reasons),
        after=episode,
        programme_version=programme.version,
        rule_version=RULE_VERSION,
        notices=tuple(out.notices),
        flag=flag,
        ask_red_flags=out.ask_red_flags,
        see_clinician=out.see_clinician,
        ask_weight=out.ask_weight,
    )
