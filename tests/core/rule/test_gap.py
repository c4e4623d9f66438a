"""Days without a set: what each length brings, evening by evening and after a pause that was told beforehand."""

import datetime as dt

import pytest

from core.model import Decision, Episode, Evening, Flag, Move, NoticeKind
from core.rule import clear_danger, decide, report_danger, resume
from tests.courses import PROGRAMME, TODAY, back, codes, diary, episode, live, numbers, said, tonight


def idle_course(days: int, state: Episode) -> list[tuple[Episode, Decision]]:
    """Lives so many silent evenings from `state`."""
    return live(days, lambda day, dose: said(None, None), state=state, started=TODAY + dt.timedelta(days=1))


# days, load in grams, step: carrying on, 100 g less, one step, two steps, the start (our own starting values)
TABLE = [
    (1, 900, 6),
    (3, 900, 6),
    (4, 800, 6),
    (7, 800, 6),
    (8, 800, 5),
    (14, 800, 5),
    (15, 800, 4),
    (28, 800, 4),
    (29, 0, 2),
    (60, 0, 2),
]


@pytest.mark.parametrize(("days", "load", "step"), TABLE)
def test_a_silent_gap_follows_the_table(days: int, load: int, step: int) -> None:
    state = idle_course(days, episode(6, load_g=900, since=back(10)))[-1][1].after

    assert (state.idle_days, state.load_g, state.step) == (days, load, step)


@pytest.mark.parametrize(("days", "load", "step"), TABLE)
def test_a_told_pause_comes_to_the_same_as_as_many_silent_evenings(days: int, load: int, step: int) -> None:
    decision = resume(PROGRAMME, episode(6, load_g=900), TODAY, days)

    assert codes(decision)[0] == "resumed"
    assert numbers(decision, "resumed") == {"days": days}
    assert (decision.after.idle_days, decision.after.load_g, decision.step) == (days, load, step)
    assert decision.move is (Move.REGRESS if step < 6 else Move.HOLD)


def test_a_pause_adds_to_the_evenings_missed_before_it() -> None:
    decision = resume(PROGRAMME, episode(6, load_g=800, idle_days=5), TODAY, 3)

    assert (codes(decision), decision.step) == (["resumed", "gap"], 5)
    assert numbers(decision, "gap") == {"days": 8, "steps": 1}


@pytest.mark.parametrize(("pain", "step"), [(5, 2), (6, 1)])
def test_a_long_gap_starts_anew_by_the_latest_rating_and_asks_again(pain: int, step: int) -> None:
    state = episode(6, level=4.0, idle_days=28, idle_steps_taken=2, silent_days=1)
    evenings = (*diary(*[3] * 9, pain), Evening(TODAY + dt.timedelta(days=1), sets_asked=3))
    decision = decide(PROGRAMME, state, evenings, TODAY + dt.timedelta(days=1))

    assert (decision.move, decision.step, codes(decision)[0]) == (Move.REGRESS, step, "long_gap")
    assert decision.ask_red_flags
    assert NoticeKind.LONG_GAP in decision.notices
    assert decision.after.holds_days == 0


def test_a_long_gap_is_told_once_and_nothing_follows_it() -> None:
    lived = idle_course(60, episode(7, load_g=1500, since=back(10)))
    told = [n for n, (_, decision) in enumerate(lived, start=1) if NoticeKind.LONG_GAP in decision.notices]
    moved = [n for n, (_, decision) in enumerate(lived, start=1) if decision.move is Move.REGRESS]

    assert told == [29]
    assert len(moved) == 3
    assert moved[-1] == 29


def test_a_long_gap_never_lifts_a_person_from_the_lowest_step() -> None:
    decision = resume(PROGRAMME, episode(1, level=2.0), TODAY, 40)

    assert (decision.move, decision.step) == (Move.HOLD, 1)
    assert decision.ask_red_flags


def test_one_set_ends_the_gap_and_the_next_one_counts_afresh() -> None:
    evenings = [said(None, None)] * 9 + [said(3)] + [said(None, None)] * 8
    state = episode(6, load_g=900, since=back(10))
    lived = live(18, lambda day, dose: evenings[day], state=state, started=TODAY + dt.timedelta(days=1))

    assert [decision.after.idle_days for _, decision in lived] == [*range(1, 10), 0, *range(1, 9)]
    assert [decision.step for _, decision in lived] == [6] * 7 + [5] * 10 + [4]


def test_rest_days_and_evenings_nobody_asked_are_no_gap() -> None:
    state = episode(8, days=1, load_g=2000)
    lived = live(
        8,
        lambda day, dose: said(None, None) if day < 6 else None,
        state=state,
        started=TODAY,
    )

    assert [decision.after.idle_days for _, decision in lived] == [1, 1, 2, 2, 3, 3, 3, 3]


def test_after_a_lighter_load_the_week_to_the_next_rise_begins_again() -> None:
    decision = resume(PROGRAMME, episode(6, load_g=900, load_raised=back(2), load_changed=back(9)), TODAY, 4)

    assert codes(decision) == ["resumed", "gap_load"]
    assert (decision.after.load_g, decision.after.load_changed) == (800, TODAY)
    assert decision.after.load_raised is None


def test_a_pinned_step_is_kept_through_a_gap_but_a_long_one_is_told() -> None:
    pinned = episode(6, load_g=900, pinned_until=TODAY + dt.timedelta(days=3))
    decision = resume(PROGRAMME, pinned, TODAY, 30)

    assert (decision.move, decision.step) == (Move.HOLD, 6)
    assert NoticeKind.LONG_GAP in decision.notices


def test_a_step_back_for_pain_counts_towards_a_gap_of_the_same_evening() -> None:
    state = episode(6, load_g=900, idle_days=7, excess=3.0)
    decision = tonight(state, diary(*[3] * 13, 6, done=0))

    assert (decision.step, codes(decision)[0]) == (5, "flare")
    assert (decision.after.idle_days, decision.after.idle_steps_taken) == (8, 1)
    assert "gap" not in codes(decision)


def test_no_pause_of_a_person_lifts_a_stop_for_danger() -> None:
    stopped = report_danger(PROGRAMME, episode(6), back(2), Flag.URGENT).after
    decision = resume(PROGRAMME, stopped, TODAY, 2)

    assert (decision.move, decision.dose, codes(decision)) == (Move.PAUSE, None, ["still_paused"])
    assert numbers(decision, "still_paused") == {"days": 2}
    assert clear_danger(PROGRAMME, stopped, TODAY).after.idle_days == 2


def test_coming_back_to_a_completed_course_leaves_it_completed() -> None:
    done = episode(9, load_g=2000, completed=True)
    decision = resume(PROGRAMME, done, TODAY, 40)

    assert (decision.move, codes(decision), decision.after) == (Move.HOLD, ["resumed", "completed"], done)


@pytest.mark.parametrize(("away", "kept"), [(3, True), (4, False)])
def test_after_four_evenings_without_a_rating_nothing_is_left_of_the_excess(away: int, kept: bool) -> None:
    back_again = resume(PROGRAMME, episode(6, excess=3.0), back(1), away).after
    evenings = diary(*[3] * 20, *[None] * away, 3)

    assert (tonight(back_again, evenings).after.excess > 0) == kept


def test_a_step_back_for_a_gap_keeps_the_days_of_the_steps() -> None:
    state = episode(6, days=20, load_g=900, left=((5, 14, 12),))
    decision = resume(PROGRAMME, state, TODAY, 8)

    assert (decision.step, decision.after.served_before, decision.after.trained) == (5, 14, 12)
    assert decision.after.left == ((6, 20, 20),)
