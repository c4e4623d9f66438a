"""No important change: the three looks at 6, 12 and 26 weeks.

The shares and points are Farrar 2001 (about 2 points or 30 %) and the IMMPACT benchmarks of 2008 (10-20 %
minimal, at least 50 % substantial); the untreated course is a half-life of 15.2 weeks (Ikonen 2022, worked
out from it).
"""

import datetime as dt

import pytest

from core.model import NoticeKind
from tests.courses import TODAY, back, diary, episode, live, said, tonight

EARLY, MIDDLE, LATE = NoticeKind.PLATEAU_6_WEEKS, NoticeKind.PLATEAU_12_WEEKS, NoticeKind.PLATEAU_26_WEEKS
LOOKS = {EARLY: 42, MIDDLE: 84, LATE: 182}


def looked(kind: NoticeKind, first: float, pains: list[int], day: int | None = None) -> tuple[bool, bool]:
    """Whether that look told the therapist, and advised a clinician, on the day it is due."""
    told = frozenset(other.value for other in LOOKS if other is not kind)
    started = back((day or LOOKS[kind]) - 1)
    decision = tonight(
        episode(5, started=started, first_week_mean=first, told=told, level=9.0), diary(*pains)
    )
    return kind in decision.notices, decision.see_clinician


def week(mean_times_seven: int) -> list[int]:
    """Seven ratings of that sum, the higher ones first."""
    low, more = divmod(mean_times_seven, 7)
    return [low + 1] * more + [low] * (7 - more)


@pytest.mark.parametrize(
    ("kind", "first", "total", "told"),
    [
        (EARLY, 5.0, 30, True),  # 4.29 is 14 % below
        (EARLY, 5.0, 29, False),  # 4.14 is 17 % below
        (MIDDLE, 4.0, 22, True),  # 3.14: 21 % and 0.9 points
        (MIDDLE, 4.0, 21, False),  # 3.0: a quarter, less than the 30 % so that noise alone tells few
        (MIDDLE, 8.0, 43, True),  # 6.14: 23 % and 1.86 points
        (MIDDLE, 9.0, 49, False),  # 7.0: 22 % but 2 points
        (LATE, 6.0, 22, True),  # 3.14: 48 %
        (LATE, 6.0, 21, False),  # 3.0: half
        (LATE, 3.0, 14, False),  # 2.0 is quiet, whatever the share
    ],
)
def test_each_look_finds_too_small_a_fall(kind: NoticeKind, first: float, total: int, told: bool) -> None:
    assert looked(kind, first, week(total)) == (told, told and kind is not EARLY)


@pytest.mark.parametrize(("kind", "told"), [(EARLY, False), (MIDDLE, True), (LATE, True)])
def test_after_a_low_start_only_points_count(kind: NoticeKind, told: bool) -> None:
    assert looked(kind, 2.9, week(19)) == (told, told)  # 2.71: hardly any change, above two
    assert looked(kind, 2.9, week(14)) == (False, False)  # two is quiet


@pytest.mark.parametrize("kind", LOOKS)
def test_a_look_waits_for_its_day_and_for_four_ratings(kind: NoticeKind) -> None:
    assert looked(kind, 5.0, week(35), day=LOOKS[kind] - 1)[0] is False
    assert looked(kind, 5.0, [5, 5, 5])[0] is False
    assert looked(kind, 5.0, [5, 5, 5, 5])[0] is True
    assert looked(kind, 5.0, week(35), day=LOOKS[kind] + 9)[0] is True


def test_a_person_who_never_changes_is_told_of_once_at_each_look() -> None:
    lived = live(200, lambda day, dose: said(4), start_rating=4)
    told = [(day, kind) for day, (_, decision) in enumerate(lived, start=1) for kind in decision.notices]

    assert told == [(42, EARLY), (84, MIDDLE), (182, LATE)]
    assert [day for day, (_, decision) in enumerate(lived, start=1) if decision.see_clinician] == [84, 182]


def test_the_untreated_average_course_is_never_called_a_plateau() -> None:
    """From 6.0 it falls to 4.56 at week 6, 3.47 at week 12 and 1.83 at week 26."""

    def course(day: int) -> float:
        return float(6.0 * 0.5 ** (day / 7 / 15.2))

    lived = live(200, lambda day, dose: said(round(course(day))), start_rating=6)

    assert [course(7 * weeks) for weeks in (6, 12, 26)] == pytest.approx([4.56, 3.47, 1.83], abs=0.005)
    assert {kind for _, decision in lived for kind in decision.notices} & set(LOOKS) == set()


def test_the_first_week_is_the_first_with_four_ratings() -> None:
    late = live(20, lambda day, dose: said(5 if day in (2, 8) or day >= 10 else None, 1), start_rating=5)
    usual = live(9, lambda day, dose: said(6 if day < 3 else 2), start_rating=5)

    assert [state.first_week_mean for state, _ in usual[:7]] == [None] * 7
    assert usual[6][1].after.first_week_mean == pytest.approx((6 * 3 + 2 * 4) / 7)
    assert next(day for day, (state, _) in enumerate(late) if state.first_week_mean is not None) == 13


def test_a_look_without_a_first_week_to_compare_with_is_passed_over() -> None:
    lived = live(60, lambda day, dose: said(5 if day >= 45 else None, None), start_rating=5)

    assert all(EARLY not in decision.notices for _, decision in lived)
    assert EARLY.value in lived[-1][1].after.told
    assert lived[-1][1].date == TODAY + dt.timedelta(days=59)
