"""A set counted through: what is done when, by which arm, and the moments at which it is said. Pure.

Times are whole seconds from the start of the set.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from core.model import Dose, Exercise, Kind
from core.programme.thresholds import Guiding

# A count is said at these seconds to go: each costs an edit, and a chat takes one a second.
COUNTED = frozenset({*range(10, 601, 10), 5, 3, 2, 1})
OTHER_SIDE = {"left": "right", "right": "left"}


class PhaseKind(StrEnum):
    """What is done for a while in a set that is counted through."""

    READY = "ready"
    HOLD = "hold"
    LIFT = "lift"
    LOWER = "lower"
    BACK = "back"  # the load is brought back up for the next time, by the other hand where the exercise says so
    CHANGE = "change"  # to the other arm
    REST = "rest"  # after the set, which is counted by then


@dataclass(frozen=True, slots=True)
class Phase:
    act: PhaseKind
    seconds: int
    side: str = ""  # of the arm at work; of a change, the arm that follows
    rep: int = 0


@dataclass(frozen=True, slots=True)
class SetPlan:
    """One set of an exercise, with `load_g` in the hand."""

    reps: int
    load_g: int
    phases: tuple[Phase, ...]

    @property
    def work_s(self) -> int:
        """When the set is done, the rest after it aside."""
        return sum(each.seconds for each in self.phases if each.act is not PhaseKind.REST)

    @property
    def total_s(self) -> int:
        return sum(each.seconds for each in self.phases)


_WAITED = (PhaseKind.READY, PhaseKind.HOLD, PhaseKind.CHANGE, PhaseKind.REST)  # a number is said meanwhile


@dataclass(frozen=True, slots=True)
class Cue:
    """At second `at` it is said that `phase` (its place in the plan) has `left` seconds to go."""

    at: int
    phase: int
    left: int


def of_set(dose: Dose, number: int) -> Exercise | None:
    """The exercise of the day's set of that number, counted from 1 in the order of the dose; None beyond the last."""
    for each in dose.exercises:
        if number <= each.sets:
            return each if number > 0 else None
        number -= each.sets
    return None


def plan_of(dose: Dose, number: int, side: str, numbers: Guiding, *, alone: bool = False) -> SetPlan | None:
    """The set of that number for a person whose `side` is sore; None where the dose has no such set.

    `alone`: that arm alone, since the other has a dose of its own. Of a range of repetitions the fewer are counted, of
    a range of rest the shorter one.
    """
    exercise = of_set(dose, number)
    if exercise is None or exercise.kind is Kind.MOBILISING:
        return None
    sides = (side,) if alone else _sides(exercise, side, numbers)
    phases = [Phase(PhaseKind.READY, int(numbers.ready_s.value), sides[0])]
    for place, arm in enumerate(sides):
        if place:
            phases.append(Phase(PhaseKind.CHANGE, int(numbers.change_s.value), arm))
        phases += _work(exercise, arm, int(numbers.back_s.value))
    following = of_set(dose, number + 1)
    if following is not None and not exercise.spread and (rest := _rest(exercise, following)):
        phases.append(Phase(PhaseKind.REST, rest))
    return SetPlan(exercise.reps[0], dose.load_g, tuple(phases))


def _sides(exercise: Exercise, sore: str, numbers: Guiding) -> tuple[str, ...]:
    if not exercise.both_arms:
        return (sore,)
    other = OTHER_SIDE.get(sore, "")
    return (sore, other) if numbers.first == "sore" else (other, sore)


def _rest(exercise: Exercise, following: Exercise) -> int:
    """The exercise's own; an only set of it has none, and takes that of the exercise that follows."""
    return exercise.rest_s[0] or following.rest_s[0]


def _work(exercise: Exercise, arm: str, back_s: int) -> Iterator[Phase]:
    """One arm's part of a set."""
    if exercise.kind is Kind.ISOMETRIC:
        yield Phase(PhaseKind.HOLD, exercise.hold_s, arm, 1)
        return
    for rep in range(1, exercise.reps[0] + 1):
        if exercise.lift_s:
            yield Phase(PhaseKind.LIFT, exercise.lift_s, arm, rep)
        yield Phase(PhaseKind.LOWER, exercise.lower_s, arm, rep)
        if not exercise.lift_s and rep < exercise.reps[0]:
            yield Phase(PhaseKind.BACK, back_s, arm, rep)


def cues(plan: SetPlan) -> tuple[Cue, ...]:
    """Everything that is said of the set, in order; a move is said once, where it begins."""
    found, start = [], 0
    for place, phase in enumerate(plan.phases):
        counted = COUNTED if phase.act in _WAITED else frozenset[int]()
        for left in range(phase.seconds, 0, -1):
            if left == phase.seconds or left in counted:
                found.append(Cue(start + phase.seconds - left, place, left))
        start += phase.seconds
    return tuple(found)


def next_cue(plan: SetPlan, after: float) -> Cue | None:
    """The first cue later than that second; None when there is none any more."""
    return next((each for each in cues(plan) if each.at > after), None)


def cue_now(plan: SetPlan, second: float) -> Cue | None:
    """The latest cue at or before that second, to be read just now; None before the start and after the end."""
    if not 0 <= second < plan.total_s:
        return None
    return next((each for each in reversed(cues(plan)) if each.at <= second), None)
