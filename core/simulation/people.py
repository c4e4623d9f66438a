"""The people of the cohort: a true level, noise, bouts, work, breaks, missed evenings, sets left out, strength."""

from dataclasses import dataclass, field
from enum import StrEnum
from math import exp, inf
from typing import Protocol

from core.understanding import Felt
from core.weeks import WEEK_DAYS


class Chance(Protocol):
    """What the simulation asks of a generator of chance; `random.Random` is one."""

    def random(self) -> float:
        """Uniform in [0, 1)."""

    def gauss(self, mu: float = 0.0, sigma: float = 1.0) -> float:
        """Normal."""


class Course(StrEnum):
    """What the true level does."""

    STABLE = "stable"
    IMPROVING = "improving"


@dataclass(frozen=True, slots=True)
class Model:
    """How people are drawn. Where no source is named the number is judgement, stated here to be argued with.

    Half-lives: one in ten does not improve; those of the others are log-normal, fitted by hand to the shares better at
    6, 12, 26 and 52 weeks of Bisset 2006 (27, 59, 83, 90 %; better is taken as a level halved), so that four in ten
    improve slowly or not at all. The mean of all halves in eleven weeks, a little sooner than in Ikonen 2022 (three to
    four months), whose middle is the default of a script. Replies: Axén 2012, Ono 2019; sets: Clifford 2020 at first,
    Gatz 2020 later; one day of more pain after too heavy a hold: Coombes 2016; weights: Peterson 2011 began at 1 kg
    (women) and 2 kg (men) and added 0.1 kg a week; bouts and autocorrelation exist: Affleck 1991, sizes judgement; the
    spread from one evening to another: from memory; work and breaks: judgement.
    """

    start: tuple[float, float] = (4.0, 7.0)  # of those who improve; uniform
    stable: tuple[float, float] = (2.0, 5.0)  # judgement: levels at which people stay for long and climb the ladder
    half_life_weeks: float = 8.8  # the middle one of those who improve at all
    half_life_spread: float = 0.77  # standard deviation of its logarithm
    never_better: float = 0.1  # share of people who do not improve
    spreads: tuple[tuple[float, int], ...] = ((0.7, 3), (1.0, 5), (1.5, 2))  # SD, people of every ten
    autocorrelation: float = 0.4
    bout_people: float = 0.25  # share of people who have bouts
    bout_rise: float = 2.0
    bout_days: tuple[int, int] = (2, 3)
    bout_every: float = 30.4  # days, on average
    reply: tuple[float, float] = (0.85, 0.70)  # a day: first and at `faded_days`
    miss_again: float = 0.4  # chance that a missed evening is followed by another
    done: tuple[float, float] = (0.87, 0.50)  # a day: within `fresh_days` and from `stale_days` on
    fresh_days: int = 30
    stale_days: int = 91
    faded_days: int = 182
    work_people: float = 0.4  # share of people whose work is heavy now and then ...
    work_rise: float = 1.5  # ... for one evening, half of it on the next
    work_every: float = 21.0  # days, on average
    break_people: float = 0.3  # share of people who are away once in half a year
    break_days: tuple[int, int] = (5, 14)
    break_done: float = 0.5  # of them: who did most sets meanwhile
    comfort: tuple[tuple[float, float], ...] = ((1.0, 0.5), (2.0, 0.5))  # kg that is right at first, share of people
    comfort_spread: float = 0.25  # of its logarithm, from one person to another
    comfort_rise: float = 0.1  # kg a week of training
    comfort_width: float = 0.25  # kg below which a weight is easy, and above which it is too much
    tells_weight: float = 0.8  # chance to answer how the weight was
    flare_rise: float = 2.0
    flare_days: int = 28  # how long a flare is followed
    intolerance_rise: float = 1.0  # the day after an advance ...
    intolerance_share: float = 0.2  # ... of so many, beside all that come too early


@dataclass(slots=True)
class Script:
    """Everything chance decides about one person beforehand, so that every rule meets the same evenings."""

    starts: dict[Course, float]
    spread: float
    noise: list[float] = field(default_factory=list)  # around the true level, bouts included
    bout: list[bool] = field(default_factory=list)
    answered: list[bool] = field(default_factory=list)
    done: list[bool] = field(default_factory=list)
    touchy: list[bool] = field(default_factory=list)  # whether an advance on that day would be felt
    half_life_weeks: float = 15.2  # of the one who improves
    away: frozenset[int] = frozenset()  # days of a break
    away_done: bool = False  # most sets were done meanwhile
    comfort: float = 1.0  # kg
    tells: list[bool] = field(default_factory=list)  # whether the weight would be told

    def first_rating(self, course: Course) -> int:
        """What the person says at enrolment, before the first evening."""
        return rated(self.starts[course] + self.noise[-1])


def rated(value: float) -> int:
    """The whole number from 0 to 10 that a person says."""
    return min(max(int(value + 0.5), 0), 10)


def felt(model: Model, script: Script, load_g: int, weeks: float) -> Felt:
    """How a weight is, beside what is right for this person after so many weeks of training."""
    off = load_g / 1000 - (script.comfort + model.comfort_rise * weeks)
    return Felt.EASY if off < -model.comfort_width else Felt.TOO_MUCH if off > model.comfort_width else Felt.RIGHT


def spread_of(model: Model, index: int) -> float:
    """The noise of the person of that number: every ten people hold the model's mixture."""
    place = index % sum(share for _, share in model.spreads)
    for spread, share in model.spreads:
        if place < share:
            return spread
        place -= share
    raise AssertionError("the shares cover every place")


def level(script: Script, course: Course, day: int) -> float:
    """The true level on a day, the first being 0."""
    start = script.starts[course]
    if course is Course.STABLE:
        return start
    return float(start * 0.5 ** (day / WEEK_DAYS / script.half_life_weeks))


def draw(model: Model, spread: float, days: int, chance: Chance) -> Script:
    """One person's script over `days`; one more noise value stands at its end, for the rating at enrolment."""
    place = chance.random()
    bounds = {Course.STABLE: model.stable, Course.IMPROVING: model.start}
    script = Script({course: low + (high - low) * place for course, (low, high) in bounds.items()}, spread)
    pace, never = exp(chance.gauss(0, model.half_life_spread)), chance.random() < model.never_better
    script.half_life_weeks = inf if never else model.half_life_weeks * pace
    script.comfort = _comfort(model, chance)
    _replies(model, script, days, chance)
    _noise(model, script, days + 1, chance)
    if chance.random() < model.bout_people:
        _bouts(model, script, days, chance)
    if chance.random() < model.work_people:
        _work(model, script, days, chance)
    if chance.random() < model.break_people:
        _break(model, script, days, chance)
    script.tells = [chance.random() < model.tells_weight for _ in range(days)]
    script.done = [chance.random() < _done(model, day) for day in range(days)]
    script.touchy = [chance.random() < model.intolerance_share for _ in range(days)]
    return script


def _noise(model: Model, script: Script, days: int, chance: Chance) -> None:
    """First-order autoregressive, so scaled that its SD is the person's whatever the autocorrelation."""
    kept, fresh = model.autocorrelation, script.spread * (1 - model.autocorrelation**2) ** 0.5
    value = chance.gauss(0, script.spread)
    for _ in range(days):
        script.noise.append(value)
        value = kept * value + chance.gauss(0, fresh)
    script.bout = [False] * days


def _bouts(model: Model, script: Script, days: int, chance: Chance) -> None:
    shortest, longest = model.bout_days
    day = 0
    while day < days:
        if chance.random() * model.bout_every < 1:
            lasts = shortest + int(chance.random() * (longest - shortest + 1))
            for each in range(day, min(day + lasts, days)):
                script.noise[each] += model.bout_rise
                script.bout[each] = True
            day += lasts
        else:
            day += 1


def _work(model: Model, script: Script, days: int, chance: Chance) -> None:
    for day in range(days):
        if chance.random() * model.work_every < 1:
            script.noise[day] += model.work_rise
            if day + 1 < days:
                script.noise[day + 1] += model.work_rise / 2


def _break(model: Model, script: Script, days: int, chance: Chance) -> None:
    shortest, longest = model.break_days
    lasts = shortest + int(chance.random() * (longest - shortest + 1))
    first = int(chance.random() * max(days - lasts, 1))
    script.away = frozenset(range(first, min(first + lasts, days)))
    script.away_done = chance.random() < model.break_done
    for day in script.away:
        script.answered[day] = False


def _comfort(model: Model, chance: Chance) -> float:
    """The weight that is right at first, in kg."""
    place = chance.random()
    for kilos, share in model.comfort:
        if place < share:
            return float(kilos * exp(chance.gauss(0, model.comfort_spread)))
        place -= share
    raise AssertionError("the shares cover every place")


def _replies(model: Model, script: Script, days: int, chance: Chance) -> None:
    """Two states, so balanced that missed evenings cluster and the share answered is still the stated one."""
    first, last = model.reply
    missed = False
    for day in range(days):
        miss = 1 - (first + (last - first) * min(day / model.faded_days, 1))
        again = model.miss_again if missed else miss * (1 - model.miss_again) / (1 - miss)
        missed = chance.random() < again
        script.answered.append(not missed)


def _done(model: Model, day: int) -> float:
    first, last = model.done
    faded = (day - model.fresh_days) / (model.stale_days - model.fresh_days)
    return first + (last - first) * min(max(faded, 0.0), 1.0)
