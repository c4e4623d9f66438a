"""What a step asks of a date, and the kilograms, sets and repetitions that the therapist set for one person."""

import datetime as dt
from dataclasses import dataclass, replace

from core.errors import OverrideError
from core.model import Dose, Episode, Exercise, Kind, OwnDose
from core.programme import Programme, Step
from core.rule.course import is_stopped, is_unloaded

MOST_SETS, MOST_REPS = 10, 30  # beyond them it is another programme; judgement


@dataclass(frozen=True, slots=True)
class Amounts:
    """What is set; None leaves it to the programme. All None puts everything back, but for the weight, which stays.

    Sets and repetitions are those of the present step's main exercise, the most pain (0-10) goes for every step.
    """

    load_g: int | None = None
    sets: int | None = None
    reps: int | None = None
    pain_at_most: float | None = None


def numbers_of(amounts: Amounts) -> dict[str, float]:
    """For the reason of a stored decision."""
    named = {"load": amounts.load_g, "sets": amounts.sets, "reps": amounts.reps, "pain": amounts.pain_at_most}
    return {name: float(value) for name, value in named.items() if value is not None}


def amounts_of(numbers: dict[str, float]) -> Amounts:
    """The inverse of `numbers_of`."""
    whole = {name: int(numbers[name]) for name in ("load", "sets", "reps") if name in numbers}
    return Amounts(whole.get("load"), whole.get("sets"), whole.get("reps"), numbers.get("pain"))


def with_amounts(episode: Episode, amounts: Amounts) -> Episode:
    """The episode with them. A weight that was set is no longer being tried."""
    own = OwnDose(episode.step, amounts.sets, amounts.reps, amounts.pain_at_most)
    kept = None if own == OwnDose(episode.step) else own
    if amounts.load_g is None:
        return replace(episode, own_dose=kept)
    return replace(
        episode, own_dose=kept, load_g=amounts.load_g, load_raised=None, trying_until=None, weight_asked=None
    )


def check_amounts(programme: Programme, episode: Episode, amounts: Amounts) -> None:
    """Raises OverrideError for what the step does not take."""
    cap = programme.step(episode.step).cap_g
    if amounts.load_g is not None and not 0 < amounts.load_g <= cap:
        raise OverrideError(
            f"step {episode.step} takes no weight of {amounts.load_g} g; expected up to {cap} g",
            "weight",
            step=episode.step,
            most=cap,
        )
    for name, value, most in (
        ("sets", amounts.sets, MOST_SETS),
        ("reps", amounts.reps, MOST_REPS),
        ("pain", amounts.pain_at_most, 10),
    ):
        if value is not None and not (0 if name == "pain" else 1) <= value <= most:
            raise OverrideError(f"{value:g} {name} cannot be set; expected 1 to {most}", "amounts", most=most)


# A second of holding counts a quarter of one of moving: judgement, so that each step of the ladder asks more than the
# one before, and a return to the holds less. Only to compare doses with one another.
_HELD = 0.25


def dose_on(programme: Programme, episode: Episode, date: dt.date) -> Dose:
    """What the episode's step asks of a date. Completed, a person may go on.

    No sets on rest days, when stopped, after an injection, and while the red-flag questions are open.
    """
    step = programme.step(episode.step)
    if is_stopped(episode) or is_unloaded(episode, date) or episode.signs_asked is not None:
        return step.rest
    trains = episode.eased_since is not None or _trains(programme, episode, step, date)
    return training_dose(programme, episode) if trains else step.rest


def unheard(programme: Programme, before: Episode, date: dt.date, told: Dose, after: Episode, dose: Dose) -> bool:
    """Whether the dose after an evening without an answer is one that the person cannot know of.

    `told` is what was said of that `date`: an exception that is over now, such as a day of rest or of half the sets,
    or the rest after an injection. The weight may be another one, too.
    """
    exception = told != dose_on(programme, before, date) or is_unloaded(before, date)
    lighter = dose.asked > 0 and before.load_g != after.load_g
    return (exception and dose != told) or lighter


def training_dose(programme: Programme, episode: Episode) -> Dose:
    """What the episode asks of a day with sets, once there are any."""
    step = programme.step(episode.step)
    return _plain(programme, episode, step) if episode.eased_since is None else _eased(programme, episode, step)


def rest_of(programme: Programme, episode: Episode) -> Dose:
    """The rest day of the episode's step."""
    return programme.step(episode.step).rest


def halved(programme: Programme, episode: Episode, dose: Dose) -> Dose:
    """Half the sets, rounded down but at least one, as holds only and never heavier than the dose itself."""
    if dose.kind is not Kind.ISOMETRIC:
        holds = programme.step(programme.step(episode.step).holds).dose
        dose = replace(holds, step=episode.step, load_g=min(dose.load_g, holds.load_g))
    return _with_sets(dose, 0.5)


def work(dose: Dose) -> float:
    """The day's work in kilogram-seconds of moving, at the most repetitions; bare holds count a tenth of a kilogram."""
    seconds = sum(each.sets * _seconds(each) for each in dose.exercises)
    return seconds * max(dose.load_g, 100) / 1000


def _seconds(one: Exercise) -> float:
    return one.hold_s * _HELD + one.reps[1] * (one.lift_s + one.lower_s)


def _plain(programme: Programme, episode: Episode, step: Step) -> Dose:
    dose = _own(episode, replace(step.dose, load_g=min(episode.load_g, step.cap_g)))
    if episode.fell_from is None:
        return dose
    left = programme.step(episode.fell_from)
    before = work(replace(left.dose, load_g=min(episode.fell_load_g, left.cap_g)))
    return _with_sets(dose, before / work(dose)) if work(dose) > before else dose


def _own(episode: Episode, dose: Dose) -> Dose:
    """With the sets, the repetitions and the most pain that the therapist set for this person."""
    own = episode.own_dose
    if own is None:
        return dose
    main = max(range(len(dose.exercises)), key=lambda place: tuple(Kind).index(dose.exercises[place].kind))
    exercises = list(dose.exercises)
    if own.pain_at_most is not None:
        exercises = [replace(each, pain_at_most=own.pain_at_most) if each.sets else each for each in exercises]
    if own.step == dose.step:
        one = exercises[main]
        reps = one.reps if own.reps is None or one.hold_s else (own.reps, own.reps)
        exercises[main] = replace(one, sets=own.sets or one.sets, reps=reps)
    return replace(dose, exercises=tuple(exercises))


def _trains(programme: Programme, episode: Episode, step: Step, date: dt.date) -> bool:
    """Whether the date is a training day; who fell from a step with rest days keeps its rhythm."""
    if episode.fell_from is not None and episode.fell_since is not None:
        rhythm = programme.step(episode.fell_from).rhythm
        if len(rhythm) > 1:
            return rhythm[(date - episode.fell_since).days % len(rhythm)]
    return step.rhythm[(date - episode.since).days % len(step.rhythm)]


def _eased(programme: Programme, episode: Episode, step: Step) -> Dose:
    """The holds of the hardest step of holds below, or of this one, with part of the person's own weight."""
    holds = programme.step(step.holds)
    part = int(episode.load_g * programme.rule.flare.load_share.value) // 100 * 100
    load = min(max(part, holds.floor_g), episode.load_g, holds.cap_g)
    return replace(holds.dose, step=step.number, load_g=load)


def _with_sets(dose: Dose, share: float) -> Dose:
    """That share of the sets, rounded down but at least one of each exercise."""
    fewer = (replace(each, sets=max(int(each.sets * share), 1)) if each.sets else each for each in dose.exercises)
    return replace(dose, exercises=tuple(fewer))
