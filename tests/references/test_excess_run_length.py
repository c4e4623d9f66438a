"""How long the running excess takes to reach its limit: against printed run lengths, and against exact ones.

The printed figures are those of the papers as quoted in the manual of R package spc (Knoth S, GPL), which was read;
where it is said, from memory. Our own part is the sum; the noise is drawn with a fixed seed, and four standard errors
are allowed, so that a right sum fails in one of 16,000 seeds and these seeds were not chosen.
"""

from collections.abc import Iterator
from fractions import Fraction

import numpy as np
import pytest

from core.rule.counted import reaches, running_excess
from tests.references.run_lengths import (
    RatingChain,
    banded_run_length,
    normal_run_length,
    rounded,
    two_sided,
)

RUNS = 2500

# Technometrics 1982;24:199-205, table 1: two-sided, k 0.5, h 4.
TWO_SIDED_1982 = {
    0.0: 168, 0.25: 74.2, 0.5: 26.6, 0.75: 13.3, 1.0: 8.38, 1.5: 4.75, 2.0: 3.34, 2.5: 2.62, 3.0: 2.19, 4.0: 1.71,
    5.0: 1.31,
}  # fmt: skip
# Vance LC. J Qual Technol 1986;18:189-193, table 1: one-sided, k 0, h 10.
VANCE = {
    -0.25: 2071.51, -0.125: 400.28, 0.0: 124.66, 0.125: 59.30, 0.25: 36.71, 0.5: 20.37, 0.75: 14.06, 1.0: 10.75,
}  # fmt: skip
# Waldmann KH. Technometrics 1986;28:61-67, tables 3, 1 and 5: one-sided, k 0.5, h 3.
WALDMANN = {-0.5: 1963, 0.0: 117.4, 0.5: 17.35}
# Hawkins DM. J Qual Technol 1993;25:248-261, as Montgomery prints it: limits for a two-sided run length of 370.
# The limits are in a public worksheet on such charts, the reference is from memory.
HAWKINS = {0.25: 8.01, 0.5: 4.77, 0.75: 3.34, 1.0: 2.52, 1.25: 1.99, 1.5: 1.61}


def three_figures(value: float) -> float:
    """The accuracy of a print with three figures: half of its last one, and a little for their arithmetic."""
    return 0.006 * value


@pytest.mark.parametrize(("mean", "printed"), TWO_SIDED_1982.items())
def test_the_yardstick_meets_the_two_sided_run_lengths_printed_in_1982(mean, printed):
    assert two_sided(0.5, 4, mean) == pytest.approx(printed, abs=three_figures(printed))


@pytest.mark.parametrize(("mean", "printed"), VANCE.items())
def test_the_yardstick_meets_the_run_lengths_of_vance(mean, printed):
    assert normal_run_length(0, 10, mean) == pytest.approx(printed, rel=1e-4, abs=0.006)


@pytest.mark.parametrize(("mean", "printed"), WALDMANN.items())
def test_the_yardstick_meets_the_run_lengths_of_waldmann(mean, printed):
    assert normal_run_length(0.5, 3, mean) == pytest.approx(printed, rel=0.002)


def test_the_yardstick_meets_single_figures_of_others():
    # SAS/QC manual, 1999: one-sided and two-sided, k 0.25, h 8, mean 2.5
    assert normal_run_length(0.25, 8, 2.5) == pytest.approx(4.1500836225, abs=2e-6)
    assert two_sided(0.25, 8, 2.5) == pytest.approx(4.1500826715, abs=2e-6)
    # NIST/SEMATECH e-Handbook 6.3.2.3, k 0.5: two-sided 168 and 465 for h 4 and 5; from memory
    assert two_sided(0.5, 5, 0) == pytest.approx(465, abs=1)
    # Brook and Evans 1972, section 4.3: 117.59 and 3.75 by their chain
    assert normal_run_length(0.5, 3, 0) == pytest.approx(117.59, abs=0.02)
    assert normal_run_length(0.5, 3, 1.5) == pytest.approx(3.75, abs=0.005)


@pytest.mark.parametrize(("allowance", "limit"), HAWKINS.items())
def test_the_yardstick_meets_the_limits_of_hawkins(allowance, limit):
    # a limit rounded to two figures after the point leaves 370 open by so much
    lowest, highest = two_sided(allowance, limit - 0.006, 0), two_sided(allowance, limit + 0.006, 0)

    assert lowest <= 370.5
    assert highest >= 369.5


def test_siegmunds_approximation_lies_close_to_the_yardstick():
    """Siegmund D. Sequential Analysis, 1985: (exp(-2Db) + 2Db - 1) / 2D^2, b = h + 1.166; Montgomery works out 938.2
    for k 0.5, h 5, mean 0 (both from memory)."""
    b, d = 5 + 1.166, -0.5
    siegmund = (np.exp(-2 * d * b) + 2 * d * b - 1) / (2 * d**2)

    assert siegmund == pytest.approx(938.2, abs=0.2)
    assert normal_run_length(0.5, 5, 0) == pytest.approx(siegmund, rel=0.01)


@pytest.mark.parametrize(("allowance", "limit", "mean"), [(0.5, 3, 0), (0.5, 4, 0), (0.5, 4, 1), (0.25, 8, 0.25)])
def test_the_banded_chain_and_the_integral_equation_agree(allowance, limit, mean):
    expected = normal_run_length(allowance, limit, mean)

    assert banded_run_length(allowance, limit, mean) == pytest.approx(expected, rel=0.002)


def run_lengths(values: Iterator[float], level: float, allowance: float, limit: float, cap=None) -> np.ndarray:
    """RUNS runs of our own sum, each from 0 until it reaches the limit."""
    found = []
    for _ in range(RUNS):
        total, count = 0.0, 0
        while not reaches(total, limit):
            total = running_excess(total, next(values), level, allowance, cap)
            count += 1
        found.append(count)
    return np.array(found)


def normal_values(seed: int, mean: float) -> Iterator[float]:
    chance = np.random.default_rng(seed)
    while True:
        yield from chance.normal(mean, 1, 10_000).tolist()


def ratings(seed: int, chances: dict[int, float]) -> Iterator[int]:
    chance = np.random.default_rng(seed)
    while True:
        yield from chance.choice(list(chances), 10_000, p=list(chances.values())).tolist()


def allowed(lengths: np.ndarray) -> float:
    return 4 * float(lengths.std()) / len(lengths) ** 0.5


@pytest.mark.parametrize(
    ("limit", "mean", "printed"),
    [(3, 0.0, WALDMANN[0.0]), (3, 0.5, WALDMANN[0.5]), (3, 1.5, 3.75), (4, 0.0, 336), (4, 1.0, 8.38), (4, 2.0, 3.34)],
)
def test_our_sum_runs_as_long_as_the_papers_print_on_normal_noise(limit, mean, printed):
    """Waldmann; Brook and Evans; the two-sided table of 1982, whose 168 of two sums is 336 of one, and whose other sum
    adds nothing visible from a mean of 1 on."""
    found = run_lengths(normal_values(101, 5 + mean), 5, 0.5, limit)

    assert found.mean() == pytest.approx(printed, abs=allowed(found) + three_figures(printed))
    assert found.mean() == pytest.approx(normal_run_length(0.5, limit, mean), abs=allowed(found))


def test_our_sum_has_waldmanns_quantiles():
    """Waldmann 1986, table 2, k 0.5, h 3: 5, 50 and 95 % of runs are over after 9, 82 and 345 values."""
    found = run_lengths(normal_values(102, 0), 0, 0.5, 3)

    for share, length in ((0.05, 9), (0.5, 82), (0.95, 345)):
        wide = 4 * (share * (1 - share) / RUNS) ** 0.5
        assert (found < length).mean() - wide <= share <= (found <= length).mean() + wide


def test_two_high_evenings_in_a_row_take_as_long_as_fellers_runs_of_successes():
    """Feller W. An Introduction to Probability Theory, volume 1, XIII.7 (from memory): a run of r successes takes
    (1 - p^r) / ((1 - p) p^r) trials on average. A sum that a high evening half fills and any other empties is that."""
    p = 0.3
    chances = {2: 1 - p, 8: p}

    chain = RatingChain(chances, Fraction(4), Fraction(1), Fraction(4), cap=Fraction(2))
    found = run_lengths(ratings(103, chances), 4, 1, 4, 2)

    assert chain.mean() == pytest.approx((1 - p**2) / ((1 - p) * p**2), rel=1e-12)
    assert found.mean() == pytest.approx(chain.mean(), abs=allowed(found))


@pytest.mark.parametrize("limit", [1, 4, 7])
def test_a_fair_walk_up_and_down_by_one_takes_its_limit_times_one_more(limit):
    """Worked by hand: with s(0) = 1 + (s(0) + s(1)) / 2 and s(i) = 1 + (s(i-1) + s(i+1)) / 2, s(0) = h (h + 1)."""
    walk = RatingChain({3: 0.5, 5: 0.5}, Fraction(4), Fraction(0), Fraction(limit))

    assert walk.mean() == pytest.approx(limit * (limit + 1))


RATING_CASES = {  # mean and spread of the ratings, then level, allowance, limit, cap
    "calm, half a point above the level": (4.0, 1.0, Fraction(7, 2), Fraction(1), Fraction(4), Fraction(2)),
    "calm, a noisy person": (4.0, 1.5, Fraction(4), Fraction(1), Fraction(4), Fraction(2)),
    "calm, a noisy person, uncapped": (4.0, 1.5, Fraction(4), Fraction(1), Fraction(4), None),
    "a flare of two": (6.0, 1.0, Fraction(4), Fraction(1), Fraction(4), Fraction(2)),
    "a flare of two, level between": (5.5, 0.7, Fraction(7, 2), Fraction(3, 4), Fraction(7, 2), Fraction(2)),
    "near the floor of the scale": (0.3, 1.0, Fraction(1, 2), Fraction(1, 2), Fraction(3), Fraction(2)),
    "a level as a mean of fourteen": (3.9, 1.0, Fraction(45, 14), Fraction(1), Fraction(4), Fraction(2)),
}


@pytest.mark.parametrize("case", RATING_CASES.values(), ids=RATING_CASES)
def test_on_whole_number_ratings_our_sum_runs_as_long_as_the_exact_chain(case):
    """Brook D, Evans DA. Biometrika 1972;59:539-549: for discrete values the chain has a state a sum and is exact."""
    mean, spread, level, allowance, limit, cap = case
    chances = rounded(mean, spread)
    chain = RatingChain(chances, level, allowance, limit, cap)

    found = run_lengths(
        ratings(104, chances), float(level), float(allowance), float(limit), None if cap is None else float(cap)
    )

    assert found.mean() == pytest.approx(chain.mean(), abs=allowed(found))
    for evenings in (2, 3, 7, 14):
        share = chain.within(evenings)
        assert (found <= evenings).mean() == pytest.approx(share, abs=4 * (share * (1 - share) / RUNS) ** 0.5 + 1e-9)


def test_the_cap_and_the_allowance_show_in_the_run_length():
    """So that the tolerances above are narrow enough to tell neighbouring rules apart."""
    chances = rounded(4.0, 1.5)
    plain, uncapped, tighter = (
        RatingChain(chances, Fraction(4), allowance, Fraction(4), cap).mean()
        for allowance, cap in ((Fraction(1), Fraction(2)), (Fraction(1), None), (Fraction(3, 4), Fraction(2)))
    )
    found = run_lengths(ratings(104, chances), 4, 1, 4, 2)

    assert abs(found.mean() - plain) < allowed(found)
    assert abs(found.mean() - tighter) > 4 * allowed(found)
    assert uncapped < plain
