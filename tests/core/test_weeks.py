"""Weeks against a reference library and the calendar, and what counts for adherence."""

import datetime as dt
from dataclasses import replace
from itertools import groupby

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binned_statistic

from core.model import Evening, Meanwhile
from core.rule.trend import look
from core.weeks import Adherence, adherence, fortnight, monday_of, week_of_days, week_up_to, weeks
from tests.courses import TODAY, back, evening

evenings = st.builds(
    Evening,
    date=st.just(TODAY),
    asked=st.sampled_from([True, True, True, False]),
    pain=st.none() | st.integers(0, 10),
    sets_done=st.none() | st.integers(0, 5),
    sets_asked=st.integers(0, 4),
)


@st.composite
def diaries(draw: st.DrawFn) -> tuple[Evening, ...]:
    ages = sorted(draw(st.sets(st.integers(0, 400), max_size=60)), reverse=True)
    drawn = ((age, draw(evenings)) for age in ages)
    return tuple(Evening(back(age), each.asked, each.pain, each.sets_done, each.sets_asked) for age, each in drawn)


@given(diaries(), st.integers(0, 400), st.integers(0, 20))
def test_weeks_are_those_of_the_calendar_with_the_means_of_a_reference_library(diary, age, spared):
    started, until = max(back(age), back(400)), back(spared)
    if until < started:
        started, until = until, started
    found = weeks(diary, started, until)
    inside = [each for each in diary if started <= each.date <= until]

    # each ISO week once and in order: date.isocalendar of the standard library
    days = [started + dt.timedelta(days=n) for n in range((until - started).days + 1)]
    assert [week.first.isocalendar()[:2] for week in found] == [key for key, _ in groupby(days, _iso_week)]
    assert all(week.first.isoweekday() == 1 for week in found)

    # means and counts: scipy.stats.binned_statistic over edges a week apart
    rated = [each for each in inside if each.pain is not None]
    edges = [week.first.toordinal() for week in found] + [found[-1].first.toordinal() + 7]
    at, pain = [each.date.toordinal() for each in rated], [each.pain for each in rated]
    for name, statistic in (("mean", "mean"), ("rated", "count"), ("worst", "max")):
        if not rated:
            break
        expected = binned_statistic(at, pain, statistic, edges)[0]
        ours = [numpy.nan if (value := getattr(week, name)) is None else value for week in found]
        numpy.testing.assert_allclose(ours, expected, rtol=1e-12)
    assert sum(week.high_days for week in found) == sum(value >= 6 for value in pain)
    assert all(week.worst_on is None or week.worst_on in {each.date for each in rated} for week in found)
    whole = adherence(inside)
    assert (sum(week.sets.done for week in found), sum(week.sets.asked for week in found)) == (whole.done, whole.asked)
    assert weeks(reversed(diary), started, until) == found


def _iso_week(day: dt.date) -> tuple[int, int]:
    return day.isocalendar()[:2]


@given(diaries())
def test_a_whole_week_is_what_the_rule_sees_on_its_sunday(diary):
    for week in weeks(diary, back(400), TODAY):
        trend = look(diary, week.first + dt.timedelta(days=6))

        assert (week.total, week.rated) == (trend.week_sum, trend.week_ratings)


def test_a_week_across_the_new_year_is_one_week_and_an_empty_one_keeps_its_place():
    """ISO 8601: Thursday 31 December 2026 is in week 53 of 2026, and so is Sunday 3 January 2027."""
    new_year = (Evening(dt.date(2026, 12, 31), pain=7), Evening(dt.date(2027, 1, 3), pain=4))
    found = weeks(new_year, dt.date(2026, 12, 24), dt.date(2027, 1, 4))

    assert [week.first.isocalendar().week for week in found] == [52, 53, 1]
    assert [week.mean for week in found] == [None, 5.5, None]
    assert (found[1].worst, found[1].worst_on, found[1].high_days) == (7, dt.date(2026, 12, 31), 1)


@pytest.mark.parametrize(
    ("nights", "done", "asked", "untold"),
    [
        ([evening(age, 3, 4, 5) for age in range(14)], 56, 70, 0),
        ([evening(0, 3, 3, 3), evening(14, 3, 0, 3)], 3, 3, 0),  # a fortnight ago yesterday: over
        ([evening(0, 3, 9, 3), evening(1, 3, 0, 3)], 3, 6, 0),  # more than asked is no credit
        ([evening(0, 3, 3, 3), evening(1, None, None, 3, asked=False)], 3, 3, 0),  # nobody asked
        ([evening(0, 3, 3, 3), evening(1, None, None, 3)], 3, 3, 1),  # asked, and silent: not known, never none
        ([evening(0, 3, 3, 3), evening(1, 4, None, 3)], 3, 3, 1),  # the pain alone
        ([evening(0, 3, 0, 0)], 0, 0, 0),  # a rest day
        ([], 0, 0, 0),
    ],
)
def test_sets_are_counted_where_they_are_known_and_an_evening_without_an_answer_is_not_none(
    nights, done, asked, untold
):
    """Row J3 of the evidence gives a share of sessions done; of an evening nobody answered nothing is known."""
    assert fortnight(nights, TODAY) == Adherence(done, asked, untold)


@pytest.mark.parametrize(
    ("told", "counted"),
    [
        (Meanwhile.MOST, Adherence(3, 3)),
        (Meanwhile.SOME, Adherence(3, 3)),
        (Meanwhile.NONE, Adherence(3, 6)),
        (None, Adherence(3, 3, 1)),
    ],
)
def test_what_is_told_afterwards_counts_as_told(told, counted):
    silent = replace(evening(1, None, None, 3), meanwhile=told)
    assert adherence([silent, evening(0, 3, 3, 3)]) == counted


def test_on_a_monday_before_the_evening_the_week_is_the_one_that_ended_on_sunday():
    monday = dt.date(2026, 3, 9)
    diary = tuple(Evening(monday - dt.timedelta(days=age), pain=age) for age in range(8, 0, -1))
    assert week_up_to(diary, monday) == dt.date(2026, 3, 8)
    assert (
        week_of_days(diary, week_up_to(diary, monday))
        == weeks(diary, monday - dt.timedelta(14), dt.date(2026, 3, 8))[-1]
    )
    answered = (*diary, Evening(monday, pain=9))
    assert week_up_to(answered, monday) == monday
    assert week_of_days(answered, monday).mean == (9 + sum(range(1, 7))) / 7


def test_an_evening_rated_unasked_counts_as_asked_and_one_nobody_asked_does_not():
    nights = [evening(4, asked=False), evening(3, 4, asked=False), evening(2), evening(1, 3)]

    (week,) = weeks(nights, back(7), back(1))

    assert (week.rated, week.asked) == (2, 3)


def test_the_monday_of_a_monday_is_itself():
    assert (monday_of(TODAY), monday_of(back(1)), monday_of(back(-6))) == (TODAY, back(7), TODAY)
