"""Danger and its clearance, breaks and returns, leaving: what stops, what goes on, and which days count as a gap."""

import datetime as dt
from dataclasses import replace

import pytest

from core.model import Move, NoticeKind, ReasonCode
from core.records import Status
from core.timetable import ONE_DAY
from core.use_cases.coming_back import clear, come_back
from core.use_cases.leaving import cannot_reach, go_away, leave
from core.use_cases.planning import change_evening, change_zone
from tests.core.use_cases.world import MORNING, World, answered_days, assert_replays, stopped, tell_danger

DAY = [MORNING.date() + dt.timedelta(days=n) for n in range(80)]


def at_step(world: World, who: str, step: int) -> None:
    course = world.course(who)
    moved = replace(course, episode=replace(course.episode, step=step))
    world.do(lambda work: work.uow.diary.save_course(moved))


def test_who_comes_back_by_themselves_while_stopped_is_told_so_and_not_welcomed(small: World):
    who = small.somebody()
    small.live_to(0, "19:10")
    tell_danger(small, who)
    small.on(who, go_away, DAY[3])
    small.live_to(6, "12:00")
    assert [each.kind for _, each in small.messages(who)][1:] == ["danger.still"]
    assert stopped(small, who)
    assert [each.kind for each in small.decisions(who)] == ["evening"]


@pytest.mark.parametrize(("days", "steps"), [(3, 0), (7, 0), (8, 1), (15, 2)])
def test_whole_days_away_count_as_a_gap(world: World, days: int, steps: int):
    # how many days bring how many steps is the programme's table; here only that those days and no others count
    rule = world.do(lambda work: work.programmes.current.rule.gap)
    due = 2 if days >= rule.back_two_days.value else int(days >= rule.back_days.value)
    who = world.somebody()
    answered_days(world, who, 2)
    at_step(world, who, 5)
    world.on(who, go_away, DAY[1 + days + 1])
    world.live_to(1 + days + 1, "12:00")
    person, course = world.person(who), world.course(who)
    assert person.status == Status.ACTIVE
    assert course.episode.idle_days == days
    assert 5 - course.episode.step == due
    (welcome,) = world.messages(who, "away.back")
    assert welcome[0].strftime("%H:%M") == "09:00"
    world.live_to(1 + days + 1, "20:00")
    assert world.messages(who, "evening.ask")[-1][1].facts["check_in"]["date"] == DAY[1 + days + 1].isoformat()
    resumed = next(each for each in world.decisions(who) if each.kind == "resume")
    assert dict(resumed.decision.reasons[0].numbers) == {"days": days}
    assert resumed.decision.reasons[0].code == ReasonCode.RESUMED


@pytest.mark.parametrize("way", ["left", "unreachable", "paused twice", "paused, then unreachable"])
def test_the_gap_is_counted_from_the_first_day_away_whichever_way_it_came_about(small: World, way: str):
    who = small.somebody()
    answered_days(small, who, 2)
    at_step(small, who, 5)
    small.live_to(2, "10:00")
    first = {"left": leave, "unreachable": cannot_reach}.get(way)
    small.on(who, first) if first else small.on(who, go_away, None)
    small.live_to(8, "10:00")
    if way == "paused twice":
        small.on(who, go_away, DAY[30])
    elif "then" in way:
        small.on(who, cannot_reach)
    small.live_to(13, "10:00")
    _, decision = small.on(who, come_back)
    assert decision
    assert small.course(who).episode.idle_days == 11  # from the 2nd to the 12th day after the first
    assert small.on(who, come_back)[1] == {}


def test_days_away_before_and_after_a_stop_are_all_counted_and_none_twice(small: World):
    who = small.somebody()
    answered_days(small, who, 2)
    small.live_to(2, "10:00")
    small.on(who, go_away, None)
    small.live_to(7, "10:00")
    tell_danger(small, who)
    small.live_to(10, "10:00")
    small.on(who, clear, "looked at")
    small.live_to(12, "10:00")
    small.on(who, come_back)
    # days 2 to 11 without a set; the 7th itself, on which the sign was told, is the stop's own and counts for none
    assert small.course(who).episode.idle_days == 9
    assert_replays(small, who)


def test_going_away_and_coming_back_within_a_day_changes_nothing(small: World):
    who = small.somebody()
    answered_days(small, who, 2)
    small.live_to(2, "10:00")
    small.on(who, go_away, None)
    small.now += dt.timedelta(hours=2)
    _, decision = small.on(who, come_back)
    assert decision == {}
    small.live_to(2, "20:00")
    assert len(small.messages(who, "evening.ask")) == 3


def test_a_break_during_the_wait_after_an_injection_neither_shortens_it_nor_counts_as_a_gap(world: World):
    who = world.somebody(wait_days=14)
    assert world.course(who).episode.started == DAY[14]
    world.live_to(2, "10:00")
    world.on(who, change_evening, dt.time(20, 0))
    world.on(who, change_zone, "Europe/London")
    world.on(who, go_away, None)
    world.live_to(6, "10:00")
    world.on(who, come_back)
    tell_danger(world, who)
    world.now += dt.timedelta(hours=3)
    world.on(who, clear, "looked at")
    assert world.course(who).episode.idle_days == 0
    world.live_to(15, "12:00")
    assert [each.facts["check_in"]["date"] for _, each in world.messages(who, "evening.ask")] == [DAY[14].isoformat()]


def test_leaving_is_noted_and_coming_back_asks_again(world: World):
    who = world.somebody()
    answered_days(world, who, 1)
    world.on(who, leave)
    assert [each.kind for each in world.notices()] == [NoticeKind.LEFT]
    world.live_to(1, "10:00")
    world.on(who, come_back)
    world.live_to(1, "20:00")
    assert len(world.messages(who, "evening.ask")) == 2


def test_a_pain_that_calls_back_after_a_return_is_decided_on_the_same_chain(small: World):
    who = small.somebody()
    answered_days(small, who, 3)
    at_step(small, who, 5)
    small.on(who, go_away, DAY[8])
    small.live_to(8, "19:10")
    small.answer(who, 9, 99)
    small.live_to(9, "19:10")
    decided = small.answer(who, 9, 99).decision
    assert decided
    assert decided.move == Move.REGRESS
    assert decided.for_date == DAY[9] + ONE_DAY
    assert decided.see_clinician
