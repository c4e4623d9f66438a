"""The therapist's acts as decisions: move a person, keep them on a step, change a gate, stop the programme and let it
go on.

An act takes effect on the day after the decision's date; a therapist's "from today" is dated yesterday. What was
done stands in the first reason's numbers, so that a stored decision can be made again from it alone.
"""

import datetime as dt
from dataclasses import dataclass, replace
from enum import StrEnum

from core.errors import OverrideError
from core.model import Decision, Episode, Figure, Move, Provenance, Reason, ReasonCode
from core.programme import Programme
from core.rule.course import enter, is_stopped
from core.rule.dose import Amounts, amounts_of, check_amounts, numbers_of, with_amounts
from core.rule.draft import Draft, reason, seal
from core.rule.gaps import back_after

# Beyond a quarter the reason for keeping somebody has to be looked at again.
LONGEST_STAY = Figure("override.longest_stay_days", 90.0, Provenance.JUDGEMENT)
GATE_STEP = 0.5  # a weekly mean of seven whole ratings says no finer than that; judgement


class Act(StrEnum):
    """What the therapist does."""

    UP = "up"  # one step
    BACK = "back"  # one step
    TO = "to"  # a step of their choice
    PIN = "pin"  # stay on the present step: the rule moves nobody up or back before the date
    UNPIN = "unpin"
    STOP = "stop"  # no dose until the therapist lets it go on
    GO_ON = "go_on"
    GATE = "gate"  # another weekly mean lets this person into a step
    UNGATE = "ungate"  # the programme's again
    LOOKED = "looked"  # at a place that had an injection: it may move up again
    DOSE = "dose"  # kilograms, sets, repetitions, the most pain, for this person


# Stored for ever: a code keeps its meaning.
_CODES = {
    Act.UP: 1, Act.BACK: 2, Act.TO: 3, Act.PIN: 4, Act.UNPIN: 5, Act.STOP: 6, Act.GO_ON: 7, Act.GATE: 8, Act.UNGATE: 9,
    Act.LOOKED: 10, Act.DOSE: 11,
}  # fmt: skip
QUIET = frozenset({Act.PIN, Act.UNPIN, Act.GATE, Act.UNGATE, Act.LOOKED})  # the person's next day is as it was
_ACTS = {code: act for act, code in _CODES.items()}
_MOVING = frozenset({Act.UP, Act.BACK, Act.TO})
_OF_A_GATE = frozenset({Act.GATE, Act.UNGATE})
_OF_A_STEP = _OF_A_GATE | {Act.TO}


@dataclass(frozen=True, slots=True)
class Override:
    """One act. `step` is where TO leads or into which a gate opens, `until` (the first date the rule may move again)
    belongs to PIN alone, `gate` (weekly mean at most, 0-10 by halves) to GATE alone, `amounts` to DOSE alone."""

    act: Act
    step: int | None = None
    until: dt.date | None = None
    gate: float | None = None
    amounts: Amounts | None = None

    def __post_init__(self) -> None:
        given = (self.step is not None, self.until is not None, self.gate is not None, self.amounts is not None)
        if given != (self.act in _OF_A_STEP, self.act is Act.PIN, self.act is Act.GATE, self.act is Act.DOSE):
            raise ValueError(
                f"{self}: a step goes with {', '.join(sorted(_OF_A_STEP))} only, a date with {Act.PIN.value} only, "
                f"a gate with {Act.GATE.value} only, amounts with {Act.DOSE.value} only"
            )


def override(programme: Programme, episode: Episode, today: dt.date, act: Override) -> Decision:
    """The decision that carries out the act, in effect from the day after `today`.

    Moving up enters the step as the rule would; moving back never raises the load and counts among the step backs.
    Pins outlast moves. Raises OverrideError for what cannot be done: a step the ladder does not have or the person
    is on, a date not ahead or too far, a gate that is no weekly mean, a stop for danger, a completed course, nothing to
    lift or let go on.
    """
    _check(programme, episode, today, act)
    if act.act in _MOVING:
        return _move(programme, episode, today, act)
    if act.act is Act.GO_ON and episode.stopped is not None:
        days = max((today - episode.stopped).days, 0)
        first = _why(act, days=days)
        return seal(programme, back_after(programme, replace(episode, stopped=None), today, days, first), today)
    if act.act is Act.STOP:
        return seal(programme, Draft(replace(episode, stopped=today), move=Move.PAUSE, reasons=[_why(act)]), today)
    return seal(programme, Draft(_with(episode, act), reasons=[_why(act)]), today)


def _with(episode: Episode, act: Override) -> Episode:
    if act.act in _OF_A_GATE:
        return _with_gate(episode, act)
    if act.amounts is not None:
        return with_amounts(episode, act.amounts)
    return replace(episode, awaits_look=False) if act.act is Act.LOOKED else replace(episode, pinned_until=act.until)


def replay(programme: Programme, episode: Episode, today: dt.date, act: Override) -> Decision:
    """A stored act once more, after an earlier evening has changed: what it cannot do any more changes nothing.

    Unlike `override` it never raises OverrideError, and the act stays on record.
    """
    try:
        return override(programme, episode, today, act)
    except OverrideError:
        out = Draft(episode, reasons=[_why(act)])
        if is_stopped(episode):
            out.stay_paused()
        return seal(programme, out, today, episode.paused_for)


def act_of(decision: Decision) -> Override | None:
    """The act that a decision carries out: the inverse of `override`. None for the rule's and for a lifted stop.

    Raises OverrideError for an act this version does not know.
    """
    if not decision.reasons or decision.reasons[0].code is not ReasonCode.OVERRIDE:
        return None
    numbers = dict(decision.reasons[0].numbers)
    if "act" not in numbers:
        return None
    act = _ACTS.get(int(numbers["act"]))
    if act is None:
        raise OverrideError(
            f"the override of {decision.date} has the unknown act {numbers['act']:g}; it was stored by a newer "
            "version of the program: run that one",
            "unknown",
        )
    step = int(numbers["step"]) if act in _OF_A_STEP else None
    until = dt.date.fromordinal(int(numbers["until"])) if act is Act.PIN else None
    amounts = amounts_of(numbers) if act is Act.DOSE else None
    return Override(act, step, until, numbers["gate"] if act is Act.GATE else None, amounts)


def _why(act: Override, **numbers: float) -> Reason:
    if act.step is not None:
        numbers = {"step": act.step} | numbers
    if act.until is not None:
        numbers = {"until": act.until.toordinal()} | numbers
    if act.gate is not None:
        numbers |= {"gate": act.gate}
    if act.amounts is not None:
        numbers |= numbers_of(act.amounts)
    return reason(ReasonCode.OVERRIDE, **{"act": _CODES[act.act]} | numbers)


def _move(programme: Programme, episode: Episode, today: dt.date, act: Override) -> Decision:
    target = _target(episode, act)
    moved = enter(programme, episode, target, today)
    out = Draft(moved, move=Move.ADVANCE, reasons=[_why(act, **{"from": episode.step, "step": target})])
    if target < episode.step:
        out.move = Move.REGRESS
        out.episode = replace(moved, setbacks=(*moved.setbacks, today))
    return seal(programme, out, today)


def _with_gate(episode: Episode, act: Override) -> Episode:
    gates = {number: mean for number, mean in episode.own_gates if number != act.step}
    if act.step is not None and act.gate is not None:
        gates[act.step] = act.gate
    return replace(episode, own_gates=tuple(sorted(gates.items())), gate_tested=None)  # looked at at once


def _target(episode: Episode, act: Override) -> int:
    if act.step is not None:
        return act.step
    return episode.step + (1 if act.act is Act.UP else -1)


def _check(programme: Programme, episode: Episode, today: dt.date, act: Override) -> None:
    _check_state(episode, act)
    if act.act in _MOVING:
        _check_step(programme, episode, act)
    elif act.act in _OF_A_GATE:
        _check_gate(programme, episode, act)
    elif act.amounts is not None:
        check_amounts(programme, episode, act.amounts)
    elif act.until is not None:
        _check_date(today + dt.timedelta(days=1), act.until)
    elif act.act is Act.UNPIN and episode.pinned_until is None:
        raise OverrideError("the person is not kept on the step; there is nothing to lift", "not_pinned")
    elif act.act is Act.LOOKED and not episode.awaits_look:
        raise OverrideError("no injection waits for a look; there is nothing to lift", "no_injection")


def _check_state(episode: Episode, act: Override) -> None:
    if episode.paused_for is not None:
        raise OverrideError(
            f"the programme is stopped for danger ({episode.paused_for.value}) since {episode.paused_since}; "
            "speak with the person and clear the stop first",
            "danger",
            flag=episode.paused_for.value,
        )
    if episode.completed:
        raise OverrideError("the course is completed, so nothing can be changed; begin a new course", "completed")
    if act.act is Act.GO_ON and episode.stopped is None:
        raise OverrideError("the programme is not stopped, so it cannot be let go on", "not_stopped")
    if act.act is not Act.GO_ON and episode.stopped is not None:
        raise OverrideError(
            f"the programme has been stopped since {episode.stopped}; let it go on first",
            "stopped",
            since=episode.stopped,
        )


def _check_gate(programme: Programme, episode: Episode, act: Override) -> None:
    """A step has a gate wherever it lies; the first one is never entered from below."""
    _check_ladder(programme, episode, _target(episode, act), lowest=2)
    if act.gate is not None and (not 0 <= act.gate <= 10 or act.gate % GATE_STEP):
        raise OverrideError(
            f"a gate of {act.gate:g} is no weekly mean to enter by; expected 0 to 10, whole or a half",
            "gate",
            gate=act.gate,
        )
    if act.act is Act.UNGATE and act.step not in dict(episode.own_gates):
        raise OverrideError(f"step {act.step} has the programme's gate already: nothing to put back", "no_gate")


def _check_step(programme: Programme, episode: Episode, act: Override) -> None:
    target = _target(episode, act)
    _check_ladder(programme, episode, target)
    if target == episode.step:
        raise OverrideError(f"the person is on step {target} already; choose another step", "same_step", step=target)


def _check_ladder(programme: Programme, episode: Episode, target: int, lowest: int = 1) -> None:
    last = len(programme.steps)
    if not lowest <= target <= last:
        raise OverrideError(
            f"there is no step {target}: programme {programme.version} has steps {lowest} to {last} to choose from, "
            f"and the person is on step {episode.step}",
            "no_such_step",
            step=target,
            last=last,
        )


def _check_date(begins: dt.date, until: dt.date) -> None:
    latest = begins + dt.timedelta(days=int(LONGEST_STAY.value))
    if not begins < until <= latest:
        raise OverrideError(
            f"a person cannot be kept on the step until {until}; expected a date after {begins} "
            f"and not after {latest}",
            "date",
            earliest=begins + dt.timedelta(days=1),
            latest=latest,
        )
