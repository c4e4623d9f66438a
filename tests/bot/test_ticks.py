"""A clock that is set by hand, or a machine that slept, is noticed."""

import datetime as dt

import pytest

from bot.run.ticks import Jumps


@pytest.mark.parametrize(("moved", "jumped"), [(0, False), (3500, False), (3700, True), (-3700, True)])
def test_a_jump_of_more_than_an_hour_is_noticed_once(moved: int, jumped: bool):
    now, steady = dt.datetime(2026, 3, 2, 19, 0, tzinfo=dt.UTC), 0.0
    jumps = Jumps(lambda: now, lambda: steady)
    for _ in range(3):
        now, steady = now + dt.timedelta(hours=2), steady + 7200.0
        assert not jumps.noticed(), "time passing is no jump"
    now += dt.timedelta(seconds=moved)
    assert jumps.noticed() is jumped
    assert not jumps.noticed()
