"""One person after another through every rule: what each rule did with the same evenings."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import TypeVar

from core.model import Figure, NoticeKind, ReasonCode
from core.programme import Programme, Step
from core.programme.thresholds import Advance, Ceiling, Flare, Gap, Severe, Weeks
from core.simulation.detectors import (
    HAND,
    calls_by_hand,
    delay_by_hand,
    delay_of_sum,
    excesses,
    learnt_levels,
    likelihood_steps,
    sums,
)
from core.simulation.life import CLAIMS_A_RISE, Life, MoveUp, flare_ratings, live
from core.simulation.people import Chance, Course, Model, Script, draw, level, spread_of

RULE, FAITHFUL = "rule", "faithful"
KNOWN, LIKELIHOOD, LEARNT = "known", "likelihood", "learnt"
LIMITS = {  # of the sums: from far too many false alarms to hardly any, each a seventh above the one before
    KNOWN: tuple(0.5 * 1.14**place for place in range(30)),
    LEARNT: tuple(0.5 * 1.14**place for place in range(30)),
    LIKELIHOOD: tuple(0.3 * 1.14**place for place in range(30)),
}
FOLLOWED_DAYS, FEWEST = 182, 10  # judgement
FIRST_ONSET, ONSET_EVERY = 28, 35  # days: flares begin after the first weeks, at any time of a step


@dataclass(frozen=True, slots=True)
class Did:
    """What one rule did with one person's course."""

    calls: int  # to step back because pain rose: false ones, since flares are lived apart from the course
    in_bouts: int  # of the calls, within a bout or on the two evenings after it
    delays: tuple[int, ...]  # one for each flare that no other call cut short; `Model.flare_days` + 1: never


@dataclass(frozen=True, slots=True)
class Climb:
    """What the programme under a rule did beside."""

    reasons: dict[ReasonCode, int]  # calls to step back by their reason
    gaps: int
    advances: tuple[MoveUp, ...]
    top_day: int | None
    heavy: int  # see `Life.heavy`
    decisions: int
    reached: dict[int, int]  # by step: see `Life.reached`
    lowering_day: int | None
    step: int  # at the end
    load_g: int  # at the end, 0 where nothing is moved
    rated: int
    sets_alone: int
    lost_days: tuple[int, ...]
    notices: frozenset[NoticeKind]


@dataclass(slots=True)
class Sample:
    """One person's course through every rule; of the sums, one entry for each limit."""

    spread: float
    course: Course
    days: int
    rules: dict[str, Did]
    climbs: dict[str, Climb]  # the rule's, and `FAITHFUL` of who improves: the same with every set done
    half_life_weeks: float  # of who improves
    sums: dict[str, tuple[Did, ...]]


def sample(rules: dict[str, Programme], model: Model, index: int, days: int, chance: Chance) -> tuple[Sample, ...]:
    """The person of that number on both courses. `rules[RULE]` is the one whose evenings the others are shown."""
    script = draw(model, spread_of(model, index), days, chance)
    first = FIRST_ONSET + int(chance.random() * ONSET_EVERY)
    onsets = [day for day in range(first, days - model.flare_days + 1, ONSET_EVERY) if day not in script.away]
    return tuple(_course(rules, model, script, course, onsets) for course in Course)


def _course(rules: dict[str, Programme], model: Model, script: Script, course: Course, onsets: Sequence[int]) -> Sample:
    days = len(script.answered)
    lives = {name: live(programme, model, script, course, onsets, rules[RULE]) for name, programme in rules.items()}
    did = {
        name: _did([day for day, why in life.calls if why in CLAIMS_A_RISE], life.delays, script)
        for name, life in lives.items()
    }
    ratings = lives[RULE].ratings
    flares = [flare_ratings(model, script, course, onset) for onset in onsets]
    for name, rule in HAND.items():
        calls = calls_by_hand(rule, ratings)
        delays = [
            delay_by_hand(rule, ratings[:onset], calls, flare) for onset, flare in zip(onsets, flares, strict=True)
        ]
        did[name] = _did(calls, delays, script)
    known = _of_sums(model, script, course, ratings, onsets, flares)
    climbs = {name: _climb(life) for name, life in lives.items()}
    if course is Course.IMPROVING:
        faithful = replace(script, done=[True] * days, away_done=True)
        climbs[FAITHFUL] = _climb(live(rules[RULE], model, faithful, course, (), rules[RULE]))
    return Sample(script.spread, course, days, did, climbs, script.half_life_weeks, known)


def _climb(life: Life) -> Climb:
    return Climb(
        reasons=dict(Counter(why for _, why in life.calls)),
        gaps=life.gaps,
        advances=tuple(life.advances),
        top_day=life.top_day,
        heavy=life.heavy,
        decisions=life.decisions,
        reached=life.reached,
        lowering_day=life.lowering_day,
        step=life.step,
        load_g=life.load_g,
        rated=life.rated,
        sets_alone=life.sets_alone,
        lost_days=tuple(life.lost_days),
        notices=life.notices,
    )


def passed_days(samples: Sequence[Sample]) -> dict[int, tuple[float, float]]:
    """By step: the days until half, and three in four, of those who improve were on the next one; infinite: never.

    Only of who came to the step early enough to be followed for half a year, and only where ten and more did.
    """
    found = {}
    ways = [(one.climbs[RULE].reached, one.days) for one in samples if one.course is Course.IMPROVING]
    for step in sorted({each for reached, _ in ways for each in reached}):
        came = [reached for reached, days in ways if step in reached and reached[step] <= days - FOLLOWED_DAYS]
        took = sorted(days for reached in came if (days := reached.get(step + 1, inf) - reached[step]))
        if len(took) >= FEWEST and took[len(took) // 2] < inf:
            found[step] = took[len(took) // 2], took[3 * len(took) // 4]
    return found


def _did(calls: Sequence[int], delays: Sequence[int], script: Script) -> Did:
    near = sum(any(script.bout[max(day - 2, 0) : day + 1]) for day in calls)
    return Did(len(calls), near, tuple(delay for delay in delays if delay))


def _of_sums(
    model: Model,
    script: Script,
    course: Course,
    ratings: Sequence[int | None],
    onsets: Sequence[int],
    flares: Sequence[Sequence[int | None]],
) -> dict[str, tuple[Did, ...]]:
    """A sum is one for all limits: what an evening adds does not depend on the calls before it."""
    levels = [level(script, course, day) for day in range(len(ratings))]
    in_flares: dict[str, list[list[float]]] = {name: [] for name in LIMITS}
    for onset, flare in zip(onsets, flares, strict=True):
        lived = [*ratings[:onset], *flare]
        for name, steps in _added(model, script, course, lived, levels[: len(lived)]).items():
            in_flares[name].append(steps[onset:])
    return {
        name: tuple(_one_sum(steps, limit, onsets, in_flares[name], script) for limit in LIMITS[name])
        for name, steps in _added(model, script, course, ratings, levels).items()
    }


def _added(
    model: Model, script: Script, course: Course, ratings: Sequence[int | None], levels: Sequence[float]
) -> dict[str, list[float]]:
    """What each evening adds to each sum."""
    rise, first = model.flare_rise, script.first_rating(course)
    fades = level(script, course, 1) / level(script, course, 0)
    return {
        KNOWN: excesses(ratings, levels, rise),
        LIKELIHOOD: likelihood_steps(ratings, levels, rise, script.spread, model.autocorrelation),
        LEARNT: excesses(ratings, learnt_levels(ratings, first, fades), rise),
    }


def _one_sum(
    steps: Sequence[float],
    limit: float,
    onsets: Sequence[int],
    in_flares: Sequence[Sequence[float]],
    script: Script,
) -> Did:
    calls, stood = sums(steps, limit, onsets)
    delays = [delay_of_sum(total, flare, limit) for total, flare in zip(stood, in_flares, strict=True)]
    return _did(calls, delays, script)


_NEVER = 1e6  # points, days or evenings that nobody reaches
_GAPS = ("ease_days", "back_days", "back_two_days", "restart_days")
Section = TypeVar("Section", Advance, Ceiling, Flare, Gap, Severe, Weeks)


def without_each(programme: Programme) -> dict[str, Programme]:
    """The programme once for each part that can be switched off, by `without.` and that part's name."""
    rule = programme.rule
    steps = {
        "ceiling": tuple(replace(step, back_above=None) for step in programme.steps),
        "sets": tuple(replace(step, training_days=None) for step in programme.steps),
        "gates": tuple(_ungated(step) for step in programme.steps),
    }
    rules = {
        "flare": replace(rule, flare=_with(rule.flare, limit=_NEVER)),
        "week_up": replace(rule, weeks=_with(rule.weeks, up=_NEVER)),
        "ceiling": replace(rule, ceiling=_with(rule.ceiling, day=_NEVER, week=_NEVER)),
        "severe": replace(rule, severe=_with(rule.severe, limit=_NEVER)),
        "gap": replace(rule, gap=_with(rule.gap, **dict.fromkeys(_GAPS, _NEVER))),
        "ratings": replace(rule, advance=_with(rule.advance, ratings=1)),
    }
    return {
        f"without.{name}": replace(programme, rule=rules.get(name, rule), steps=steps.get(name, programme.steps))
        for name in (*rules, "sets", "gates")
    }


def _with(section: Section, **values: float) -> Section:
    """A section of the rule with other thresholds."""
    return replace(section, **{name: _at(getattr(section, name), value) for name, value in values.items()})


def _at(figure: Figure, value: float) -> Figure:
    return replace(figure, value=float(value))


def _ungated(step: Step) -> Step:
    return replace(step, gates=tuple(replace(gate, mean=_at(gate.mean, 10)) for gate in step.gates))
