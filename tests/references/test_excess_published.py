"""The running excess against tabular cumulative sums that other people worked out and printed."""

import math

import pytest

from core.rule.counted import running_excess

# NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3: target 325, k 0.3175, h 4.1959.
NIST_DATA = (
    "324.925 324.675 324.725 324.350 325.350 325.225 324.125 324.525 325.225 324.600 "
    "324.625 325.150 328.325 327.250 327.825 328.500 326.675 327.775 326.875 328.350"
)
NIST_HIGH = "0 0 0 0 0.03 0 0 0 0 0 0 0 3.01 4.94 7.45 10.63 11.99 14.44 16.00 19.04"
NIST_LOW = "0 0.01 0 0.33 0 0 0.56 0.72 0.17 0.25 0.31 0 0 0 0 0 0 0 0 0"

# Montgomery DC, Introduction to Statistical Quality Control, tabular CUSUM example: target 10, K 0.5, H 5.
# As copied by several independent public test suites that agree; the thirtieth sum was not seen in print.
MONTGOMERY_DATA = (
    "9.45 7.99 9.29 11.66 12.16 10.18 8.04 11.46 9.20 10.34 9.03 11.47 10.51 9.40 10.08 "
    "9.37 10.62 10.31 8.52 10.84 10.90 9.33 12.29 11.50 10.60 11.08 10.38 11.62 11.31 10.52"
)
MONTGOMERY_HIGH = (
    "0 0 0 1.16 2.82 2.50 0.04 1.00 0 0 0 0.97 0.98 0 0 "
    "0 0.12 0 0 0.34 0.74 0 1.79 2.79 2.89 3.47 3.35 4.47 5.28"
)


def sums(data: list[float], target: float, k: float) -> list[float]:
    total, path = 0.0, []
    for value in data:
        total = running_excess(total, value, target, k)
        path.append(total)
    return path


def numbers(text: str) -> list[float]:
    return [float(word) for word in text.split()]


def mirrored(data: list[float], target: float) -> list[float]:
    return [2 * target - value for value in data]


def test_nist_upper_sum_is_met_value_by_value() -> None:
    got = sums(numbers(NIST_DATA), 325, 0.3175)

    assert got == pytest.approx(numbers(NIST_HIGH), abs=0.0051)


def test_nist_lower_sum_is_met_value_by_value_on_the_mirrored_data() -> None:
    got = sums(mirrored(numbers(NIST_DATA), 325), 325, 0.3175)

    assert got == pytest.approx(numbers(NIST_LOW), abs=0.0051)


def test_nist_sum_first_signals_at_the_fourteenth_value() -> None:
    got = sums(numbers(NIST_DATA), 325, 0.3175)

    assert next(place for place, total in enumerate(got, start=1) if total > 4.1959) == 14


def test_montgomery_sum_is_met_value_by_value_and_signals_at_the_twenty_ninth() -> None:
    got = sums(numbers(MONTGOMERY_DATA), 10, 0.5)

    assert got[:29] == pytest.approx(numbers(MONTGOMERY_HIGH), abs=0.0051)
    assert next(place for place, total in enumerate(got, start=1) if total > 5) == 29


def test_a_cap_limits_what_one_value_adds_and_nothing_else() -> None:
    assert running_excess(1.0, 10, 3, 1, cap=2) == 3.0
    assert running_excess(1.0, 4.5, 3, 1, cap=2) == 1.5
    assert running_excess(1.0, 0, 3, 1, cap=2) == 0.0
    assert math.isclose(running_excess(5.0, 0, 3, 1, cap=2), 1.0)
