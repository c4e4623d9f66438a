"""What does not fit together in a programme's file: sources, the ladder, loads, gates that can never open."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import inf
from typing import Any

from core.programme import Equipment, Gate, Picture
from core.programme.schema import ExercisePart, Place, ProgrammePart, StepPart, TopicPart
from core.programme.thresholds import Rule

Problem = tuple[Place, str]

_NEEDS = {
    "mobilising": ("last_s",),
    "isometric": ("sets", "hold_s"),
    "eccentric": ("sets", "reps", "lower_s"),
    "isotonic": ("sets", "reps", "lift_s", "lower_s"),
}
_HAS_NO = {
    "mobilising": ("sets", "reps", "hold_s", "lift_s", "lower_s", "rest_s", "spread", "other_hand_lifts"),
    "isometric": ("reps", "lift_s", "lower_s", "last_s", "other_hand_lifts"),
    "eccentric": ("hold_s", "lift_s", "last_s"),
    "isotonic": ("hold_s", "last_s", "other_hand_lifts"),
}
_MOST_EXERCISES = 3  # fewer than four are done more often (Argent 2018, Bachmann 2018)


def source_problems(data: dict[str, Any]) -> Iterator[Problem]:
    """Rows named but not defined, and judgements without a reason.

    Works on the plain data, so that these are told beside errors of shape.
    """
    sources = data.get("sources")
    known = sources if isinstance(sources, dict) else {}
    guesses = {key for key, one in known.items() if isinstance(one, dict) and one.get("kind") == "judgement"}
    for path, stated in _stated(data, ()):
        rows = [row for row in stated["from"] if isinstance(row, str)]
        for row in rows:
            if row not in known:
                yield (*path, "from"), f"found {row!r}; expected a key of [sources]"
        if rows and guesses.issuperset(rows) and not stated.get("why"):
            yield path, "a number of judgement needs a short why"
        if rows and guesses.issuperset(rows) and stated.get("derived"):
            yield (*path, "derived"), "nothing to derive from; expected a row that is no judgement"


def _stated(part: Any, path: Place) -> Iterator[tuple[Place, dict[str, Any]]]:
    if isinstance(part, dict):
        if isinstance(part.get("from"), list):
            yield path, part
        for key, value in part.items():
            yield from _stated(value, (*path, key))
    elif isinstance(part, list):
        for place, value in enumerate(part):
            yield from _stated(value, (*path, place))


def fit_problems(file: ProgrammePart) -> Iterator[Problem]:
    """Everything that does not fit in a file of the right shape."""
    yield from _source_kinds(file)
    yield from _ladder(file)
    for place, exercise in enumerate(file.every_day):
        if exercise.kind != "mobilising":
            yield ("every_day", place, "kind"), f"found {exercise.kind!r}; expected 'mobilising': it is not counted"
        for path, message in _exercise(exercise):
            yield ("every_day", place, *path), message
    for place, step in enumerate(file.step):
        for path, message in (*_exercises(step, len(file.every_day)), *_load(step, place), *_gates(step)):
            yield ("step", place, *path), message
    yield from _pictures(file)
    for section in ("step", "equipment", "picture", "screen", "education", "question", "suggest"):
        yield from _twice(section, getattr(file, section))
    yield from _shut_gates(file)
    yield from _rule(file.rule)


def _twice(
    section: str, parts: Sequence[StepPart | ExercisePart | TopicPart | Equipment | Picture]
) -> Iterator[Problem]:
    keys = [one.key for one in parts]
    for place, key in enumerate(keys):
        if key in keys[:place]:
            yield (section, place, "key"), f"found {key!r} twice; expected a key of its own for each"


def _pictures(file: ProgrammePart) -> Iterator[Problem]:
    known = {each.key for each in (*file.every_day, *(one for step in file.step for one in step.exercise))}
    for place, picture in enumerate(file.picture):
        if picture.key not in known:
            yield ("picture", place, "key"), f"found {picture.key!r}; expected an exercise: {', '.join(sorted(known))}"


def _source_kinds(file: ProgrammePart) -> Iterator[Problem]:
    for key, source in file.sources.items():
        if source.kind == "published" and not (source.citation and source.known):
            yield ("sources", key), "a published row needs a citation and how it is known"
        if source.kind != "published" and source.citation:
            yield (
                ("sources", key, "citation"),
                f"a row of {source.kind} has no citation; put the words into note",
            )


def _ladder(file: ProgrammePart) -> Iterator[Problem]:
    keys = [step.key for step in file.step]
    for place, step in enumerate(file.step):
        if step.maintenance and place != len(keys) - 1:
            yield ("step", place, "maintenance"), "only the last step can be the one that keeps going"
        if step.back_above and not _holds_only(step):
            yield (
                ("step", place, "back_above"),
                "only for isometric steps; after them rule.ceiling.week counts",
            )
    if not _holds_only(file.step[0]):
        yield ("step", 0, "exercise"), "expected holds only ('isometric'), so that there is a hold to return to"
    if file.step[0].gate:
        yield ("step", 0, "gate"), "the first step has no gate: nobody enters it from below"
    for name in ("gentle_step", "usual_step"):
        key = getattr(file.rule.begin, name)
        if key not in keys:
            yield ("rule", "begin", name), f"found {key!r}; expected the key of a step: {', '.join(keys)}"
    begin = file.rule.begin
    chosen = [keys.index(key) for key in (begin.gentle_step, begin.usual_step) if key in keys]
    if len(chosen) == 2 and chosen[0] > chosen[1]:
        yield (
            ("rule", "begin", "gentle_step"),
            "lies above usual_step; expected the same step or one before it",
        )


def _exercises(step: StepPart, daily: int) -> Iterator[Problem]:
    yield from _twice("exercise", step.exercise)
    for place, exercise in enumerate(step.exercise):
        for path, message in _exercise(exercise):
            yield ("exercise", place, *path), message
    if (own := len(step.exercise)) + daily > _MOST_EXERCISES:
        yield ("exercise",), f"found {own} and {daily} of every day; expected {_MOST_EXERCISES} at most in all"
    if all(each.kind == "mobilising" for each in step.exercise):
        yield ("exercise",), "expected an exercise with sets, for the evening question to count"
    if step.rhythm and not step.rhythm.value.startswith("x"):
        yield ("rhythm", "value"), f"found {step.rhythm.value!r}; expected a training day, x, first"


def _exercise(exercise: ExercisePart) -> Iterator[Problem]:
    for name in _NEEDS[exercise.kind]:
        if getattr(exercise, name) is None:
            yield (name,), f"missing; {exercise.kind} work needs it"
    for name in _HAS_NO[exercise.kind]:
        if getattr(exercise, name) is not None:
            yield (name,), f"does not belong to {exercise.kind} work"
    for name in ("reps", "rest_s", "last_s"):
        stated = getattr(exercise, name)
        if stated is not None and stated.value[0] > stated.value[1]:
            yield (name, "value"), f"found {stated.value}; expected the smaller number first"


def _load(step: StepPart, place: int) -> Iterator[Problem]:
    load = step.load
    if load.entry == "start":
        if load.start_g is None:
            yield ("load", "start_g"), 'missing; entry = "start" needs it'
        elif load.cap_g is not None and load.cap_g.value < load.start_g.value:
            least = load.start_g.value
            yield ("load", "cap_g", "value"), f"found {load.cap_g.value}; expected at least start_g, {least}"
        if load.entry_rise_g is not None:
            yield ("load", "entry_rise_g"), 'only with entry = "carry"'
    else:
        if place == 0:
            yield ("load", "entry"), "the first step has nothing to carry; expected 'start'"
        if load.start_g is not None:
            yield ("load", "start_g"), 'only with entry = "start"'
    if load.cap_g is None and (load.rises or load.entry == "carry"):
        yield ("load", "cap_g"), "missing; a load that rises or is carried over needs a cap"


def _gates(step: StepPart) -> Iterator[Problem]:
    for place, gate in enumerate(step.gate):
        if (gate.calm_limit is None) != (gate.calm_days is None):
            yield ("gate", place), "calm_limit and calm_days come together"


def _rising(section: str, part: Any, *names: str) -> Iterator[Problem]:
    for lower, upper in pairwise(names):
        low, high = getattr(part, lower).value, getattr(part, upper).value
        if high <= low:
            yield ("rule", section, upper, "value"), f"found {high:g}; expected more than {lower}, {low:g}"


def _rule(rule: Rule) -> Iterator[Problem]:
    yield from _rising("flare", rule.flare, "daily_cap", "limit")
    yield from _rising("gap", rule.gap, "ease_days", "back_days", "back_two_days", "restart_days")
    yield from _rising("plateau", rule.plateau, "early_days", "middle_days", "late_days")
    least = rule.weeks.ratings.value
    if rule.advance.ratings.value < least:
        yield (
            ("rule", "advance", "ratings", "value"),
            f"found {rule.advance.ratings.value:g}; expected at least rule.weeks.ratings, {least:g}",
        )
    severe, ceiling = rule.severe.limit.value, rule.ceiling.day.value
    if severe <= ceiling:
        yield (
            ("rule", "severe", "limit", "value"),
            f"found {severe:g}; expected more than rule.ceiling.day, {ceiling:g}",
        )


def _shut_gates(file: ProgrammePart) -> Iterator[Problem]:
    """Every gate of `file` that can never open, or never sooner than a wider one."""
    keys = [step.key for step in file.step]
    begins = keys.index(file.rule.begin.usual_step) if file.rule.begin.usual_step in keys else 0
    held = 0.0  # days on holds of who begins there and comes on as soon as can be
    for place in range(1, len(file.step)):
        left, gates = file.step[place - 1], file.step[place].gate
        days = [_opens(left, gate, held) for gate in gates]
        for number, gate in enumerate(gates):
            path: Place = ("step", place, "gate", number)
            wider = [opens for other, opens in zip(gates, days, strict=True) if other.mean.value > gate.mean.value]
            if days[number] == inf and gate.hold_days is not None:
                need = f"found {gate.hold_days.value:g}; expected {held:g} at most"
                yield (*path, "hold_days", "value"), f"{need}: after the steps of holds no more of them are served"
            elif wider and min(wider) <= days[number]:
                yield path, "opens no sooner than the gate with the higher mean; expected fewer after_days or hold_days"
        if place > begins and _holds_only(left):
            held += min([*days, left.least_days.value])


def _opens(left: StepPart, gate: Gate, held: float) -> float:
    """The day of the step that is left on which the gate may open, its mean aside; infinite when it never does."""
    days = gate.after_days.value if gate.after_days else left.least_days.value
    missing = gate.hold_days.value - held if gate.hold_days else 0.0
    if missing > 0 and not _holds_only(left):
        return inf
    return max(days, missing)


def _holds_only(step: StepPart) -> bool:
    return {each.kind for each in step.exercise} <= {"mobilising", "isometric"}
