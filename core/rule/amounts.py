"""Kilograms, sets, repetitions and the most pain that the therapist sets for one person."""

from dataclasses import dataclass, replace

from core.errors import OverrideError
from core.model import Episode, OwnDose
from core.programme import Programme

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
