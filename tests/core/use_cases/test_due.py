"""What our own downtime does to an evening: asked late, not asked, never counted against anybody. Lisbon keeps UTC."""

import datetime as dt
from dataclasses import replace

import pytest

from core.records import CheckInState, Due, OutboxState
from core.use_cases.digesting import plan_digest
from core.use_cases.due import choose_hours, do_due, plan_again
from core.use_cases.leaving import go_away
from core.use_cases.planning import change_evening
from tests.builders import a_message
from tests.core.use_cases.world import MORNING, World, assert_replays

DAY = [MORNING.date() + dt.timedelta(days=n) for n in range(40)]


def test_an_answer_that_comes_before_the_clock_has_caught_up_cancels_the_question_too(small: World):
    who = small.somebody()
    small.at(1, "18:30")  # down since the first morning
    small.answer(who, 3, 99)
    small.live_to(1, "23:00")
    first, second = (small.check_in(who, date) for date in DAY[:2])
    assert first
    assert second
    assert (first.state, second.state) == (CheckInState.NOT_ASKED, CheckInState.ANSWERED)
    assert small.messages(who) == []


def test_a_question_missed_by_a_downtime_is_asked_within_three_hours_with_the_reminder_after_it(world: World):
    who = world.somebody()
    world.do(lambda work: work.uow.people.save(replace(world.person(who), evening=dt.time(18, 0))))
    world.on(who, change_evening, dt.time(18, 0))
    world.at(0, "19:10")
    world.tick()
    world.live_to(0, "23:00")
    assert [(at.strftime("%H:%M"), each.kind) for at, each in world.messages(who)] == [
        ("19:10", "evening.ask"),
        ("21:10", "evening.remind"),
    ]


@pytest.mark.parametrize("back", ["22:01", "23:30"])
def test_after_more_than_three_hours_the_day_is_not_asked_and_does_not_count(world: World, back: str):
    who = world.somebody()
    world.at(0, back)
    world.tick()
    world.live_to(1, "18:00")
    check_in = world.check_in(who, DAY[0])
    assert check_in
    assert check_in.state == CheckInState.NOT_ASKED
    assert world.messages(who) == []
    assert world.decisions(who) == ()


def test_a_question_is_not_asked_once_its_day_is_over(small: World):
    who = small.somebody(evening=dt.time(22, 30))
    small.at(1, "00:20")
    small.tick()
    check_in = small.check_in(who, DAY[0])
    assert check_in
    assert check_in.state == CheckInState.NOT_ASKED
    assert small.messages(who) == []


def test_every_missed_date_of_a_long_downtime_is_noted(small: World):
    who = small.somebody()
    small.at(9, "20:00")
    small.tick()
    states = [check_in.state for date in DAY[:10] if (check_in := small.check_in(who, date))]
    assert states == [CheckInState.NOT_ASKED] * 9 + [CheckInState.ASKED]


def test_nobody_is_reminded_late_at_night_however_late_the_clock_comes_to_it(small: World):
    who = small.somebody()
    small.live_to(0, "19:30")
    small.at(0, "23:00")
    small.tick()
    assert small.messages(who, "evening.remind") == []


@pytest.mark.parametrize("sent", [True, False])
def test_a_question_that_never_left_us_does_not_count_as_silence(world: World, sent: bool):
    who = world.somebody()
    world.delivers = sent
    world.live_to(1, "00:10")
    check_in = world.check_in(who, DAY[0])
    assert check_in
    assert check_in.state == (CheckInState.SILENT if sent else CheckInState.NOT_ASKED)
    state = world.read(lambda uow: uow.outbox.state(f"evening.ask:{world.course(who).id}:{DAY[0].isoformat()}"))
    assert (state == OutboxState.SENT) is sent
    assert len(world.decisions(who)) == int(sent)


def test_a_day_closed_as_not_asked_corrects_the_days_decided_before_it_was_closed(small: World):
    who = small.somebody()
    small.delivers = False
    small.live_to(0, "19:10")  # asked, but nothing goes out; then a downtime until the next morning
    small.at(1, "10:00")
    small.answer(who, 3, 99)
    small.tick()
    check_in = small.check_in(who, DAY[0])
    assert check_in
    assert check_in.state == CheckInState.NOT_ASKED
    assert_replays(small, who)


def test_a_clock_that_was_ahead_for_moments_leaves_nobody_unasked(world: World):
    who = world.somebody()
    staff = world.staff(id="ben")
    world.do(lambda work: work.uow.staff.save(plan_digest(staff, work.now)))
    soon = world.now + dt.timedelta(days=3)
    told = a_message(world.person(who), not_before=soon, key="told later than anything waits")
    world.do(lambda work: work.uow.outbox.put(told))
    world.on(who, choose_hours, [dt.time(10)])
    before = world.now
    world.now += dt.timedelta(days=400)
    for due in Due:
        while world.do(do_due, due, 1):
            pass
    assert world.person(who).next_due > before + dt.timedelta(days=399)
    world.now = before

    assert world.do(plan_again) == 4, "a person, and their nudges, a therapist, a message"
    assert world.do(plan_again) == 0

    assert world.person(who).next_due < before + dt.timedelta(days=2)
    assert world.person(who).next_nudge == before.replace(hour=10, minute=0), "Lisbon is on UTC in winter"
    assert world.read(lambda uow: uow.staff.get("ben")).next_digest <= before + dt.timedelta(days=7)
    assert world.messages(who) == []
    world.deliver()
    assert [each.key for _, each in world.messages(who)] == [told.key]


def test_what_lies_ahead_on_purpose_is_left_there(world: World):
    waits, away = world.somebody(wait_days=14), world.somebody()
    world.on(away, go_away, DAY[20])
    before = [world.person(each).next_due for each in (waits, away)]
    assert world.do(plan_again) == 0
    assert [world.person(each).next_due for each in (waits, away)] == before
