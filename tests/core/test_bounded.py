"""The cost of a decision does not grow with the diary: counted in evenings read, not in seconds."""

from collections.abc import Sequence
from typing import overload

import pytest

from core.model import Evening
from core.rule import decide
from tests.courses import PROGRAMME, TODAY, diary, episode


class Counted(Sequence[Evening]):
    """A diary that counts how often an evening is taken out of it."""

    def __init__(self, evenings: tuple[Evening, ...]) -> None:
        self.evenings = evenings
        self.taken = 0

    def __len__(self) -> int:
        return len(self.evenings)

    @overload
    def __getitem__(self, place: int) -> Evening: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[Evening]: ...
    def __getitem__(self, place: int | slice) -> Evening | Sequence[Evening]:
        if isinstance(place, slice):
            self.taken += len(range(*place.indices(len(self.evenings))))
        else:
            self.taken += 1
        return self.evenings[place]


@pytest.mark.parametrize("step", [5, 8])
def test_a_two_year_diary_is_read_hardly_further_than_a_month(step: int) -> None:
    def taken(days: int) -> int:
        evenings = Counted(diary(*[2] * days))
        decide(PROGRAMME, episode(step, days=60), evenings, TODAY)
        return evenings.taken

    month, six_weeks, two_years, twenty_years = taken(30), taken(43), taken(730), taken(7300)

    assert two_years - six_weeks <= 5  # the search for today halves the diary, so it grows by its logarithm
    assert twenty_years - two_years <= 5
    assert two_years <= 1.6 * month
