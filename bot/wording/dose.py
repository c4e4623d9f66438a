"""A dose in words: what to do, with how much, and how."""

from collections.abc import Mapping
from typing import Any

from bot.wording.catalogue import Text

Facts = Mapping[str, Any]


def dose_line(text: Text, dose: Facts) -> str:
    """One line: "4 holds of 30 seconds, spread over the day"."""
    if not dose["asked"]:
        return text("dose.rest")
    first, *others = _counted(dose)
    parts = [_sets(text, first)]
    if dose["load_g"]:
        parts.append(text("dose.load", kg=kilos(text, dose["load_g"])))
    parts += [text("dose.then", sets=_sets(text, each)) for each in others]
    if first["spread"]:
        parts.append(text("dose.spread"))
    if first["both_arms"]:
        parts.append(text("dose.both_arms"))
    return ", ".join(parts)


def step_line(text: Text, dose: Facts) -> str:
    """Which rung: "Step 2 of 8: full holds"."""
    name = step_name(text, dose)
    if dose["step"] > dose["steps"]:
        return name
    return text("dose.step", step=dose["step"], steps=dose["steps"], name=name)


def load_line(text: Text, facts: Facts) -> tuple[str, ...]:
    """What moving up does to the weight, where it does anything; everything else that changes it has its reason."""
    before, after = facts.get("load_before_g"), facts.get("load_g") or 0
    if facts.get("move") != "advance" or before is None or before == after:
        return ()
    if not before or not after:
        return (text("outcome.load.first" if after else "outcome.load.none", kg=kilos(text, after)),)
    key = "outcome.load.more" if after > before else "outcome.load.less"
    return (text(key, kg=kilos(text, after), by=kilos(text, abs(after - before))),)


def step_name(text: Text, dose: Facts) -> str:
    """The step's name from the catalogue, or a clinic's own title."""
    key = f"step.{dose['step_key']}"
    return text(key) if text.has(key) else str(dose["step_title"])


def how_lines(text: Text, dose: Facts) -> list[str]:
    """How to do the dose, a paragraph a part, cautions last."""
    if not dose["asked"]:
        return [text("dose.rest"), text("how.warm_up")]
    first, *others = _counted(dose)
    lines = [dose_line(text, dose) + ".", text("how.warm_up"), *_movement(text, dose, first)]
    lines += [text("how.extra", seconds=each["hold_s"]) for each in others]
    if first["rest_s"][1]:
        least, most = first["rest_s"]
        key = "how.rest" if least == most else "how.rest_between"
        lines.append(text(key, least=least, most=most))
    if dose["load_g"]:
        lines.append(text("how.bottle", ml=dose["load_g"], kg=kilos(text, dose["load_g"])))
    if first["both_arms"]:
        lines.append(text("how.both_arms"))
    lines.append(text("how.breathe"))
    if first["pain_at_most"] is not None:
        lines.append(text("how.pain_at_most", most=text.number(first["pain_at_most"])))
    return [*lines, text("how.stop")]


def kilos(text: Text, grams: int) -> str:
    """Grams as kilograms: "0.5"."""
    return text.number(grams / 1000, 2)


def _counted(dose: Facts) -> list[Facts]:
    return [each for each in dose["exercises"] if each["sets"]]


def _sets(text: Text, exercise: Facts) -> str:
    if exercise["kind"] == "isometric":
        return text.many("dose.holds", exercise["sets"], seconds=exercise["hold_s"])
    least, most = exercise["reps"]
    reps = str(least) if least == most else text("dose.reps_between", least=least, most=most)
    key = "dose.lowering" if exercise["kind"] == "eccentric" else "dose.lift_lower"
    return text.many(key, exercise["sets"], reps=reps, lower=exercise["lower_s"], lift=exercise["lift_s"])


def _movement(text: Text, dose: Facts, exercise: Facts) -> list[str]:
    if exercise["kind"] == "isometric":
        key = "how.hold_weight" if dose["load_g"] else "how.hold_hand"
        return [text(key, seconds=exercise["hold_s"])]
    if exercise["kind"] == "isotonic":
        return [text("how.lift_lower", lift=exercise["lift_s"], lower=exercise["lower_s"])]
    lines = [text("how.lowering", lower=exercise["lower_s"])]
    if exercise["other_hand_lifts"]:
        lines.append(text("how.other_hand"))
    return lines
