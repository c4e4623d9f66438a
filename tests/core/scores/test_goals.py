"""Goals that people rate themselves, against the arithmetic of the published scale.

Stratford P et al. Physiotherapy Canada 1995;47(4):258-263, as clinics' forms print it: the mean of the activities;
detectable change with 90 % confidence 2 points of the mean, 3 of a single activity.
"""

import pytest

from core.scores import citations
from core.scores.goals import COUNTS, goal_change


@pytest.mark.parametrize(
    ("first", "now", "means", "verdict"),
    [
        ([2, 4, 3], [4, 6, 5], (3, 5), "better"),  # two points of the mean: just detectable
        ([2, 4, 3], [4, 6, 4], (3, 14 / 3), "chance"),
        ([6, 6], [4, 4], (6, 4), "worse"),
        ([2], [4], (2, 4), "chance"),  # two of a single activity are not
        ([2], [5], (2, 5), "better"),
        ([2, None, 3], [5, 9, None], (2, 5), "better"),  # only what was rated both times is compared
    ],
)
def test_a_change_is_told_from_chance_as_published(first, now, means, verdict):
    change = goal_change(first, now)
    assert ((change.first, change.now), change.verdict) == (pytest.approx(means), verdict)
    assert "Stratford" in citations(change.by)[0]


def test_nothing_to_compare_is_no_change():
    assert goal_change([], []) is goal_change([3], [None]) is None
    assert "Kamper" in citations(COUNTS)[0]
