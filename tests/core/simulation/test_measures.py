"""Intervals against published ones, and rates that can be counted by hand."""

import math
import random

import pytest

from core.programme.file import default_programme
from core.simulation.cohort import KNOWN, RULE, Did, Sample, sample
from core.simulation.measures import best_at, curve, quality, steps, wilson
from core.simulation.people import Course, Model

NOTHING = Did(0, 0, ())


@pytest.mark.parametrize(
    ("hits", "of", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_the_share_has_the_published_wilson_interval(hits: int, of: int, low: float, high: float):
    """Newcombe RG. Stat Med 1998;17:857-872, table I, method 3 (from memory)."""
    found = wilson(hits, of)

    assert (found.low, found.high) == (pytest.approx(low, abs=5e-5), pytest.approx(high, abs=5e-5))


def people(calls: list[int], delays: list[int]) -> list[Sample]:
    return [
        Sample(1.0, Course.STABLE, 70, {RULE: Did(each, 0, (delay,))}, {}, 15.2, {KNOWN: (NOTHING,)})
        for each, delay in zip(calls, delays, strict=True)
    ]


def test_rates_and_delays_are_counted():
    found = quality(people([1, 0, 3, 0] * 10, [2, 3, 7, 29] * 10), RULE)

    assert found.false_calls.value == pytest.approx(100 * 40 / 400)  # forty calls in forty times ten weeks
    assert found.delay.value == pytest.approx(41 / 4)
    assert (found.soon.value, found.in_a_week.value) == (0.5, 0.75)
    assert math.isnan(found.beside_best.value)


def test_the_interval_covers_the_truth_as_often_as_it_says():
    """Poisson counts of mean 2: the jackknife of their mean must cover 2 in about 95 of 100 cohorts."""
    dice = random.Random(7)

    def poisson() -> int:
        count, product = 0, dice.random()
        while product > math.exp(-2):
            count, product = count + 1, product * dice.random()
        return count

    covered = 0
    for _ in range(200):
        found = quality(people([poisson() for _ in range(60)], [1] * 60), RULE).false_calls
        covered += found.low <= 20 <= found.high  # two calls in ten weeks
    assert 180 <= covered <= 199


@pytest.mark.long
def test_the_best_possible_is_as_late_as_itself():
    cohort = [
        one for place in range(60)
        for one in sample({RULE: default_programme()}, Model(), place, 182, random.Random(f"m/{place}"))
        if one.course is Course.STABLE
    ]  # fmt: skip
    points = curve(cohort, KNOWN)

    assert [rate for rate, _ in points] == sorted((rate for rate, _ in points), reverse=True)
    assert best_at(cohort, KNOWN, 5.0).beside_best.value == pytest.approx(1.0, abs=0.02)
    assert quality(cohort, RULE).beside_best.value > 1
    climbed = steps(cohort, RULE)
    assert climbed.advances > 60
    assert 0 <= climbed.unsafe_by_a_point.value <= climbed.unsafe.value < 0.5
