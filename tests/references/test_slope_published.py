"""The slope against examples that other people printed, and against scipy on random points with many ties."""

import re

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.stats import kendalltau, theilslopes

from core.digest.weekly_trend import theil_sen

# Sen PK. J Am Stat Assoc 1968;63:1379-1389, the paper's own example; as carried in scipy's test suite.
SEN_X, SEN_Y = (1, 2, 3, 4, 10, 12, 18), (9, 15, 19, 20, 45, 55, 78)

# Hollander M, Wolfe DA, Chicken E. Nonparametric Statistical Methods, 3rd edition, Example 9.1, cloud seeding; the data
# as in R package NSM3, the slopes worked out from them by hand.
CLOUDS = (1.26, 1.27, 1.12, 1.16, 1.03)
CLOUD_SLOPES = (-0.15, -0.13, -0.08, -0.07, -0.0575, -0.055, -0.045, -1 / 30, 0.01, 0.04)

# US EPA. Unified Guidance, 2009, Example 17-6, p. 17-33; data and results as printed by R package EnvStats.
EPA_X = (
    89.6, 89.8, 90.1, 90.3, 90.6, 90.8, 91.1, 91.3, 91.6, 91.8, 92.1, 92.6, 93.1, 93.6, 94.1, 94.6, 95.1, 95.6, 95.8,
    96.1, 96.3, 96.6, 96.8,
)  # fmt: skip
EPA_Y = (
    480, 450, 490, 520, 485, 510, 510, 530, 510, 560, 560, 540, 590, 550, 600, 700, 570, 610, 650, 620, 830, 720, 590,
)  # fmt: skip

# Lumley T. Biometrics 1996;52:354-361, shoulder pain over six half-days (1-5), from R package nparLD; slopes and tau_b
# by scipy 1.17.1.
SHOULDER = """
    3   3 2 2 2 1 1   -0.3333 -0.8563
    25  4 4 4 4 1 1   -0.6    -0.7303
    33  1 3 2 2 1 1   -0.3333 -0.3892
    23  5 2 3 5 5 4    0       0.1491
    41  1 3 3 3 2 1    0      -0.2335
    1   1 1 1 1 1 1    0       none
"""

# Belenky G et al. J Sleep Res 2003;12:1-12 (reference from memory), reaction times over days 0-9, from R package lme4;
# slopes, intervals and tau by scipy 1.17.1.
SLEEP = """
    249.56 258.7047 250.8006 321.4398 356.8519 414.6901 382.2038 290.1486 430.5853 466.3535
        24.152283 9.1447 32.8508 0.733333
    241.6083 273.9472 254.4907 270.8021 251.4519 254.6362 245.4523 235.311 235.7541 237.2466
        -3.122767 -6.294033 0.0485 -0.466667
    221.6771 298.1939 326.8785 346.8555 348.7402 352.8287 354.4266 360.4326 375.6406 388.5417
        10.607 6.71082 18.540511 1
"""


def over_time(values):
    return list(enumerate(values))


def test_sens_own_example_has_the_slope_that_the_paper_prints():
    found = theil_sen(list(zip(SEN_X, SEN_Y, strict=True)))

    assert found.slope == 4
    assert found.tau_b == 1  # each y is larger than the last
    # the paper's interval is one of 93 %; of seven points 95 % end on the same two slopes, as scipy's do
    assert (found.low, found.high) == pytest.approx((3.71, 4.38), abs=0.005)


def test_the_cloud_seeding_slope_is_the_middle_of_the_ten():
    found = theil_sen(over_time(CLOUDS))

    assert found.slope == pytest.approx((-0.0575 - 0.055) / 2, abs=1e-12)
    assert found.tau_b == pytest.approx(-0.6)
    # of five points only the whole span holds at 95 %: all ten agree by chance in 2 of 120 orders, nine in 8 more
    assert (found.low, found.high) == pytest.approx((CLOUD_SLOPES[0], CLOUD_SLOPES[-1]), abs=1e-12)


def test_the_epa_example_has_the_printed_slope_and_lower_end_and_tau_b_where_the_print_has_tau_a():
    found = theil_sen(list(zip(EPA_X, EPA_Y, strict=True)))

    assert found.slope == pytest.approx(26.6666667, abs=5e-8)
    assert found.low == pytest.approx(20.0)
    # the print interpolates between two slopes (35.71182, Gilbert 1987), Sen's interval ends on a slope, as scipy's
    assert found.high == pytest.approx(35.849, abs=5e-4)
    # the print has tau_a 0.7667984, all 253 pairs in the denominator; five pairs are tied in y
    assert found.tau_b == pytest.approx(0.7667984 * (253 / 248) ** 0.5, abs=1e-6)
    assert found.tau_b == pytest.approx(0.774490, abs=5e-7)


@pytest.mark.parametrize("row", SHOULDER.strip().splitlines())
def test_whole_number_ratings_have_the_slopes_and_tau_of_scipy(row):
    _, *ratings, slope, tau = row.split()

    found = theil_sen(over_time(map(int, ratings)))

    assert found.slope == pytest.approx(float(slope), abs=5e-5)
    assert found.tau_b == (None if tau == "none" else pytest.approx(float(tau), abs=5e-5))


@pytest.mark.parametrize("series", re.findall(r"(\S.*\n.*)", SLEEP))
def test_reaction_times_without_ties_have_the_intervals_of_scipy(series):
    *times, slope, low, high, tau = map(float, series.split())

    found = theil_sen(over_time(times))

    assert (found.slope, found.low, found.high, found.tau_b) == pytest.approx((slope, low, high, tau), abs=5e-5)


PLACES = st.lists(st.integers(0, 60), min_size=2, max_size=30, unique=True)
# few values, as weekly means are; sevenths and fifths, so that equal means come from unequal sums too
HEIGHTS = st.tuples(st.integers(0, 30), st.sampled_from([1, 5, 6, 7])).map(lambda pair: pair[0] / pair[1])


@settings(max_examples=400, deadline=None)
@given(st.data(), PLACES)
def test_any_points_have_the_slope_interval_and_tau_of_scipy(data, places):
    heights = data.draw(st.lists(HEIGHTS, min_size=len(places), max_size=len(places)))
    found = theil_sen(list(zip(places, heights, strict=True)))

    expected = theilslopes(heights, places, 0.95)
    assert found.slope == pytest.approx(expected.slope, abs=1e-9)
    if len(set(heights)) > 1:
        assert found.tau_b == pytest.approx(kendalltau(places, heights).statistic, abs=1e-9)
    else:
        assert found.tau_b is None
    if len(places) >= 5:
        assert (found.low, found.high) == pytest.approx((expected.low_slope, expected.high_slope), abs=1e-9)
    else:
        assert (found.low, found.high) == (None, None)


@settings(max_examples=100, deadline=None)
@given(st.data(), PLACES, st.integers(-9, 9))
def test_a_line_added_to_the_points_is_added_to_the_slope(data, places, rise):
    """Theil-Sen is regression equivariant; Sen 1968. Whole numbers, so that sums are exact."""
    heights = data.draw(st.lists(st.integers(0, 10), min_size=len(places), max_size=len(places)))
    assume(len(places) >= 5)

    plain = theil_sen(list(zip(places, heights, strict=True)))
    turned = theil_sen([(x, y + rise * x) for x, y in zip(places, heights, strict=True)])

    assert turned.slope == pytest.approx(plain.slope + rise, abs=1e-9)


@pytest.mark.parametrize("points", [[], [(1, 2)], [(1, 2), (1, 3), (2, 2)]])
def test_points_without_a_slope_are_refused(points):
    with pytest.raises(ValueError, match="each x once"):
        theil_sen(points)
