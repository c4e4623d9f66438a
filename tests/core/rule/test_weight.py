"""The person's own weight: tried, asked about, told. Published: Peterson 2011, 0.1 kg a week from 1 kg or 2 kg."""

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from core.model import Decision, Episode, Evening
from core.rule import answer_weight, decide, dose_on, report_weight
from core.understanding import Felt
from tests.courses import PROGRAMME, TODAY, back, codes, diary, episode, numbers, tonight

CALM = [3] * 14


def felt(decision: Decision, how: Felt) -> Decision:
    return answer_weight(PROGRAMME, decision.after, diary(*CALM), decision.date, how)


def lived(state: Episode, days: int, how: Felt | None, pain: int = 2) -> list[Episode]:
    """Evening by evening, every set done, the weight answered alike each time."""
    evenings, states = list(diary(*[pain] * 14)), [state]
    for day in range(1, days + 1):
        today = TODAY + dt.timedelta(days=day)
        asked = dose_on(PROGRAMME, states[-1], today).asked
        evenings.append(Evening(today, pain=pain, sets_done=asked, sets_asked=asked))
        decision = decide(PROGRAMME, states[-1], evenings, today)
        if decision.ask_weight and how is not None:
            decision = answer_weight(PROGRAMME, decision.after, evenings, today, how)
        states.append(decision.after)
    return states


def first_weight() -> Episode:
    """Just moved up to the first step with a weight."""
    return tonight(episode(2, load_g=0, holds_days=10), diary(*CALM, asked_sets=4, done=4)).after


def test_the_first_weight_is_half_a_kilo_and_each_trained_evening_asks() -> None:
    state = first_weight()
    states = lived(state, 3, None)

    assert (state.step, state.load_g) == (3, 500)
    assert states[1].weight_asked is not None
    assert {each.load_g for each in states} == {500}  # nothing is said, nothing follows


@pytest.mark.parametrize(
    ("how", "loads"),
    [(Felt.EASY, [500, 1000, 1500, 2000, 2000]), (Felt.RIGHT, [500] * 5), (Felt.TOO_MUCH, [500, 250, 250, 250, 250])],
)
def test_easy_doubles_the_try_up_to_where_the_men_of_the_trial_began(how: Felt, loads: list[int]) -> None:
    assert [each.load_g for each in lived(first_weight(), 4, how)] == loads


@pytest.mark.parametrize(
    ("how", "load"), [(Felt.EASY, 1150), (Felt.RIGHT, 1000), (Felt.TOO_MUCH, 650), (None, 1000)]
)
def test_a_quiet_week_ends_with_the_question_and_the_answer_moves_the_weight(how: Felt | None, load: int) -> None:
    state = episode(6, days=8, load_g=900, load_changed=back(6))
    states = lived(state, 2, how)

    assert states[2].load_g == load
    assert states[2].weight_asked is None


def test_twelve_weeks_of_right_take_one_kilo_to_two_point_two() -> None:
    """Peterson 2011: +0.1 kg a week, three months; 1.0 to 2.2 kg where it is raised every week (worked out)."""
    steps = list(PROGRAMME.steps)
    steps[6] = replace(steps[6], least_days=replace(steps[6].least_days, value=999))
    for how in (Felt.RIGHT, None):
        state, evenings = episode(7, days=1, load_g=1000, load_changed=back(0)), list(diary(*[2] * 14))
        for day in range(1, 12 * 7 + 2):
            today = TODAY + dt.timedelta(days=day)
            evenings.append(Evening(today, pain=2, sets_done=3, sets_asked=3))
            decision = decide(replace(PROGRAMME, steps=tuple(steps)), state, evenings, today)
            state = decision.after
            if decision.ask_weight and how:
                state = answer_weight(PROGRAMME, state, evenings, today, how).after
        assert state.load_g == 2200


@pytest.mark.parametrize(
    "evenings", [diary(*CALM[1:], 6), diary(*[2] * 7, *[3] * 7), diary(*CALM[:9], *[None] * 5), diary(*CALM, done=0)]
)
def test_nobody_is_asked_after_a_bad_evening_a_worse_week_silence_or_no_sets(evenings: tuple[Evening, ...]) -> None:
    decision = tonight(episode(6, days=20, load_g=900, load_changed=back(8)), evenings)

    assert not decision.ask_weight
    assert decision.after.load_g <= 900


def test_an_answer_to_a_question_that_does_not_stand_changes_nothing() -> None:
    asked = tonight(episode(6, days=20, load_g=900, load_changed=back(8)), diary(*CALM))
    bad = tonight(episode(6, days=20, load_g=900, load_changed=back(8)), diary(*CALM[1:], 7))

    assert felt(asked, Felt.EASY).after.load_g == 1150
    assert felt(bad, Felt.EASY).after == bad.after
    tonights = answer_weight(PROGRAMME, bad.after, diary(*CALM[1:], 7), TODAY, Felt.EASY)
    assert tonights.dose == bad.dose  # half the sets all the same
    assert felt(felt(asked, Felt.EASY), Felt.EASY).after.load_g == 1150


@pytest.mark.parametrize(
    ("grams", "state", "load"),
    [
        (1500, {}, 1500),
        (9000, {}, 2000),  # the cap of the step
        (50, {}, 250),
        (1500, {"excess": 2.0}, 900),  # while pain gathers, only less
        (500, {"excess": 2.0}, 500),
    ],
)
def test_a_weight_that_is_told_is_theirs_within_what_the_step_allows(
    grams: int, state: dict[str, Any], load: int
) -> None:
    told = report_weight(PROGRAMME, episode(6, load_g=900, **state), diary(*CALM), TODAY, grams)

    assert told.after.load_g == load
    assert codes(told)[0] == "weight_used"
    assert told.dose is not None
    assert told.dose.load_g == load


def test_the_own_weight_outlives_a_step_without_one() -> None:
    lower = tonight(episode(3, load_g=1250, excess=4.0), diary(*CALM[1:], 5))

    assert (lower.step, lower.after.load_g) == (2, 1250)
    assert lower.dose is not None
    assert lower.dose.load_g == 0


def test_a_rise_that_a_worse_week_followed_is_taken_back() -> None:
    raised = replace(episode(6, days=20, load_g=1150), load_raised=back(3), load_changed=back(3))
    decision = tonight(raised, diary(*[2] * 7, *[3] * 7))

    assert numbers(decision, "load_down") == {"grams": 200, "load": 950}


@pytest.mark.parametrize("step", [5, 6])
def test_nobody_is_asked_more_than_once_a_week_after_the_first(step: int) -> None:
    """Where the weight does not rise by itself an unanswered question came back every other evening."""
    state, evenings, asked = episode(step, days=8, load_g=900, load_changed=back(6)), list(diary(*CALM)), []
    steps = [replace(each, least_days=replace(each.least_days, value=99)) for each in PROGRAMME.steps]
    for day in range(1, 16):
        today = TODAY + dt.timedelta(days=day)
        evenings.append(Evening(today, pain=3, sets_done=3, sets_asked=3))
        decision = decide(replace(PROGRAMME, steps=tuple(steps)), state, evenings, today)
        state = decision.after
        if decision.ask_weight:
            asked.append(day)

    assert asked == [1, 8, 15]


def test_a_weight_above_what_fits_is_said_to_be_so() -> None:
    """It was noted, and a lighter one stood below it without a word."""
    decision = report_weight(PROGRAMME, episode(5, load_g=1000), diary(*CALM), TODAY, 20_000)
    cap = PROGRAMME.step(5).cap_g

    assert decision.after.load_g == cap
    assert numbers(decision, "weight_capped") == {"load": cap}
    assert "weight_capped" not in codes(report_weight(PROGRAMME, episode(5), diary(*CALM), TODAY, cap))
