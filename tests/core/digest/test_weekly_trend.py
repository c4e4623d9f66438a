"""The weekly trend: worked by hand, and honest on simulated and on real evenings."""

import datetime as dt
from collections import Counter

import numpy as np
import pytest

from core.digest.weekly_trend import WEEKS, Direction, WeeklyTrend, theil_sen, weekly_trend
from core.model import Evening

TODAY = dt.date(2026, 6, 28)
RUNS = 400


def evenings(pains, until=TODAY):
    """Ratings of consecutive evenings, the last one on `until`; None is one without an answer."""
    first = until - dt.timedelta(days=len(pains) - 1)
    return tuple(Evening(first + dt.timedelta(days=n), pain=pain) for n, pain in enumerate(pains))


def course(chance, nights, start, per_week, spread=1.0, lag=0.0):
    """Rounded ratings around a straight line, the noise with a marginal SD of `spread` and a correlation of `lag`."""
    noise = np.empty(nights)
    noise[0] = chance.normal(0, spread)
    for night in range(1, nights):
        noise[night] = lag * noise[night - 1] + chance.normal(0, spread * (1 - lag**2) ** 0.5)
    return [int(pain) for pain in np.clip(np.rint(start + per_week * np.arange(nights) / 7 + noise), 0, 10)]


def test_a_trend_worked_by_hand():
    """Means of 6, 5, none, 5, 3 and 4: two answers make no mean, and the gap counts as a week."""
    weeks = [[6] * 7, [4, 5, 6, None, None, None, None], [9, 9, *[None] * 5], [5] * 7, [2, 3, 4, 3, 3, 3, 3], [4] * 7]

    found = weekly_trend(evenings([pain for week in weeks for pain in week]), TODAY)

    # slopes of the ten pairs: -1 -1/3 -3/4 -2/5 / 0 -2/3 -1/4 / -2 -1/2 / +1; in the middle -0.4 and -0.5
    assert (found.means, found.mean, found.slope) == (5, 4.0, pytest.approx(-0.45))
    assert (found.low, found.high) == (-2.0, 1.0)  # by scipy too, all ten
    # one pair rises and eight fall; one of the ten is tied
    assert found.tau_b == pytest.approx((1 - 8) / (10 * 9) ** 0.5)
    assert found.direction is Direction.OPEN


def test_weeks_are_counted_back_from_the_day_and_eight_of_them_read():
    old, later = evenings([10] * 50, TODAY - dt.timedelta(weeks=WEEKS)), evenings([10] * 7, TODAY + dt.timedelta(7))
    recent = evenings([week for week in (8, 7, 6, 5, 4, 3, 2, 1) for _ in range(7)])

    found = weekly_trend((*old, *recent, *later), TODAY)

    assert found == WeeklyTrend(8, 1.0, -1.0, -1.0, -1.0, -1.0)
    assert found.direction is Direction.FALLING
    assert weekly_trend((*old, *recent), TODAY - dt.timedelta(days=1)).slope == pytest.approx(-1, abs=0.2)


@pytest.mark.parametrize(
    ("pains", "direction", "means"),
    [
        ([], Direction.TOO_FEW, 0),
        ([None] * 56, Direction.TOO_FEW, 0),
        ([5] * 21, Direction.TOO_FEW, 3),
        ([5] * 23, Direction.TOO_FEW, 3),  # two evenings are no week
        ([5] * 24, Direction.NO_VARIATION, 4),
        ([5] * 400, Direction.NO_VARIATION, 8),
        ([*[5] * 7, *[4] * 21], Direction.NO_INTERVAL, 4),
        ([3] * 7 + [4] * 7 + [5] * 7 + [6] * 7 + [7] * 7, Direction.RISING, 5),
        ([3, 5] * 28, Direction.OPEN, 8),
    ],
)
def test_what_can_be_said_depends_on_the_weeks_there_are(pains, direction, means):
    found = weekly_trend(evenings(pains), TODAY)

    assert (found.direction, found.means) == (direction, means)


def test_a_slope_of_nothing_between_moving_weeks_is_not_called_no_variation():
    found = weekly_trend(evenings([4] * 7 + [6] * 7 + [4] * 7 + [6] * 7 + [4] * 7), TODAY)

    assert found.slope == 0.0
    assert found.direction is Direction.OPEN
    assert found.low is not None
    assert found.low < 0 < found.high


@pytest.mark.parametrize(("per_week", "stuck"), [(-0.25, (0.6, 0.85)), (-0.5, (0.1, 0.35))])
def test_weekly_means_show_a_fall_that_sticks_at_nothing_on_evenings(per_week, stuck):
    """28 nights from 4, noise SD 1, as one simulation of 2,000 runs elsewhere: on evenings exactly 0 in 72 and 21 %."""
    chance = np.random.default_rng(4)
    courses = [course(chance, 28, 4, per_week) for _ in range(RUNS)]

    on_evenings = sum(theil_sen(list(enumerate(pains))).slope == 0 for pains in courses) / RUNS
    weekly = [weekly_trend(evenings(pains), TODAY).slope for pains in courses]

    assert stuck[0] < on_evenings < stuck[1]
    assert sum(slope == 0 for slope in weekly) / RUNS < 0.05
    assert sum(slope < 0 for slope in weekly) / RUNS > 0.85
    assert np.median(weekly) == pytest.approx(per_week, abs=0.05)


@pytest.mark.parametrize("per_week", [0.0, -0.1, -0.25, -0.5, 0.25])
@pytest.mark.parametrize("lag", [0.0, 0.4])
def test_the_interval_holds_the_true_change_as_often_as_it_says(per_week, lag):
    """Eight weeks, noise SD 1. Evenings that hang together shrink the promise little: weeks hang together less."""
    chance = np.random.default_rng(8)
    found = [weekly_trend(evenings(course(chance, 56, 5, per_week, lag=lag)), TODAY) for _ in range(RUNS)]

    held = sum(each.low <= per_week <= each.high for each in found) / RUNS
    said = Counter(each.direction for each in found)

    assert held >= 0.95 - 3 * (0.95 * 0.05 / RUNS) ** 0.5  # three standard errors of a share
    wrong = {Direction.RISING: per_week <= 0, Direction.FALLING: per_week >= 0}
    assert sum(said[direction] for direction, is_wrong in wrong.items() if is_wrong) / RUNS <= 0.05
    if per_week == -0.5:
        assert said[Direction.FALLING] / RUNS > 0.9


def test_real_tired_evenings_stick_at_nothing_and_their_weeks_do_not():
    """Kossakowski JJ et al. J Open Psychol Data 2017;5:1, series `phy_tired`, worst of the day, the first 28 days."""
    tired = [3, 4, 3, 4, 2, 3, 2, 3, 3, 3, 3, 2, 3, 3, 3, 3, 3, 4, 3, 3, 4, 3, 2, 4, 3, 3, 3, 3]

    assert theil_sen(list(enumerate(tired))).slope == 0.0
    # means 21, 20, 23 and 21 sevenths: slopes -1 3 -2 / 1 0.5 / 0 sevenths, 0.25 of them in the middle
    assert weekly_trend(evenings(tired), TODAY).slope == pytest.approx(0.25 / 7)
