"""From what became of each person to rates, shares and delays with their intervals.

Rates, means and ratios: 95 % by a delete-a-group jackknife over twenty groups of people, since what happens to one
person hangs together (Tukey JW. Ann Math Stat 1958;29:614; Student's t with 19 degrees of freedom). Shares: Wilson
EB. J Am Stat Assoc 1927;22:209-212.
"""

import math
from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median_high

from core.model import NoticeKind, ReasonCode
from core.simulation.cohort import FAITHFUL, KNOWN, Climb, Did, Sample
from core.simulation.life import MoveUp
from core.weeks import WEEK_DAYS

GROUPS = 20  # with fewer people than twice as many the intervals say little
T_19 = 2.093  # the 0.975 quantile of Student's t with 19 degrees of freedom
Z = 1.96
SOON, IN_A_WEEK = 3, 7  # evenings
LOOK_WEEKS = 12
MEANS_SOMETHING = 0.3  # a fall that matters (Farrar 2001)
LIFTING_STEP = 7


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure with its 95 % interval. `low` and `high` are NaN where there is too little to tell."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Quality:
    """How good one rule was with some people."""

    false_calls: Estimate  # per 100 patient-weeks
    in_bouts: float  # of these, per 100 patient-weeks
    soon: Estimate  # share of flares answered within three evenings
    in_a_week: Estimate  # within seven
    delay: Estimate  # mean evenings; a flare never answered counts as one evening more than it was followed
    beside_best: Estimate  # mean delay over that of the best possible with as many false alarms


@dataclass(frozen=True, slots=True)
class Steps:
    """How people climbed."""

    advances: int
    unsafe: Estimate  # share of moves up with the true level above the gate ...
    unsafe_by_a_point: Estimate  # ... by more than one point
    unpractised: Estimate  # ... without five of seven evenings answered with the sets done
    at_top: Estimate  # share of people
    weeks_to_top: float  # median of those who got there; NaN when nobody did
    reasons: dict[ReasonCode, float]  # calls to step back per 100 patient-weeks
    gaps: float  # steps back after a gap, per 100 patient-weeks
    heavy: float  # evenings a flare that led to lowering or lifting with a true level above 5


@dataclass(frozen=True, slots=True)
class Places:
    """Where people are at the end, as shares of them unless said."""

    better: tuple[float, float]  # whose true level has halved by 12 and 26 weeks: how the cohort is made
    weeks_to_lowering: float  # median of everybody; NaN when fewer than half of them got there
    one_kilo: Estimate
    two_kilos: Estimate
    step_seven: Estimate
    faithful: tuple[Estimate, Estimate]  # one and two kilos where every set is done
    sets_alone: Estimate  # of the rated evenings below the last step: nothing but training days is missing
    lost_weeks: float  # median, from the call of a flare that passes until back where it began
    told_at_12: Estimate  # of those whose true level fell by 30 %: told all the same that too little has changed


@dataclass(frozen=True, slots=True)
class _Total:
    """Sums over one group of people."""

    calls: int = 0
    days: int = 0
    evenings: int = 0  # of delay
    flares: int = 0

    def __add__(self, other: "_Total") -> "_Total":
        return _Total(
            self.calls + other.calls,
            self.days + other.days,
            self.evenings + other.evenings,
            self.flares + other.flares,
        )

    @property
    def rate(self) -> float:
        """False calls per 100 patient-weeks."""
        return 100 * self.calls * WEEK_DAYS / self.days if self.days else math.nan

    @property
    def delay(self) -> float:
        return self.evenings / self.flares if self.flares else math.nan


def quality(samples: Sequence[Sample], rule: str) -> Quality:
    """How good the rule of that name was with these people."""
    return _quality(samples, [sample.rules[rule] for sample in samples])


def best_at(samples: Sequence[Sample], which: str, false_calls: float) -> Quality:
    """The sum of that name, at the limit whose false alarms come closest to so many per 100 patient-weeks."""
    points = curve(samples, which)
    place = min(range(len(points)), key=lambda each: abs(_log(points[each][0]) - _log(false_calls)))
    return _quality(samples, [sample.sums[which][place] for sample in samples])


def curve(samples: Sequence[Sample], which: str) -> tuple[tuple[float, float], ...]:
    """(false alarms per 100 patient-weeks, mean delay) of a sum, limit by limit; false alarms fall along it."""
    totals = [_added(groups) for groups in _by_limit(samples, which)]
    return tuple((total.rate, total.delay) for total in totals)


def steps(samples: Sequence[Sample], rule: str) -> Steps:
    """How people climbed under the programme of that name."""
    climbs = [sample.climbs[rule] for sample in samples]
    weeks = sum(sample.days for sample in samples) / WEEK_DAYS
    advances = [advance for climb in climbs for advance in climb.advances]
    flares = sum(len(sample.rules[rule].delays) for sample in samples)
    tops = [climb.top_day for climb in climbs if climb.top_day is not None]
    reasons = {code: sum(climb.reasons.get(code, 0) for climb in climbs) for code in ReasonCode}
    return Steps(
        advances=len(advances),
        unsafe=wilson(_above(advances, 0), len(advances)),
        unsafe_by_a_point=wilson(_above(advances, 1), len(advances)),
        unpractised=wilson(sum(not advance.practised for advance in advances), len(advances)),
        at_top=wilson(len(tops), len(climbs)),
        weeks_to_top=(median_high(tops) + 1) / WEEK_DAYS if tops else math.nan,
        reasons={code: 100 * count / weeks for code, count in reasons.items() if count},
        gaps=100 * sum(climb.gaps for climb in climbs) / weeks,
        heavy=sum(climb.heavy for climb in climbs) / flares if flares else math.nan,
    )


def places(samples: Sequence[Sample], rule: str) -> Places:
    """Where these people are who follow the programme of that name; they improve, each at their own pace."""
    climbs = [sample.climbs[rule] for sample in samples]
    faithful = [sample.climbs[FAITHFUL] for sample in samples]
    lowering = [math.inf if each.lowering_day is None else each.lowering_day for each in climbs]
    middle = median_high(lowering) if lowering else math.inf
    lost = [days for each in climbs for days in each.lost_days]
    told = [
        NoticeKind.PLATEAU_12_WEEKS in each.notices
        for each, sample in zip(climbs, samples, strict=True)
        if 0.5 ** (LOOK_WEEKS / sample.half_life_weeks) <= 1 - MEANS_SOMETHING
    ]
    return Places(
        better=(_better(samples, LOOK_WEEKS), _better(samples, 26)),
        weeks_to_lowering=(middle + 1) / WEEK_DAYS if middle < math.inf else math.nan,
        one_kilo=_lifting(climbs, 1000),
        two_kilos=_lifting(climbs, 2000),
        step_seven=wilson(sum(each.step >= LIFTING_STEP for each in climbs), len(climbs)),
        faithful=(_lifting(faithful, 1000), _lifting(faithful, 2000)),
        sets_alone=wilson(sum(each.sets_alone for each in climbs), sum(each.rated for each in climbs)),
        lost_weeks=median_high(lost) / WEEK_DAYS if lost else math.nan,
        told_at_12=wilson(sum(told), len(told)),
    )


def _better(samples: Sequence[Sample], weeks: float) -> float:
    """Better by half, as the trial's own measure is taken (Bisset 2006: 59 % at 12 weeks, 83 to 90 % later)."""
    return sum(sample.half_life_weeks <= weeks for sample in samples) / len(samples) if samples else math.nan


def _lifting(climbs: Sequence[Climb], grams: int) -> Estimate:
    return wilson(sum(each.load_g >= grams for each in climbs), len(climbs))


def wilson(hits: int, of: int) -> Estimate:
    """The share with its Wilson interval."""
    if of == 0:
        return Estimate(math.nan, math.nan, math.nan)
    share, spread = hits / of, Z**2 / of
    middle = (share + spread / 2) / (1 + spread)
    half = Z * math.sqrt(share * (1 - share) / of + spread / (4 * of)) / (1 + spread)
    return Estimate(share, max(middle - half, 0.0), min(middle + half, 1.0))


def _quality(samples: Sequence[Sample], did: Sequence[Did]) -> Quality:
    mine, known = _groups(samples, did), _by_limit(samples, KNOWN)
    delays = [delay for one in did for delay in one.delays]

    def beside(groups: Sequence[int]) -> float:
        total = _added([mine[group] for group in groups])
        points = [_added([each[group] for group in groups]) for each in known]
        return total.delay / _delay_at([(point.rate, point.delay) for point in points], total.rate)

    return Quality(
        false_calls=_jackknife(lambda groups: _added([mine[group] for group in groups]).rate),
        in_bouts=100 * WEEK_DAYS * sum(one.in_bouts for one in did) / sum(sample.days for sample in samples),
        soon=wilson(sum(delay <= SOON for delay in delays), len(delays)),
        in_a_week=wilson(sum(delay <= IN_A_WEEK for delay in delays), len(delays)),
        delay=_jackknife(lambda groups: _added([mine[group] for group in groups]).delay),
        beside_best=_jackknife(beside),
    )


def _jackknife(measure: Callable[[Sequence[int]], float]) -> Estimate:
    """A measure of all groups of people with its interval."""
    value = measure(range(GROUPS))
    parts = [measure([group for group in range(GROUPS) if group != out]) for out in range(GROUPS)]
    mean = sum(parts) / GROUPS
    half = T_19 * math.sqrt(sum((part - mean) ** 2 for part in parts) * (GROUPS - 1) / GROUPS)
    return Estimate(value, value - half, value + half)


def _groups(samples: Sequence[Sample], did: Sequence[Did]) -> list[_Total]:
    totals = [_Total()] * GROUPS
    for place, (sample, one) in enumerate(zip(samples, did, strict=True)):
        own = _Total(one.calls, sample.days, sum(one.delays), len(one.delays))
        totals[place % GROUPS] += own
    return totals


def _by_limit(samples: Sequence[Sample], which: str) -> list[list[_Total]]:
    limits = len(samples[0].sums[which]) if samples else 0
    return [_groups(samples, [sample.sums[which][place] for sample in samples]) for place in range(limits)]


def _added(totals: Sequence[_Total]) -> _Total:
    return sum(totals, start=_Total())


def _delay_at(points: Sequence[tuple[float, float]], rate: float) -> float:
    """The delay at a rate, between the limits straight over the logarithm of the rate; NaN outside of them."""
    rising = [(_log(each), delay) for each, delay in reversed(points) if each > 0]
    at = _log(rate)
    if not rising or not rising[0][0] <= at <= rising[-1][0]:
        return math.nan
    place = max(bisect_left([each for each, _ in rising], at), 1)
    (left, first), (right, second) = rising[place - 1], rising[min(place, len(rising) - 1)]
    return first if right == left else first + (second - first) * (at - left) / (right - left)


def _log(rate: float) -> float:
    return math.log(max(rate, 1e-3))


def _above(advances: Sequence[MoveUp], by: float) -> int:
    return sum(advance.above_gate > by for advance in advances)
