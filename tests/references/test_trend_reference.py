"""Means, changes and levels of a diary against numpy and scipy, on random diaries with missing evenings."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from core.model import Evening
from core.rule.trend import look

TODAY = dt.date(2026, 3, 1)
RATINGS = st.lists(st.none() | st.integers(0, 10), min_size=15, max_size=60)


def diary(ratings: list[int | None]) -> tuple[Evening, ...]:
    """The ratings as evenings up to TODAY, the last one today's."""
    last = len(ratings) - 1
    return tuple(Evening(TODAY - dt.timedelta(days=last - n), pain=pain) for n, pain in enumerate(ratings))


def series(ratings: list[int | None]) -> np.ndarray:
    return np.array([np.nan if pain is None else pain for pain in ratings], dtype=float)


@settings(max_examples=150, deadline=None)
@given(RATINGS)
def test_weekly_means_and_their_change_agree_with_numpy(ratings: list[int | None]) -> None:
    trend, values = look(diary(ratings), TODAY), series(ratings)
    week, last_week = values[-7:], values[-14:-7]

    assert trend.week_ratings == np.count_nonzero(~np.isnan(week))
    if trend.week_ratings:
        assert trend.week_mean == pytest.approx(stats.tmean(week[~np.isnan(week)]))
    change = trend.change(4)
    enough = min(np.count_nonzero(~np.isnan(week)), np.count_nonzero(~np.isnan(last_week))) >= 4
    assert (change is not None) == enough
    if change is not None:
        assert change == pytest.approx(np.nanmean(week) - np.nanmean(last_week), abs=1e-9)


@settings(max_examples=150, deadline=None)
@given(RATINGS)
def test_the_mean_of_three_weeks_and_the_latest_rating_of_six_agree_with_numpy(ratings: list[int | None]) -> None:
    trend, values = look(diary(ratings), TODAY), series(ratings)
    three, six = (each[~np.isnan(each)] for each in (values[-21:], values[-42:]))

    assert trend.latest() == (six[-1] if six.size else None)
    if three.size:
        assert trend.mean(21) == pytest.approx(np.mean(three))


@settings(max_examples=100, deadline=None)
@given(RATINGS, st.integers(0, 10), st.integers(1, 42))
def test_days_above_and_from_a_limit_are_counted_as_numpy_counts_them(
    ratings: list[int | None], limit: int, days: int
) -> None:
    values = series(ratings)[-days:]
    trend = look(diary(ratings), TODAY)

    above = np.flatnonzero(np.nan_to_num(values, nan=-1)[::-1] > limit)
    assert trend.days_since_above(limit, days) == (int(above[0]) if above.size else None)
    assert trend.count_from(limit, days, None) == np.count_nonzero(np.nan_to_num(values, nan=-1) >= limit)


def test_evenings_after_today_are_not_looked_at() -> None:
    evenings = diary([3] * 20)
    later = tuple(Evening(TODAY + dt.timedelta(days=n), pain=10) for n in range(1, 30))

    assert look(evenings + later, TODAY).week_mean == 3
    assert look(evenings + later, TODAY).end == 20
