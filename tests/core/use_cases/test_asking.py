"""Evening after evening: asked once, reminded once, closed, answered late, changed. Lisbon keeps UTC in winter."""

import datetime as dt
from dataclasses import replace

import pytest

from core.model import Flag, Move, ReasonCode
from core.records import CheckInState, Status
from core.timetable import ONE_DAY
from core.use_cases.leaving import cannot_reach, leave
from core.use_cases.planning import change_evening, change_zone
from tests.core.use_cases.world import MORNING, World, assert_replays

DAY = [MORNING.date() + dt.timedelta(days=n) for n in range(40)]


def test_an_evening_is_asked_reminded_and_closed_once(world: World):
    who = world.somebody()
    world.live_to(0, "19:00")
    assert [message.kind for _, message in world.messages(who)] == ["evening.ask"]
    world.tick()
    world.live_to(1, "09:00")
    assert [(at.strftime("%H:%M"), each.kind) for at, each in world.messages(who)] == [
        ("19:00", "evening.ask"),
        ("21:00", "evening.remind"),
    ]
    check_in = world.check_in(who, DAY[0])
    assert check_in
    assert check_in.state == CheckInState.SILENT
    assert [each.decision.reasons[0].code for each in world.decisions(who)] == [ReasonCode.NO_ANSWER]


def test_an_answer_takes_back_the_reminder_and_a_question_still_on_its_way(world: World):
    who = world.somebody()
    world.delivers = False
    world.live_to(0, "19:05")
    world.answer(who, 4, 99)
    world.delivers = True
    world.live_to(1, "09:00")
    assert world.messages(who) == []


def test_a_volunteered_answer_cancels_the_question_of_that_date_only(world: World):
    who = world.somebody()
    world.at(0, "15:00")
    recorded = world.answer(who, 3, 99)
    assert recorded.decision
    world.live_to(1, "20:00")
    assert [each.facts["check_in"]["date"] for _, each in world.messages(who, "evening.ask")] == [DAY[1].isoformat()]


def test_an_answer_after_midnight_belongs_to_the_evening_that_asked_and_is_decided_again(world: World):
    who = world.somebody()
    world.live_to(1, "00:30")
    closed = world.check_in(who, DAY[0])
    assert closed
    assert (closed.state, closed.close_at) == (CheckInState.SILENT, None)
    world.answer(who, 4, 99)
    evening = world.check_in(who, DAY[0])
    assert evening
    assert (evening.state, evening.pain) == (CheckInState.ANSWERED, 4)
    assert world.check_in(who, DAY[1]) is None
    (live,) = world.decisions(who)
    assert live.decision.reasons[0].code != ReasonCode.NO_ANSWER
    exported = world.read(lambda uow: uow.people.export(who))
    assert [(each["superseded"], each["date"]) for each in exported["decisions"]] == [
        (True, DAY[0].isoformat()),
        (False, DAY[0].isoformat()),
    ]


def test_half_an_answer_after_midnight_stays_open_for_its_other_half_and_is_then_closed(small: World):
    who = small.somebody()
    small.do(lambda work: work.uow.people.save(replace(small.person(who), next_due=None, next_date=None)))
    small.at(1, "00:30")
    half = small.answer(who, 4)
    assert half.decision is None
    small.live_to(1, "12:00")
    assert [each.date for each in small.decisions(who)] == [DAY[0]]


def test_changing_an_answer_of_two_days_ago_decides_every_later_day_again(world: World):
    who = world.somebody()
    for day in range(6):
        world.live_to(day, "19:10")
        world.answer(who, 3, 99)
    before = world.decisions(who)
    changed = world.answer_for(who, DAY[3], 7)
    after = world.decisions(who)
    assert changed.changed
    assert [each.id for each in before[:3]] == [each.id for each in after[:3]]
    assert {each.id for each in before[3:]}.isdisjoint(each.id for each in after[3:])
    assert [each.date for each in before] == [each.date for each in after]
    assert changed.decision == after[-1].decision
    assert world.course(who).episode == after[-1].decision.after
    assert after[3].decision.after.excess > before[3].decision.after.excess
    assert after[4].before.excess == after[3].decision.after.excess
    exported = world.read(lambda uow: uow.people.export(who))
    assert sum(each["superseded"] for each in exported["decisions"]) == 3
    assert_replays(world, who)


def test_a_notice_appears_once_however_often_its_day_is_decided(world: World):
    who = world.somebody()
    for day in range(3):
        world.live_to(day, "19:10")
        world.answer(who, 8, 99)
    world.answer_for(who, DAY[1], 9)
    world.answer_for(who, DAY[1], 8)
    dates = [each.facts["date"] for each in world.notices("severe_twice")]
    assert dates
    assert len(dates) == len(set(dates))


def test_a_week_of_silence_tells_the_therapist_once_and_the_person_in_the_morning(small: World):
    who = small.somebody()
    small.live_to(12, "12:00")
    assert len(small.notices("silent")) == 1
    told = small.messages(who, "evening.gap")
    assert all(at.strftime("%H:%M") == "09:00" for at, _ in told)
    assert len(told) == len({message.facts["decided"]["date"] for _, message in told})


def test_news_of_a_gap_is_not_told_once_the_silence_is_broken_or_the_person_has_left(small: World):
    who, gone = small.somebody(), small.somebody()
    day = 0
    while not small.decisions(who) or small.decisions(who)[-1].decision.move != Move.REGRESS:
        if day == 0:
            small.answer(who, 4, 99)
            small.answer(gone, 4, 99)
            for each in (who, gone):  # on a step from which a gap leads back
                course = small.course(each)
                ahead = replace(course.episode, step=5)
                later = replace(course, episode=ahead)
                small.do(lambda work, later=later: work.uow.diary.save_course(later))
        day += 1
        if day == 12:
            break
        small.live_to(day, "23:59")
        small.live_to(day + 1, "00:05")
    assert small.decisions(who)[-1].decision.move == Move.REGRESS
    small.answer(who, 4, 99)
    small.on(gone, leave)
    small.live_to(day + 1, "12:00")
    assert small.messages(who, "evening.gap") == []
    assert small.messages(gone, "evening.gap") == []


def test_an_hour_moved_to_one_that_is_past_is_asked_at_once(small: World):
    who = small.somebody(evening=dt.time(22, 30))
    small.live_to(0, "22:00")
    small.on(who, change_evening, dt.time(18, 0))
    small.tick()
    assert [at.strftime("%H:%M") for at, _ in small.messages(who, "evening.ask")] == ["22:00"]


def test_crossing_the_date_line_asks_no_date_twice(small: World):
    # 2 March 06:00 UTC is the evening of the 2nd in Auckland and of the 1st in Honolulu
    small.now = dt.datetime(2026, 3, 2, 2, 0, tzinfo=dt.UTC)
    who = small.somebody(zone="Pacific/Auckland")
    small.live_to(0, "06:10")
    small.on(who, change_zone, "Pacific/Honolulu")
    small.live_to(3, "12:00")
    dates = [each.facts["check_in"]["date"] for _, each in small.messages(who, "evening.ask")]
    assert dates == [date.isoformat() for date in (DAY[0], DAY[1], DAY[2])]


@pytest.mark.parametrize("gone", [leave, cannot_reach])
def test_whoever_is_gone_is_written_to_no_more(world: World, gone):
    who = world.somebody()
    world.live_to(0, "19:05")
    world.on(who, gone)
    world.live_to(5, "12:00")
    assert [each.kind for _, each in world.messages(who)] == ["evening.ask"]
    assert world.person(who).status in (Status.LEFT, Status.UNREACHABLE)
    assert world.course(who).episode.idle_days <= 1


def test_a_question_about_medicine_is_passed_on_without_stopping_anything(small: World):
    who = small.somebody()
    small.live_to(0, "19:10")
    recorded = small.answer(who, 4, 99, flag=Flag.CLINICAL_QUESTION)
    assert recorded.decision
    assert recorded.decision.dose
    assert recorded.decision.for_date == DAY[0] + ONE_DAY


def test_a_weight_that_a_silent_gap_made_lighter_is_told_once(small: World):
    who = small.somebody(rating=3)
    small.live_to(0, "19:10")
    small.answer(who, 3, 99)
    course = small.course(who)
    loaded = replace(course, episode=replace(course.episode, step=3, load_g=1000))
    small.do(lambda work: work.uow.diary.save_course(loaded))
    small.live_to(7, "12:00")
    news = [message for _, message in small.messages(who, "evening.dose")]
    (told,) = [each for each in news if any(why["code"] == "gap_load" for why in each.facts["decided"]["reasons"])]
    assert (told.facts["decided"]["dose"]["load_g"], small.course(who).episode.load_g) == (900, 900)
