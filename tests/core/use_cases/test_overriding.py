"""The therapist's acts within a course: in effect at once, kept through corrections, taken back within the day."""

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import OverrideError, RefusalError
from core.model import Flag
from core.records import CheckInState, Status, StoredDecision
from core.rule.course import is_stopped
from core.rule.override import Act, Override, act_of
from core.scores.prtee import score
from core.timetable import ONE_DAY, evening_of, local_date
from core.use_cases.answering import Said
from core.use_cases.coming_back import come_back
from core.use_cases.deciding import first_name
from core.use_cases.leaving import cannot_reach, go_away, leave
from core.use_cases.overriding import act, change_start, clear_stop, set_evening, undo, write_to
from core.use_cases.patient_file import record_outcome
from core.use_cases.reporting import danger_told
from tests.core.use_cases.world import MORNING, World, assert_replays
from tests.examples import examples

DAY = [MORNING.date() + dt.timedelta(days=n) for n in range(40)]
WHY = "agreed on the phone"


def does(
    world: World, who: str, what: Act, step: int | None = None, until: dt.date | None = None, gate: float | None = None
) -> StoredDecision:
    therapist = world.read(lambda uow: uow.staff.get("ben"))
    return world.on(who, lambda work, person: act(work, therapist, person, Override(what, step, until, gate), WHY))


def takes_back(world: World, who: str, decision_id: str) -> Any:
    therapist = world.read(lambda uow: uow.staff.get("ben"))
    return world.on(who, lambda work, person: undo(work, therapist, person, decision_id))


def refused(world: World, do: Callable[[], object]) -> str:
    with pytest.raises(RefusalError) as caught:
        do()
    return caught.value.problem


def patient(world: World, evenings: int = 0, **given: Any) -> str:
    world.staff(id="ben", name="Ben")
    who = world.somebody(therapist_id="ben", **given)
    for day in range(evenings):
        world.live_to(day, "19:10")
        world.answer(who, 3, 99)
    return who


def test_an_act_before_the_evening_changes_todays_dose_and_the_question_counts_its_sets(world: World):
    who = patient(world, 3)
    world.live_to(3, "12:00")
    stored = does(world, who, Act.UP)
    assert (stored.date, stored.decision.for_date, stored.by, stored.note) == (DAY[2], DAY[3], "ben", WHY)
    told = world.messages(who, "override.told")
    world.live_to(3, "19:05")
    told = world.messages(who, "override.told")
    assert [each.facts["date"] for _, each in told] == [DAY[3].isoformat()]
    asked = world.messages(who, "evening.ask")[-1][1].facts
    assert asked["dose"]["step"] == 3
    assert asked["check_in"]["sets_asked"] == stored.decision.dose.asked
    assert_replays(world, who)


def test_an_act_after_todays_question_begins_tomorrow_and_todays_sets_count_as_they_were_asked(world: World):
    who = patient(world, 3)
    world.live_to(3, "19:30")
    asked = world.check_in(who, DAY[3]).sets_asked
    stored = does(world, who, Act.BACK)
    assert stored.decision.for_date == DAY[4]
    world.answer(who, 3, 99)
    assert world.check_in(who, DAY[3]).sets_done == asked
    assert world.course(who).episode.step == stored.decision.step
    assert_replays(world, who)


def test_acts_survive_corrected_answers_with_their_moment_maker_and_reason(world: World):
    who = patient(world, 4)
    world.live_to(4, "12:00")
    done = does(world, who, Act.TO, step=4)
    for day in range(4, 8):
        world.live_to(day, "19:10")
        world.answer(who, 3, 99)
    before = world.decisions(who)
    for pain in (6, 2, 7):
        world.answer_for(who, DAY[3], pain)
    after = world.decisions(who)
    assert [(each.date, each.kind) for each in after] == [(each.date, each.kind) for each in before]
    (kept,) = (each for each in after if each.kind == "override")
    assert first_name(kept.id) == done.id
    assert (kept.made_at, kept.by, kept.note) == (done.made_at, "ben", WHY)
    assert act_of(kept.decision) == Override(Act.TO, 4)
    assert kept.before != done.before
    assert_replays(world, who)


def test_a_correction_that_stops_for_danger_leaves_the_act_on_record_without_effect(small: World):
    who = patient(small, 4)
    small.live_to(4, "12:00")
    does(small, who, Act.UP)
    step = small.course(who).episode.step
    small.answer_for(who, DAY[2], flag=Flag.RED_FLAG)
    episode = small.course(who).episode
    assert episode.paused_for == Flag.RED_FLAG
    assert episode.step < step
    assert [each.kind for each in small.decisions(who)].count("override") == 1
    assert_replays(small, who)


def test_an_act_is_taken_back_also_after_a_correction_and_only_once(world: World):
    who = patient(world, 4)
    world.live_to(4, "12:00")
    as_it_was = world.course(who).episode
    done = does(world, who, Act.UP)
    world.answer_for(who, DAY[2], 4)
    assert takes_back(world, who, done.id) is None
    assert world.course(who).episode.step == as_it_was.step
    assert [each.kind for each in world.decisions(who)].count("override") == 0
    assert refused(world, lambda: takes_back(world, who, done.id)) == "nothing_to_undo"
    world.live_to(4, "12:05")
    assert [each.kind for _, each in world.messages(who)][-1] == "override.undone"
    assert_replays(world, who)


def test_taking_back_the_first_of_two_acts_keeps_the_second(small: World):
    who = patient(small, 3)
    small.live_to(3, "12:00")
    first = does(small, who, Act.UP)
    second = does(small, who, Act.TO, step=5)
    takes_back(small, who, first.id)
    (left,) = (each for each in small.decisions(who) if each.kind == "override")
    assert first_name(left.id) == second.id
    assert left.made_at == second.made_at
    assert small.course(who).episode.step == 5
    assert_replays(small, who)


@pytest.mark.parametrize(
    ("zone", "hours", "same_day"),
    [
        # Lisbon is on UTC in winter, Auckland thirteen hours ahead: noon UTC is one in the morning there
        ("Europe/Lisbon", 11, True),
        ("Europe/Lisbon", 13, False),
        ("Pacific/Auckland", 13, True),
        ("Pacific/Auckland", 23, False),
        ("Pacific/Honolulu", -1, True),
    ],
)
def test_an_act_is_taken_back_within_the_patients_own_day_only(small: World, zone: str, hours: int, same_day: bool):
    who = patient(small, zone=zone)
    small.live_to(2, "12:00")
    done = does(small, who, Act.UP)
    small.now += dt.timedelta(hours=max(hours, 0))
    assert (local_date(small.now, zone) == local_date(done.made_at, zone)) is same_day
    if same_day:
        takes_back(small, who, done.id)
        assert small.course(who).episode.step == done.before.step
    else:
        assert refused(small, lambda: takes_back(small, who, done.id)) == "undo_too_late"
        assert small.course(who).episode.step == done.decision.step


def test_the_rules_own_decisions_and_those_of_others_cannot_be_taken_back(small: World):
    who = patient(small, 3)
    other = small.somebody(therapist_id="ben")
    rules = small.decisions(who)[-1]
    theirs = does(small, other, Act.UP)
    for each in (rules.id, theirs.id, "nothing", ""):
        assert refused(small, lambda each=each: takes_back(small, who, each)) == "nothing_to_undo"


@pytest.mark.parametrize(
    ("what", "step", "until"),
    [(Act.GO_ON, None, None), (Act.UNPIN, None, None), (Act.TO, 99, None), (Act.TO, 2, None), (Act.PIN, None, DAY[0])],
)
def test_what_cannot_be_done_changes_nothing_even_when_the_transaction_is_kept(
    world: World, what: Act, step: int | None, until: dt.date | None
):
    who = patient(world, 3)

    def kept(uow: Any) -> object:
        return uow.people.export(who), uow.decisions.of(world.course(who).id), uow.audit.latest()

    before = world.read(kept)

    def tried(work: Any) -> None:
        with pytest.raises(OverrideError):
            act(work, work.uow.staff.get("ben"), work.uow.people.get(who), Override(what, step, until), WHY)

    world.do(tried)
    assert world.read(kept) == before


def test_a_stopped_programme_asks_and_reminds_nobody_until_it_goes_on_and_the_days_count_as_a_gap(world: World):
    who = patient(world, 3)
    world.live_to(3, "19:30")
    does(world, who, Act.STOP)
    world.live_to(12, "10:00")
    kinds = [each.kind for _, each in world.messages(who)]
    assert kinds.count("evening.ask") == 4
    assert "evening.remind" not in kinds
    assert world.person(who).next_due is None
    gone_on = does(world, who, Act.GO_ON)
    days = dict(gone_on.decision.reasons[0].numbers)["days"]
    assert days == (DAY[11] - DAY[3]).days
    assert gone_on.decision.after.idle_days >= days
    world.live_to(12, "19:05")
    assert [at.strftime("%d %H:%M") for at, _ in world.messages(who, "evening.ask")][-1] == "14 19:00"
    assert_replays(world, who)


def test_taking_back_a_stop_asks_the_same_evening_and_taking_back_a_going_on_stops_again(small: World):
    who = patient(small, 3)
    small.live_to(3, "18:50")
    stopped = does(small, who, Act.STOP)
    small.live_to(3, "18:55")
    takes_back(small, who, stopped.id)
    small.live_to(3, "19:05")
    assert small.check_in(who, DAY[3]).state == CheckInState.ASKED
    does(small, who, Act.STOP)
    on = does(small, who, Act.GO_ON)
    takes_back(small, who, on.id)
    assert small.course(who).episode.stopped
    assert small.person(who).next_due is None


def test_danger_told_during_the_therapists_stop_is_noticed_and_the_stop_outlasts_its_clearance(world: World):
    who = patient(world, 3)
    world.live_to(3, "12:00")
    does(world, who, Act.STOP)
    world.on(who, danger_told, Said(flag=Flag.RED_FLAG, text="my hand is numb"), world.now)
    assert len(world.notices("danger")) == 1
    assert world.course(who).episode.paused_for == Flag.RED_FLAG
    world.live_to(4, "12:00")
    ben = world.read(lambda uow: uow.staff.get("ben"))
    world.on(who, lambda work, person: clear_stop(work, ben, person, WHY))
    episode = world.course(who).episode
    assert (episode.paused_for, episode.stopped is not None) == (None, True)
    assert world.person(who).next_due is None
    world.live_to(4, "12:05")
    assert world.messages(who)[-1][1].kind == "override.still"
    does(world, who, Act.GO_ON)
    world.live_to(4, "19:05")
    assert world.messages(who)[-1][1].kind == "evening.ask"
    assert_replays(world, who)


def test_a_clearance_can_be_taken_back_the_same_day(small: World):
    who = patient(small, 3)
    small.live_to(3, "12:00")
    small.on(who, danger_told, Said(flag=Flag.URGENT), small.now)
    ben = small.read(lambda uow: uow.staff.get("ben"))
    small.on(who, lambda work, person: clear_stop(work, ben, person, WHY))
    cleared = small.decisions(who)[-1]
    assert (cleared.kind, cleared.by, cleared.note) == ("clear", "ben", WHY)
    takes_back(small, who, cleared.id)
    assert small.course(who).episode.paused_for == Flag.URGENT
    assert small.person(who).next_due is None
    small.live_to(3, "12:05")
    assert small.messages(who)[-1][1].kind == "danger.still"
    assert_replays(small, who)


def test_a_break_goes_on_through_a_stop_and_its_end(small: World):
    who = patient(small, 3)
    small.live_to(3, "12:00")
    small.on(who, go_away, DAY[10])
    due = small.person(who).next_due
    does(small, who, Act.STOP)
    assert small.person(who).next_due == due
    small.live_to(10, "12:00")
    assert small.messages(who)[-1][1].kind == "override.still"
    does(small, who, Act.GO_ON)
    small.live_to(10, "19:05")
    assert small.messages(who)[-1][1].kind == "evening.ask"
    assert_replays(small, who)


def test_the_start_is_changed_before_the_first_evening_only_also_when_it_lies_ahead(world: World):
    world.staff(id="ben")
    soon, later = world.somebody(therapist_id="ben"), world.somebody(wait_days=14, therapist_id="ben")
    ben = world.read(lambda uow: uow.staff.get("ben"))
    for who in (soon, later):
        world.on(who, lambda work, person: change_start(work, ben, person, 3, WHY))
        episode = world.course(who).episode
        assert (episode.step, episode.since) == (3, episode.started)
        assert_replays(world, who)
    world.live_to(0, "19:05")
    change = lambda: world.on(soon, lambda work, person: change_start(work, ben, person, 1, WHY))  # noqa: E731
    assert refused(world, change) == "has_begun"
    world.live_to(14, "19:05")
    assert world.messages(later, "evening.ask")[0][1].facts["dose"]["step"] == 3


def test_a_pin_is_not_told_and_everything_else_is_told_under_the_therapists_name(small: World):
    who = patient(small, 3)
    small.live_to(3, "12:00")
    does(small, who, Act.PIN, until=DAY[20])
    does(small, who, Act.UNPIN)
    small.live_to(3, "12:01")
    assert small.messages(who)[-1][1].kind == "evening.ask"
    does(small, who, Act.BACK)
    small.live_to(3, "12:02")
    (told,) = (each for _, each in small.messages(who, "override.told"))
    assert (told.facts["act"], told.facts["therapist"]) == ("back", "Ben")
    assert WHY not in str(told.facts)  # the reason is for the file


@pytest.mark.parametrize("gone", [leave, cannot_reach])
def test_whoever_is_gone_is_not_written_to_whatever_is_done_about_them(small: World, gone: Callable[..., object]):
    who = patient(small, 3)
    small.live_to(3, "12:00")
    small.on(who, gone)
    heard = len(small.messages(who))
    does(small, who, Act.BACK)
    ben = small.read(lambda uow: uow.staff.get("ben"))
    small.on(who, lambda work, person: set_evening(work, ben, person, dt.time(20), WHY))
    write = lambda: small.on(who, lambda work, person: write_to(work, ben, person, "Are you well?"))  # noqa: E731
    assert refused(small, write) == "not_written_to"
    small.live_to(5, "12:00")
    assert len(small.messages(who)) == heard
    small.on(who, come_back)
    assert small.person(who).status == Status.ACTIVE
    assert_replays(small, who)


@pytest.mark.parametrize(("days", "week"), [(0, 0), (3, 0), (4, 1), (41, 6), (45, 6), (85, 12)])
def test_a_score_belongs_to_the_nearest_week_of_the_course(small: World, days: int, week: int):
    who = patient(small)
    small.now += dt.timedelta(days=days)
    ben = small.read(lambda uow: uow.staff.get("ben"))
    kept = small.on(who, lambda work, person: record_outcome(work, ben, person, score([2] * 15)))
    # fifteen answers of 2: pain 10, function 20 halved, 20 in all (arithmetic as core.scores.prtee cites it)
    assert (kept.week, kept.total, kept.pain, kept.function) == (week, 20, 10, 10)


@pytest.mark.parametrize("hour", ["19:30", "09:00"])  # the same evening, or the morning after
def test_an_act_that_moves_nobody_leaves_the_rest_day_after_a_severe_evening(small: World, hour: str):
    """The programme rests the day after a rating of 8 or more (evidence row C2)."""
    who = patient(small, 3)
    small.live_to(3, "19:10")
    small.answer(who, 8, 99)
    small.live_to(3 if hour == "19:30" else 4, hour)
    does(small, who, Act.PIN, until=DAY[12])
    does(small, who, Act.GATE, step=3, gate=2.5)
    small.live_to(4, "19:05")

    assert small.check_in(who, DAY[4]).sets_asked == 0
    assert_replays(small, who)


STEPS = st.one_of(
    st.tuples(st.just("answer"), st.integers(0, 10)),
    st.tuples(st.just("act"), st.sampled_from([Act.UP, Act.BACK, Act.STOP, Act.GO_ON, Act.UNPIN])),
    st.tuples(st.just("to"), st.integers(1, 9)),
    st.tuples(st.just("pin"), st.integers(1, 30)),
    st.tuples(st.just("gate"), st.integers(0, 20)),
    st.tuples(st.just("ungate"), st.integers(2, 9)),
    st.tuples(st.just("undo"), st.integers(1, 3)),
    st.tuples(st.just("correct"), st.integers(1, 6)),
    st.tuples(st.just("danger"), st.just(0)),
    st.tuples(st.just("clear"), st.just(0)),
    st.tuples(st.just("sleep"), st.integers(1, 9)),
)


@examples(12)
@given(st.lists(STEPS, min_size=5, max_size=18))
def test_whatever_is_done_answered_corrected_and_taken_back_every_decision_replays(
    fresh: Callable[[dt.datetime], World], steps: list[tuple[str, Any]]
):
    small = fresh(MORNING)
    small.staff(id="ben")
    who = small.somebody(therapist_id="ben")
    for name, value in steps:
        _live(small, who, name, value)
    assert_replays(small, who)
    assert (small.person(who).next_due is None) is is_stopped(small.course(who).episode)
    ids = [each.id for each in small.decisions(who)]
    assert len(ids) == len(set(ids))


def replace_time(now: dt.datetime) -> dt.datetime:
    """Nine in the morning of the next day."""
    return replace_day(now) + dt.timedelta(hours=9)


def replace_day(now: dt.datetime) -> dt.datetime:
    return dt.datetime.combine(now.date() + ONE_DAY, dt.time(0), dt.UTC)


def _live(small: World, who: str, name: str, value: Any) -> None:
    try:
        LIVED[name](small, who, value)
    except RefusalError:
        return  # what cannot be done is refused; the course must hold all the same


def _answers(small: World, who: str, pain: int) -> None:
    small.live_until(replace_day(small.now) - dt.timedelta(hours=4, minutes=50))
    small.answer(who, pain, 99)
    small.live_until(replace_time(small.now))


def _undoes(small: World, who: str, which: int) -> None:
    acts = [each for each in small.decisions(who) if each.by]
    takes_back(small, who, acts[-min(which, len(acts))].id if acts else "none")


def _corrects(small: World, who: str, days: int) -> None:
    date = evening_of(small.now, "Europe/Lisbon") - dt.timedelta(days=days)
    if small.check_in(who, date):
        small.answer_for(who, date, 9 - days, 1)


def _step(small: World, who: str) -> int:
    return small.course(who).episode.step


def _clears(small: World, who: str, _: int) -> None:
    ben = small.read(lambda uow: uow.staff.get("ben"))
    small.on(who, lambda work, person: clear_stop(work, ben, person, WHY))


LIVED: dict[str, Callable[[World, str, Any], object]] = {
    "answer": _answers,
    "sleep": lambda small, who, days: small.live_until(small.now + dt.timedelta(days=days)),
    "act": does,
    "to": lambda small, who, step: does(small, who, Act.TO, step=step),
    "pin": lambda small, who, days: does(small, who, Act.PIN, until=small.now.date() + dt.timedelta(days=days)),
    "gate": lambda small, who, half: does(small, who, Act.GATE, step=min(_step(small, who) + 1, 9), gate=half / 2),
    "ungate": lambda small, who, step: does(small, who, Act.UNGATE, step=step),
    "undo": _undoes,
    "correct": _corrects,
    "danger": lambda small, who, _: small.on(who, danger_told, Said(flag=Flag.RED_FLAG), small.now),
    "clear": _clears,
}
