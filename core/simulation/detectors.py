"""What the rule is measured beside: rules that people use by hand, and the best possible ones.

Page's cumulative sum that is told the true level, the noise and the size of the rise, with half the rise for its
allowance: for independent normal noise no rule with as few false alarms is quicker in the worst case (Moustakides
GV. Ann Stat 1986;14:1379-1387). Evenings in a row are alike here, so that it is only close to the best;
the sum of the likelihood ratios of what the evening before did not foretell knows that as well (Lai TL. IEEE
Trans Inf Theory 1998;44:2917-2929, from memory). Whole-number ratings and bouts neither of them knows. What it costs
that no rule is told the level, the same sum shows that must learn it from the ratings.
"""

from collections.abc import Callable, Sequence

from core.weeks import WEEK_DAYS

Ratings = Sequence[int | None]
Hand = Callable[[Ratings, int], bool]  # the ratings and a day: does that evening call for a step back

SETTLE_DAYS = 7  # nobody steps back by hand twice in a week
LEAST_RATINGS = 4  # of a week, for a mean
LEVEL_DAYS = 14
RISE = 2


def any_rise(ratings: Ratings, day: int) -> bool:
    """More than on the latest evening before."""
    today = ratings[day]
    if today is None:
        return False
    before = next((one for one in reversed(ratings[max(day - WEEK_DAYS, 0) : day]) if one is not None), None)
    return before is not None and today > before


def two_of_three(ratings: Ratings, day: int) -> bool:
    """Two of the last three evenings at least 2 above the mean of the fortnight before them."""
    first = day - 2
    if ratings[day] is None or first < LEAST_RATINGS:
        return False
    before = [one for one in ratings[max(first - LEVEL_DAYS, 0) : first] if one is not None]
    if len(before) < LEAST_RATINGS:
        return False
    limit = sum(before) / len(before) + RISE
    return sum(one is not None and one >= limit for one in ratings[first : day + 1]) >= 2


def week_up(ratings: Ratings, day: int) -> bool:
    """The mean of seven days at least 1 above that of the seven before."""
    now = [one for one in ratings[max(day - WEEK_DAYS + 1, 0) : day + 1] if one is not None]
    then = [one for one in ratings[max(day - 2 * WEEK_DAYS + 1, 0) : max(day - WEEK_DAYS + 1, 0)] if one is not None]
    if ratings[day] is None or min(len(now), len(then)) < LEAST_RATINGS:
        return False
    return sum(now) / len(now) - sum(then) / len(then) >= 1


HAND: dict[str, Hand] = {"any_rise": any_rise, "two_of_three": two_of_three, "week_up": week_up}


def calls_by_hand(rule: Hand, ratings: Ratings) -> list[int]:
    """The days on which a rule used by hand calls for a step back."""
    found: list[int] = []
    for day in range(len(ratings)):
        if (not found or day - found[-1] >= SETTLE_DAYS) and rule(ratings, day):
            found.append(day)
    return found


def delay_by_hand(rule: Hand, before: Ratings, calls: Sequence[int], flare: Ratings) -> int:
    """Evenings of a flare until the call; one more than there are when none comes. `calls` are those before it."""
    ratings, onset = [*before, *flare], len(before)
    last = max((day for day in calls if day < onset), default=-SETTLE_DAYS)
    for day in range(max(onset, last + SETTLE_DAYS), len(ratings)):
        if rule(ratings, day):
            return day - onset + 1
    return len(flare) + 1


def excesses(ratings: Ratings, levels: Sequence[float], rise: float) -> list[float]:
    """What each evening adds to the sum that knows the true level: an evening without an answer adds nothing."""
    return [0.0 if rating is None else rating - level - rise / 2 for rating, level in zip(ratings, levels, strict=True)]


def likelihood_steps(
    ratings: Ratings, levels: Sequence[float], rise: float, spread: float, autocorrelation: float
) -> list[float]:
    """What each evening adds to the sum of log likelihood ratios, lasting rise against none."""
    steps: list[float] = []
    last, kept = 0.0, 0.0  # the latest deviation, and how much of it is foretold today
    for rating, level in zip(ratings, levels, strict=True):
        kept *= autocorrelation
        if rating is None:
            steps.append(0.0)
            continue
        deviation = rating - level
        shift, variance = rise * (1 - kept), spread**2 * (1 - kept**2)
        steps.append(shift * (deviation - kept * last - shift / 2) / variance)
        last, kept = deviation, 1.0
    return steps


def learnt_levels(ratings: Ratings, first: int, kept: float) -> list[float]:
    """The true level of each evening as far as all ratings before it tell, for who knows its course.

    `kept` is what remains of the level from one day to the next, 1 for stable people; `first` is the rating at
    enrolment. Nobody who must learn the level from ratings can know more, but for how noise lingers.
    """
    levels: list[float] = []
    total, count = first * kept, 1
    for rating in ratings:
        levels.append(total / count)
        if rating is not None:
            total, count = total + rating, count + 1
        total *= kept
    return levels


def sums(steps: Sequence[float], limit: float, onsets: Sequence[int]) -> tuple[list[int], list[float]]:
    """The days on which the sum reaches the limit and begins anew, and the sum as it stood before each onset."""
    calls: list[int] = []
    stood: list[float] = []
    starts, total = frozenset(onsets), 0.0
    for day, step in enumerate(steps):
        if day in starts:
            stood.append(total)
        total += step
        if total < 0:
            total = 0.0
        elif total >= limit:
            calls.append(day)
            total = 0.0
    return calls, stood


def delay_of_sum(total: float, steps: Sequence[float], limit: float) -> int:
    """Evenings until a sum that stands at `total` reaches the limit; one more than there are when it does not."""
    for delay, step in enumerate(steps, start=1):
        total = max(total + step, 0.0)
        if total >= limit:
            return delay
    return len(steps) + 1
