"""Gates that nobody could come through, and short cuts that never open before the long way."""

from collections.abc import Iterator
from math import inf

from core.programme import Gate
from core.programme.lines import Path
from core.programme.schema import ProgrammePart, StepPart

Problem = tuple[Path, str]


def shut_gates(file: ProgrammePart) -> Iterator[Problem]:
    """Every gate of `file` that can never open, or never sooner than a wider one."""
    keys = [step.key for step in file.step]
    begins = keys.index(file.rule.begin.usual_step) if file.rule.begin.usual_step in keys else 0
    held = 0.0  # days on holds of who begins there and comes on as soon as can be
    for place in range(1, len(file.step)):
        left, gates = file.step[place - 1], file.step[place].gate
        days = [_opens(left, gate, held) for gate in gates]
        for number, gate in enumerate(gates):
            path: Path = ("step", place, "gate", number)
            wider = [opens for other, opens in zip(gates, days, strict=True) if other.mean.value > gate.mean.value]
            if days[number] == inf and gate.hold_days is not None:
                need = f"found {gate.hold_days.value:g}; expected {held:g} at most"
                yield (*path, "hold_days", "value"), f"{need}: after the steps of holds no more of them are served"
            elif wider and min(wider) <= days[number]:
                yield path, "opens no sooner than the gate with the higher mean; expected fewer after_days or hold_days"
        if place > begins and holds_only(left):
            held += min([*days, left.least_days.value])


def _opens(left: StepPart, gate: Gate, held: float) -> float:
    """The day of the step that is left on which the gate may open, its mean aside; infinite when it never does."""
    days = gate.after_days.value if gate.after_days else left.least_days.value
    missing = gate.hold_days.value - held if gate.hold_days else 0.0
    if missing > 0 and not holds_only(left):
        return inf
    return max(days, missing)


def holds_only(step: StepPart) -> bool:
    return {each.kind for each in step.exercise} <= {"mobilising", "isometric"}
