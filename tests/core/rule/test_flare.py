"""A flare eases the dose and keeps the ladder: holds until a quiet week, one step below, days that were served kept."""

import datetime as dt
from dataclasses import replace

import pytest

from core.model import Decision, Episode, Evening, Kind, Move, NoticeKind
from core.rule import decide, dose_on
from core.rule.dose import work
from tests.courses import PROGRAMME, TODAY, back, codes, diary, episode, live, said, tonight

CALM = [3] * 40
HOLDS = {Kind.MOBILISING, Kind.ISOMETRIC}


def kinds(decision: Decision) -> set[Kind]:
    return {each.kind for each in decision.dose.exercises} if decision.dose else set()


def flared(step: int, days: int = 20, **more: object) -> Decision:
    """Somebody at 3 whose excess has all but reached its limit, and tonight it does."""
    return tonight(episode(step, days, excess=4.0, **more), diary(*CALM[1:], 5))


def after(decision: Decision, *pains: int) -> list[Decision]:
    """The evenings after it, everything done."""
    state, evenings, lived = decision.after, list(diary(*CALM[1:], 5)), []
    for day, pain in enumerate(pains, start=1):
        today = TODAY + dt.timedelta(days=day)
        asked = dose_on(PROGRAMME, state, today).asked
        evenings.append(Evening(today, pain=pain, sets_done=asked, sets_asked=asked))
        lived.append(decide(PROGRAMME, state, evenings, today))
        state = lived[-1].after
    return lived


@pytest.mark.parametrize(("step", "lands", "holds"), [(9, 8, 3), (6, 5, 3), (4, 3, 3), (3, 2, 2), (2, 1, 1)])
def test_a_flare_gives_holds_and_takes_one_step(step: int, lands: int, holds: int) -> None:
    decision = flared(step, load_g=1500)

    assert (decision.move, decision.step, codes(decision)[0]) == (Move.REGRESS, lands, "flare")
    assert kinds(decision) <= HOLDS
    for day in range(2, 8):
        later = dose_on(PROGRAMME, decision.after, TODAY + dt.timedelta(days=day))
        assert [each.hold_s for each in later.exercises if each.sets] == [
            each.hold_s for each in PROGRAMME.step(holds).dose.exercises if each.sets
        ]
        assert later.load_g <= 750


def test_the_holds_last_a_week_and_until_it_is_quiet() -> None:
    quick = after(flared(6), *[3] * 8)
    slow = after(flared(6), *[5] * 6, *[3] * 8)

    assert [day for day, each in enumerate(quick, start=1) if "flare_over" in codes(each)] == [7]
    assert kinds(quick[6]) > HOLDS
    over = [day for day, each in enumerate(slow, start=1) if "flare_over" in codes(each)]
    assert over
    assert over[0] > 7
    assert all(kinds(each) <= HOLDS for each in slow[: over[0] - 1])
    assert all(each.move is Move.HOLD for each in slow[: over[0]])


def test_the_days_of_the_step_below_and_of_the_one_that_was_left_are_kept() -> None:
    decision = flared(6, days=20, left=((5, 14, 12),))
    weeks = after(decision, *[3] * 15)
    up = next(each for each in weeks if each.move is Move.ADVANCE)

    assert (decision.after.served_before, decision.after.trained) == (14, 12)
    assert up.step == 6
    assert (up.date - TODAY).days == 14  # a week of holds, a week one step below
    assert (up.after.served_before, up.after.trained) == (20, 21)  # the evening of the flare trained, too


def test_a_second_flare_within_six_weeks_goes_back_to_the_holds_for_real() -> None:
    first = episode(6, flared=back(41), left=((3, 14, 14), (5, 14, 14)), load_g=1000)
    again = tonight(replace(first, excess=4.0), diary(*CALM[1:], 5))
    late = tonight(replace(first, excess=4.0, flared=back(42)), diary(*CALM[1:], 5))

    assert (again.step, codes(again)[0], again.after.eased_since) == (3, "flare_again", None)
    assert (again.after.left, again.after.served_before, again.after.trained) == ((), 0, 0)
    assert (late.step, codes(late)[0]) == (5, "flare")


def test_a_third_within_six_weeks_is_told_on_the_lowest_step_too_and_says_nothing_of_steps() -> None:
    backs = (back(30), back(15))
    lowest = tonight(episode(1, setbacks=backs, excess=4.0), diary(*CALM[1:], 5))

    assert NoticeKind.THIRD_SETBACK in lowest.notices
    assert NoticeKind.THIRD_SETBACK in flared(6, setbacks=backs).notices
    assert (lowest.move, codes(lowest)[0]) == (Move.HOLD, "stay_excess")


def test_what_does_not_settle_in_a_fortnight_is_a_second_one() -> None:
    lived = after(flared(6), *[5] * 14)

    assert [codes(each)[0] for each in lived[:13] if each.move is not Move.HOLD] == []
    assert (lived[13].step, codes(lived[13])[0]) == (3, "flare_again")


@pytest.mark.parametrize("step", range(2, 10))
@pytest.mark.parametrize("load_g", [500, 1500, 3000, 5000])
def test_stepping_back_never_raises_the_days_work(step: int, load_g: int) -> None:
    """Seconds under load times kilograms, a held one for a quarter of a moved one: as seen, from 8 to 7 and from 9 to 8
    the day's work rose."""
    state = episode(step, days=30, load_g=load_g)
    first = flared(step, days=30, load_g=load_g)
    severe = tonight(state, diary(*CALM[:33], 8, 2, 2, 2, 2, 2, 9))
    for lower in (first.after, replace(first.after, eased_since=None), severe.after):
        for day in range(1, 15):
            date = TODAY + dt.timedelta(days=day)
            before, now = dose_on(PROGRAMME, state, date), dose_on(PROGRAMME, replace(lower, signs_asked=None), date)
            if lower.eased_since is None or before.asked:
                assert work(now) <= work(before) or not now.asked, (step, day)


def test_rest_days_are_kept_on_the_way_down() -> None:
    state = replace(flared(8, days=31, load_g=2000).after, eased_since=None)
    week = [dose_on(PROGRAMME, state, TODAY + dt.timedelta(days=day)).asked for day in range(1, 8)]

    assert state.step == 7
    assert week.count(0) >= 3


def test_lived_through_a_flare_costs_three_weeks_at_most() -> None:
    """Evidence 17.2: the ladder is kept. One bad week in a calm course, against the same course without it."""
    calm = live(150, lambda day, dose: said(2), start_rating=2)
    flaring = live(150, lambda day, dose: said(5 if 90 <= day < 97 else 2), start_rating=2)

    def reached(lived: list[tuple[Episode, Decision]], step: int) -> int:
        return next(day for day, (_, each) in enumerate(lived) if each.step >= step)

    assert reached(calm, 8) < reached(flaring, 8) <= reached(calm, 8) + 21
