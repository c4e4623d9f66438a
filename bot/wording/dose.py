"""A dose in words: what to do, with how much and how."""

from dataclasses import replace

from bot.wording.catalogue import Text
from bot.wording.filling import Pack
from core.facts import DecisionFacts, DoseFacts, SideFacts, Words
from core.model import Exercise, Kind, Move


def dose_line(text: Text, dose: DoseFacts, *, arms: bool = True) -> str:
    """One line: "1 to 2 minutes of gentle moves, then 4 holds of 30 seconds, spread over the day, both arms".

    Without `arms` it does not say by which arm.
    """
    moves = [_moves(text, each) for each in dose.exercises if each.kind is Kind.MOBILISING]
    if not dose.asked:
        return text("dose.rest.moves", moves=", ".join(moves)) if moves else text("dose.rest")
    parts = [*moves]
    for place, each in enumerate(_counted(dose)):
        sets = _sets(text, each)
        parts.append(text("dose.then", sets=sets) if parts else sets)
        if not place and dose.load_g:
            parts.append(text("dose.load", kg=kilos(text, dose.load_g)))
        if each.spread:
            parts.append(text("dose.spread"))
    if not arms:
        return ", ".join(parts)
    if dose.alone:
        parts.append(text("dose.alone", arm=Pack(text, dose.words)(f"limb.{dose.alone}")))
    elif any(each.both_arms for each in _counted(dose)):
        parts.append(Pack(text, dose.words)("both_sides"))
    return ", ".join(parts)


def of_one_arm(dose: DoseFacts, side: SideFacts) -> DoseFacts:
    """The dose of somebody whose other side has its own: each arm does no more than what is asked of it."""
    words = {language: {**texts, **side.words.get(language, {})} for language, texts in dose.words.items()}
    return replace(dose, alone=side.side, words=words)


def side_name(text: Text, side: SideFacts) -> str:
    """What the programme calls the side, as it begins a line: "Right ..."."""
    name = Pack(text, side.words)(f"side.{side.side}")
    return f"{name[:1].upper()}{name[1:]}"


def step_line(text: Text, dose: DoseFacts) -> str:
    """Which rung: "Step 2 of 8: full holds"."""
    return rung(text, dose.step, dose.steps, step_name(text, dose.words, dose.step_key))


def rung(text: Text, step: int, steps: int, name: str) -> str:
    """The same of its parts; a step beyond those that people climb has no number."""
    return name if step > steps else text("dose.step", step=step, steps=steps, name=name)


def load_line(text: Text, decided: DecisionFacts) -> tuple[str, ...]:
    """What moving up does to the weight, where it does anything; everything else that changes it has its reason."""
    before, after = decided.load_before_g, decided.load_g
    if decided.move is not Move.ADVANCE or before is None or before == after:
        return ()
    if not before or not after:
        return (text("outcome.load.first" if after else "outcome.load.none", kg=kilos(text, after)),)
    key = "outcome.load.more" if after > before else "outcome.load.less"
    return (text(key, kg=kilos(text, after), by=kilos(text, abs(after - before))),)


def step_name(text: Text, words: Words, step_key: str) -> str:
    """What the programme calls the step."""
    pack, key = Pack(text, words), f"step.{step_key}"
    return pack(key) if pack.has(key) else step_key


def how_lines(text: Text, dose: DoseFacts) -> list[str]:
    """How to do the dose, a paragraph a part, cautions last."""
    pack = Pack(text, dose.words)
    lines = [dose_line(text, dose) + "."]
    for each in dose.exercises:
        lines += _how(text, pack, each, dose.load_g)
    if not dose.asked:
        return lines
    if any(each.both_arms for each in _counted(dose)) and not dose.alone:
        lines.append(pack("both_sides.how"))
    if dose.alone and any(each.other_hand_lifts for each in dose.exercises):
        lines.append(pack("helping.how"))  # the other side has a plan of its own: it is sore, too
    if dose.equipment:
        lines.append(_to_hold(text, pack, dose))
    return [*lines, text("how.breathe"), text("how.morning"), pack("stop"), pack("condition"), pack("call")]


def _how(text: Text, pack: Pack, exercise: Exercise, load_g: int) -> list[str]:
    """One exercise: position and movement, how hard, how much it may hurt, what comes between its sets."""
    key = f"exercise.{exercise.key}.how"
    if load_g and pack.has(f"{key}.weight"):
        key = f"{key}.weight"
    moves = [pack(key, kg=kilos(text, load_g), **_counts(text, exercise))]
    if exercise.other_hand_lifts:
        moves.append(pack(f"exercise.{exercise.key}.lifted_back"))
    parts = []
    if exercise.effort:
        parts.append(text(f"how.effort.{exercise.effort}"))
    if exercise.pain_at_most is not None:
        parts.append(text("how.pain_at_most", most=text.number(exercise.pain_at_most)))
    if exercise.spread:
        parts.append(text("how.spread"))
    elif exercise.sets > 1:
        parts.append(pack("release"))
        least, most = exercise.rest_s
        parts.append(text("how.rest" if least == most else "how.rest_between", least=least, most=most))
    return ["\n".join([" ".join(moves), *([" ".join(parts)] if parts else [])])]


def _counts(text: Text, exercise: Exercise) -> dict[str, object]:
    least, most = (minutes(text, seconds) for seconds in exercise.last_s)
    return {
        "seconds": exercise.hold_s, "lift": exercise.lift_s, "lower": exercise.lower_s,
        "reps": _reps(text, exercise), "least": least, "most": most,
    }  # fmt: skip


def _to_hold(text: Text, pack: Pack, dose: DoseFacts) -> str:
    kg = kilos(text, dose.load_g)
    return "\n".join([text("how.hold", kg=kg), *(f"- {pack(f'equipment.{key}', kg=kg)}" for key in dose.equipment)])


def minutes(text: Text, seconds: int) -> str:
    """Seconds as minutes: "1.5"."""
    return text.number(seconds / 60)


def kilos(text: Text, grams: int) -> str:
    """Grams as kilograms: "0.5"."""
    return text.number(grams / 1000, 2)


def _counted(dose: DoseFacts) -> list[Exercise]:
    """The exercises whose sets the evening question counts."""
    return [each for each in dose.exercises if each.sets]


def _moves(text: Text, exercise: Exercise) -> str:
    least, most = (minutes(text, seconds) for seconds in exercise.last_s)
    return text("dose.moves" if least == most else "dose.moves_between", least=least, most=most)


def _sets(text: Text, exercise: Exercise) -> str:
    if exercise.kind is Kind.ISOMETRIC:
        return text.many("dose.holds", exercise.sets, seconds=exercise.hold_s)
    key = "dose.lowering" if exercise.kind is Kind.ECCENTRIC else "dose.lift_lower"
    return text.many(key, exercise.sets, reps=_reps(text, exercise), lower=exercise.lower_s, lift=exercise.lift_s)


def _reps(text: Text, exercise: Exercise) -> str:
    least, most = exercise.reps
    return str(least) if least == most else text("dose.reps_between", least=least, most=most)
