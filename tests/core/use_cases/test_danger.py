"""Danger and its clearance: what stops, what goes on, and what a later change cannot undo."""

import datetime as dt

import pytest

from core.errors import HoldlowerError
from core.model import Flag
from core.records import CheckInState, Status
from core.use_cases.answering import Said
from core.use_cases.coming_back import clear
from core.use_cases.leaving import go_away, leave
from core.use_cases.reporting import danger_told
from tests.core.use_cases.world import MORNING, World, answered_days, assert_replays, stopped, tell_danger

DAY = [MORNING.date() + dt.timedelta(days=n) for n in range(80)]


@pytest.mark.parametrize("flag", [Flag.URGENT, Flag.DISTRESS, Flag.RED_FLAG])
def test_danger_stops_the_programme_tells_the_therapist_and_nothing_is_asked_any_more(world: World, flag: Flag):
    who = world.somebody()
    world.live_to(0, "19:10")
    tell_danger(world, who, flag)
    assert stopped(world, who) is flag
    (notice,) = world.notices("danger")
    assert (notice.facts["flag"], notice.text) == (flag.value, "my fingers are numb")
    world.live_to(6, "12:00")
    assert len(world.messages(who, "evening.ask")) == 1
    assert world.messages(who, "evening.remind") == []


def test_a_milder_sign_never_hides_a_more_serious_one(small: World):
    who = small.somebody()
    small.live_to(0, "19:10")
    tell_danger(small, who, Flag.RED_FLAG)
    tell_danger(small, who, Flag.URGENT)
    tell_danger(small, who, Flag.DISTRESS)
    assert stopped(small, who) is Flag.URGENT
    assert len(small.notices("danger")) == 3


def test_what_is_no_danger_stops_nothing(small: World):
    who = small.somebody()
    with pytest.raises(ValueError, match="not a sign of danger"):
        tell_danger(small, who, Flag.CLINICAL_QUESTION)
    assert stopped(small, who) is None


@pytest.mark.parametrize(("hours", "next_day"), [(1, 1), (15, 1), (24 * 4 - 2, 4)])
def test_a_clearance_lets_it_go_on_the_same_day_and_later(world: World, hours: int, next_day: int):
    who = world.somebody()
    world.live_to(0, "19:10")
    tell_danger(world, who)
    world.now += dt.timedelta(hours=hours)
    decision = world.on(who, clear, "seen in the clinic, nothing found")
    assert decision
    assert decision.dose
    assert stopped(world, who) is None
    world.live_to(next_day, "20:00")
    asked = [each.facts["check_in"]["date"] for _, each in world.messages(who, "evening.ask")]
    assert asked[1:] == [DAY[next_day].isoformat()]
    assert len(world.messages(who, "danger.cleared")) == 1
    assert_replays(world, who)


def test_danger_told_again_after_a_clearance_of_the_same_day_stops_again(world: World):
    who = world.somebody()
    world.live_to(0, "19:10")
    for _ in range(3):
        tell_danger(world, who)
        assert stopped(world, who) is Flag.RED_FLAG
        assert world.person(who).next_due is None
        world.now += dt.timedelta(minutes=10)
        world.on(who, clear, "looked at")
        assert stopped(world, who) is None
    tell_danger(world, who)
    assert stopped(world, who) is Flag.RED_FLAG
    assert_replays(world, who)


def test_danger_told_for_an_evening_before_a_clearance_still_stops(small: World):
    who = small.somebody()
    answered_days(small, who, 3)
    tell_danger(small, who)
    small.live_to(5, "09:00")
    small.on(who, clear, "looked at")
    earlier = small.check_in(who, DAY[1])
    small.on(who, danger_told, Said(flag=Flag.RED_FLAG), small.now, earlier)
    assert stopped(small, who) is Flag.RED_FLAG
    assert_replays(small, who)


def test_changing_an_answer_does_not_undo_a_stop_or_a_clearance(small: World):
    who = small.somebody()
    answered_days(small, who, 4)
    tell_danger(small, who)
    small.answer_for(who, DAY[1], 5)
    assert stopped(small, who) is Flag.RED_FLAG
    small.live_to(6, "09:00")
    small.on(who, clear, "looked at")
    small.answer_for(who, DAY[1], 2)
    assert stopped(small, who) is None
    assert_replays(small, who)


def test_nothing_stopped_is_nothing_to_clear(small: World):
    who = small.somebody()
    with pytest.raises(HoldlowerError, match="nothing is stopped"):
        small.on(who, clear, "just so")
    assert small.notices() == []


def test_a_clearance_leaves_a_break_a_break_and_writes_to_nobody_who_has_left(small: World):
    away, gone = small.somebody(), small.somebody()
    small.live_to(0, "19:10")
    small.on(away, go_away, DAY[9])
    small.on(gone, leave)
    for who in (away, gone):
        tell_danger(small, who)
        small.now += dt.timedelta(minutes=5)
        small.on(who, clear, "looked at")
    small.live_to(8, "12:00")
    assert len(small.messages(away, "evening.ask")) == 1
    assert small.person(away).status == Status.AWAY
    assert [each.kind for _, each in small.messages(gone)] == ["evening.ask"]
    small.live_to(9, "20:00")
    assert small.person(away).status == Status.ACTIVE
    assert len(small.messages(away, "evening.ask")) == 2


def test_danger_before_the_first_day_asks_for_no_sets_of_that_day(small: World):
    who = small.somebody(wait_days=14)
    small.live_to(1, "10:00")
    tell_danger(small, who)
    check_in = small.check_in(who, DAY[1])
    assert check_in
    assert (check_in.state, check_in.sets_asked) == (CheckInState.ANSWERED, 0)
