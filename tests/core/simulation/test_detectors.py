"""The yardsticks measure right: Page's sum against published numbers, the rules by hand on plain examples."""

import math
import random

import pytest

from core.simulation.detectors import (
    any_rise,
    calls_by_hand,
    delay_by_hand,
    delay_of_sum,
    excesses,
    learnt_levels,
    likelihood_steps,
    sums,
    two_of_three,
    week_up,
)

# NIST/SEMATECH e-Handbook 6.3.2.3, as copied by independent public test suites: target 325, k 0.3175, h 4.1959
NIST = (
    324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
    324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
)  # fmt: skip


def test_the_sum_calls_where_the_published_example_does():
    steps = excesses(NIST, [325.0] * 20, 2 * 0.3175)  # type: ignore[arg-type]

    calls, stood = sums(steps, 4.1959, onsets=[12])
    assert calls[0] + 1 == 14
    assert stood == [0.0]
    assert delay_of_sum(0.0, steps[12:], 4.1959) == 2


@pytest.mark.parametrize(("limit", "shift", "published"), [(4.0, 0.0, 168), (4.0, 1.0, 8.38), (5.0, 1.0, 10.4)])
def test_the_sum_runs_as_long_as_the_tables_say(limit: float, shift: float, published: float):
    """Average run lengths of the one-sided sum come to twice the two-sided ones of the tables without a shift.

    Montgomery, Introduction to Statistical Quality Control, table of run lengths for k 1/2 (from memory): two-sided
    168 without a shift at 4; 8.38 and 10.4 with a shift of one SD at 4 and 5, where the other side never matters.
    """
    dice = random.Random(1)
    steps = [dice.gauss(shift, 1) - 0.5 for _ in range(400_000)]

    calls, _ = sums(steps, limit, onsets=[])
    one_sided = published if shift else 2 * published
    error = one_sided / math.sqrt(len(calls))
    assert len(steps) / len(calls) == pytest.approx(one_sided, abs=4 * error)


def test_for_noise_without_memory_the_likelihood_is_the_excess_in_other_units():
    ratings, levels = [4, None, 7, 3, 9], [3.5] * 5

    plain = excesses(ratings, levels, 2.0)
    likely = likelihood_steps(ratings, levels, 2.0, spread=1.5, autocorrelation=0.0)
    assert likely == pytest.approx([2.0 / 1.5**2 * step for step in plain])


def test_the_likelihood_expects_more_of_the_same_after_a_high_evening():
    alone = likelihood_steps([3, 5], [3.0] * 2, 2.0, 1.0, 0.4)
    lingering = likelihood_steps([5, 5], [3.0] * 2, 2.0, 1.0, 0.4)

    assert lingering[1] < alone[1]


def test_any_rise_looks_at_the_evening_before():
    assert any_rise([3, None, 4], 2)
    assert not any_rise([4, None, 4], 2)
    assert not any_rise([4, 5, None], 2)


def test_two_of_three_compares_with_the_fortnight_before():
    assert two_of_three([3] * 14 + [5, 3, 5], 16)
    assert not two_of_three([3] * 14 + [5, 3, 4], 16)
    assert not two_of_three([3] * 14 + [5, 5, None], 16)
    assert not two_of_three([3, 3, 3, 9, 9, 9], 5)  # three evenings are no level


def test_week_up_compares_two_weeks():
    assert week_up([3] * 7 + [4] * 7, 13)
    assert not week_up([3] * 7 + [4] * 6 + [3], 13)
    assert not week_up([3] * 7 + [None] * 4 + [9] * 3, 13)


def test_by_hand_nobody_steps_back_twice_in_a_week():
    rising = [*range(10), 10]

    assert calls_by_hand(any_rise, rising) == [1, 8]
    assert delay_by_hand(any_rise, rising[:3], [1], rising[3:]) == 6  # day 8, the sixth of the flare from day 3
    assert delay_by_hand(any_rise, [5, 5], [], [5, 5, 5]) == 4  # never


def test_a_learnt_level_is_the_mean_of_the_ratings_before_each_moved_on_by_its_course():
    stable = learnt_levels([2, None, 6, 0], first=4, kept=1.0)
    halving = learnt_levels([4, 2, 1], first=8, kept=0.5)

    assert stable == [4.0, 3.0, 3.0, 4.0]
    assert halving == [4.0, 2.0, 1.0]
