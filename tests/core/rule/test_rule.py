"""The rule, row by row. "Today" is always the last evening of a diary; the base case is calm at 3 on more-
lowering."""

import datetime as dt
from dataclasses import replace

import pytest

from core.model import Decision, Episode, Evening, Flag, Kind, Move, NoticeKind
from core.rule import RULE_VERSION, begin, clear_danger, decide, dose_on, report_danger
from core.rule.dose import halved
from tests.courses import PROGRAMME, TODAY, back, codes, diary, episode, evening, live, numbers, said, tonight

CALM = [3] * 14


def dose_kinds(decision: Decision) -> set[Kind]:
    return {each.kind for each in decision.dose.exercises} if decision.dose else set()


def without_ratings(evenings: tuple[Evening, ...], *days_ago: int) -> tuple[Evening, ...]:
    """The same evenings with only their sets told on some of them."""
    silent = {back(days) for days in days_ago}
    return tuple(replace(one, pain=None) if one.date in silent else one for one in evenings)


# ---------------------------------------------------------------- the start


@pytest.mark.parametrize(("rating", "step"), [(0, 2), (5, 2), (6, 1), (10, 1)])
def test_a_start_rating_above_five_takes_the_gentle_holds(rating: int, step: int) -> None:
    start = begin(PROGRAMME, TODAY, rating)

    assert (start.step, start.since, start.level) == (step, TODAY, rating)
    assert dose_on(PROGRAMME, start, TODAY) == PROGRAMME.step(step).dose


# ---------------------------------------------------------------- danger


@pytest.mark.parametrize("flag", [Flag.URGENT, Flag.DISTRESS, Flag.RED_FLAG])
def test_danger_stops_whatever_else_is_said(flag: Flag) -> None:
    decision = tonight(episode(), [*diary(*CALM[1:])[:-1], evening(0, 1, 3, flag=flag)])

    assert (decision.move, decision.dose, decision.flag) == (Move.PAUSE, None, flag)
    assert (decision.after.paused_for, decision.after.paused_since) == (flag, TODAY)
    assert decision.notices == (NoticeKind.DANGER,)


def test_a_stopped_person_stays_stopped_on_good_evenings() -> None:
    decision = tonight(episode(paused_for=Flag.RED_FLAG, paused_since=back(3)), diary(*CALM))

    assert (decision.move, decision.dose, codes(decision)) == (Move.PAUSE, None, ["still_paused"])
    assert decision.notices == ()
    assert dose_on(PROGRAMME, decision.after, TODAY).asked == 0


def test_a_worse_danger_during_a_stop_is_noticed_and_kept() -> None:
    stopped = episode(paused_for=Flag.RED_FLAG, paused_since=back(3))
    worse = tonight(stopped, [evening(0, flag=Flag.URGENT)])
    milder = report_danger(PROGRAMME, worse.after, TODAY, Flag.DISTRESS)

    assert (worse.notices, worse.after.paused_for, worse.after.paused_since) == (
        (NoticeKind.DANGER,),
        Flag.URGENT,
        back(3),
    )
    assert (milder.notices, milder.after.paused_for) == ((NoticeKind.DANGER,), Flag.URGENT)


@pytest.mark.parametrize(("days", "step"), [(3, 6), (7, 6), (8, 5), (15, 4), (29, 2)])
def test_days_of_a_stop_count_for_the_gap_once_it_is_cleared(days: int, step: int) -> None:
    stopped = report_danger(PROGRAMME, episode(6), back(days), Flag.URGENT).after
    cleared = clear_danger(PROGRAMME, stopped, TODAY)

    assert (cleared.step, codes(cleared)[0]) == (step, "override")
    assert (cleared.after.paused_for, cleared.after.paused_since) == (None, None)
    assert cleared.dose is not None
    assert cleared.dose.asked > 0


@pytest.mark.parametrize(("pain", "asked"), [(10, 0), (8, 0), (6, 1), (5, None)])
def test_a_bad_evening_beside_the_danger_or_in_the_stop_eases_the_first_dose(pain: int, asked: int | None) -> None:
    usual = clear_danger(PROGRAMME, report_danger(PROGRAMME, episode(3), TODAY, Flag.RED_FLAG).after, TODAY).dose
    with_it = tonight(episode(3), [evening(0, pain, 0, flag=Flag.RED_FLAG)])
    later = tonight(episode(3, paused_for=Flag.RED_FLAG, paused_since=back(1)), [evening(0, pain, 0)])

    assert usual is not None
    for stopped in (with_it, later):
        cleared = clear_danger(PROGRAMME, stopped.after, TODAY)
        assert cleared.dose is not None
        assert cleared.dose.asked == (usual.asked if asked is None else usual.asked // 2 if asked else 0)
        assert cleared.after.paused_pain is None


def test_what_is_no_danger_cannot_be_reported_as_one() -> None:
    with pytest.raises(ValueError, match="clinical_question is no danger"):
        report_danger(PROGRAMME, episode(), TODAY, Flag.CLINICAL_QUESTION)


def test_a_clinical_question_is_passed_on_and_the_evening_decided() -> None:
    decision = tonight(episode(), [*diary(*CALM)[:-1], evening(0, 3, 3, flag=Flag.CLINICAL_QUESTION)])

    assert decision.notices == (NoticeKind.CLINICAL_QUESTION,)
    assert decision.move is Move.ADVANCE


# ---------------------------------------------------------------- severe


@pytest.mark.parametrize("pain", [8, 9, 10])
def test_one_severe_evening_rests_tomorrow_and_asks_the_red_flag_questions(pain: int) -> None:
    decision = tonight(episode(), diary(*CALM[1:], pain))

    assert (decision.move, codes(decision)[0]) == (Move.HOLD, "severe_once")
    assert decision.dose is not None
    assert decision.dose.asked == 0
    assert decision.ask_red_flags
    assert not decision.see_clinician
    assert decision.notices == ()


@pytest.mark.parametrize(("step", "target"), [(9, 3), (7, 3), (4, 3), (3, 2), (2, 1)])
def test_two_severe_evenings_within_a_week_go_back_to_holds(step: int, target: int) -> None:
    decision = tonight(episode(step), diary(*CALM[:7], 8, 2, 2, 2, 2, 2, 9))

    assert (decision.move, decision.step, codes(decision)[0]) == (Move.REGRESS, target, "severe_twice")
    assert decision.see_clinician
    assert decision.ask_red_flags
    assert decision.dose is not None
    assert decision.dose.asked == 0
    assert NoticeKind.SEVERE_TWICE in decision.notices


def test_severe_evenings_eight_days_apart_are_two_single_ones() -> None:
    decision = tonight(episode(), diary(*CALM[:6], 8, 2, 2, 2, 2, 2, 2, 8))

    assert "severe_once" in codes(decision)
    assert NoticeKind.SEVERE_TWICE not in decision.notices


def test_on_the_lowest_step_two_severe_evenings_tell_and_stay() -> None:
    decision = tonight(episode(1), diary(*CALM[:12], 8, 8))

    assert (decision.move, decision.step, codes(decision)[0]) == (Move.HOLD, 1, "severe_once")
    assert codes(decision).count("severe_once") == 1
    assert decision.see_clinician
    assert NoticeKind.SEVERE_TWICE in decision.notices


def test_the_same_pair_of_severe_evenings_does_not_cost_two_holds_steps() -> None:
    first = tonight(episode(3), diary(*CALM[:12], 8, 8))
    tomorrow = TODAY + dt.timedelta(days=1)
    again = (*diary(*CALM[:12], 8, 8), Evening(tomorrow, pain=8, sets_done=0, sets_asked=0))
    second = decide(PROGRAMME, first.after, again, tomorrow)
    later = tomorrow + dt.timedelta(days=1)
    third = decide(PROGRAMME, second.after, (*again, Evening(later, pain=8, sets_asked=0)), later)

    assert [first.step, second.step, third.step] == [2, 2, 1]
    assert second.see_clinician


def test_a_second_severe_evening_advises_a_clinician_even_when_a_step_back_came_between() -> None:
    decision = tonight(episode(2, setbacks=(back(1),)), diary(*CALM[:12], 8, 8))

    assert (decision.move, codes(decision)[0]) == (Move.HOLD, "severe_once")
    assert decision.see_clinician
    assert decision.notices == ()


# ---------------------------------------------------------------- above five


@pytest.mark.parametrize(("sets", "half"), [(1, 1), (2, 1), (3, 1), (4, 2), (5, 2)])
def test_half_of_the_sets_is_rounded_down_and_at_least_one(sets: int, half: int) -> None:
    state = episode(2)

    moves, hold = PROGRAMME.step(2).dose.exercises
    asked = replace(PROGRAMME.step(2).dose, exercises=(moves, replace(hold, sets=sets)))

    assert halved(PROGRAMME, state, asked) == replace(asked, exercises=(moves, replace(hold, sets=half)))


@pytest.mark.parametrize(
    ("step", "sets", "hold_s", "load_g"),
    [(1, 2, 15, 0), (2, 2, 30, 0), (3, 2, 45, 500), (4, 2, 45, 500), (7, 2, 45, 500)],
)
@pytest.mark.parametrize("pain", [6, 7])
def test_one_evening_above_five_halves_tomorrow_as_holds(
    step: int, sets: int, hold_s: int, load_g: int, pain: int
) -> None:
    decision = tonight(episode(step), diary(*CALM[1:], pain))

    assert (decision.move, decision.step) == (Move.HOLD, step)
    assert "above_ceiling_day" in codes(decision)
    dose = decision.dose
    assert dose is not None
    moves, hold = dose.exercises
    assert (moves.kind, hold.kind, hold.hold_s) == (Kind.MOBILISING, Kind.ISOMETRIC, hold_s)
    assert (hold.sets, dose.asked, dose.load_g) == (sets, sets, load_g)


def test_five_is_not_above_five() -> None:
    decision = tonight(episode(), diary(*CALM[1:], 5))

    assert "above_ceiling_day" not in codes(decision)
    assert decision.dose == PROGRAMME.step(5).dose


def test_a_rest_day_stays_a_rest_day_after_an_evening_above_five() -> None:
    decision = tonight(episode(8, days=31, load_g=1500), diary(*CALM[1:], 6))

    assert dose_on(PROGRAMME, decision.after, TODAY + dt.timedelta(days=1)).asked == 0
    assert decision.dose is not None
    assert decision.dose.asked == 0


@pytest.mark.parametrize(
    ("step", "week", "target"),
    [
        (4, (5, 5, 5, 5, 5, 5, 6), 3),
        (9, (5, 5, 5, 5, 5, 5, 6), 3),
        (4, (5, 5, 5, 5, 5, 5, 5), 4),  # five is not above five
        (4, (None, None, None, None, 5, 5, 6), 4),  # three ratings are too few
        (4, (None, None, None, 5, 5, 5, 6), 3),
        (3, (6, 6, 6, 6, 6, 6, 6), 3),  # on the long holds six is borne
        (3, (6, 6, 6, 6, 6, 6, 7), 2),
        (2, (7, 7, 7, 7, 7, 7, 7), 2),
    ],
)
def test_a_weekly_mean_above_the_ceiling_goes_back_to_holds(
    step: int, week: tuple[int | None, ...], target: int
) -> None:
    high = [5, 5, 6, 6, 6, 5, 5] if week[0] != 7 else [7] * 7
    decision = tonight(episode(step, level=7.0), diary(*high, *week))

    assert decision.step == target
    assert ("above_ceiling_week" in codes(decision)) == (target != step)


# ---------------------------------------------------------------- flare


def level_by_hand(*pains: int) -> float:
    """The mean of some evenings, yesterday's last, each lowered for its age: pain halves in 15.2 weeks."""
    return sum(pain * 0.5 ** (age / 106.4) for age, pain in enumerate(reversed(pains), start=1)) / len(pains)


def test_two_evenings_four_above_the_level_step_back_for_a_week() -> None:
    first = tonight(episode(load_g=500), diary(*CALM[:12], 2, 7))
    assert (first.move, first.after.excess) == (Move.HOLD, 2.4)

    tomorrow = TODAY + dt.timedelta(days=1)
    evenings = (*diary(*CALM[:12], 2, 7), Evening(tomorrow, pain=7, sets_done=2, sets_asked=2))
    second = decide(PROGRAMME, first.after, evenings, tomorrow)

    assert (second.move, second.step, codes(second)[0]) == (Move.REGRESS, 4, "flare")
    assert (second.after.excess, second.after.flared) == (0.0, tomorrow)
    assert second.after.stay_until == tomorrow + dt.timedelta(days=7)
    assert second.after.setbacks == (tomorrow,)
    level = level_by_hand(*CALM[:12], 2, 7)
    assert numbers(second, "flare") == {"excess": 4.8, "limit": 4.8, "level": pytest.approx(level)}
    assert second.after.level == pytest.approx(level)


def test_after_a_step_back_the_excess_waits_a_week_at_its_limit() -> None:
    """The same evenings cause no second step back, and a flare that lasts causes one when the week is over."""
    high = diary(*CALM[1:], 8)
    waiting = tonight(episode(excess=4.8, setbacks=(back(6),)), high)
    over = tonight(episode(excess=4.8, setbacks=(back(7),)), high)

    assert (waiting.move, waiting.after.excess) == (Move.HOLD, 4.8)
    assert (over.move, codes(over)[0]) == (Move.REGRESS, "flare")


@pytest.mark.parametrize("pain", range(11))
def test_one_evening_however_bad_is_no_flare_from_a_calm_start(pain: int) -> None:
    decision = tonight(episode(level=0.0), diary(*[0] * 13, pain))

    assert "flare" not in codes(decision)
    assert decision.move is not Move.REGRESS


def test_silence_leaves_the_excess_alone_and_so_do_days_without_sets() -> None:
    silent = tonight(episode(excess=1.5), diary(*CALM[1:], None))
    idle = tonight(episode(excess=2.0, idle_days=3), diary(*CALM[1:], 6, done=0))

    assert silent.after.excess == 1.5
    assert idle.after.excess > 2.0  # each of these evenings was rated


@pytest.mark.parametrize("before", [[2] * 13, [4] * 13, [0, 5, 1, 4], [6] * 30 + [1] * 12])
def test_the_level_is_what_the_evenings_before_foretell(before: list[int]) -> None:
    decision = tonight(episode(), diary(*before, 3))

    assert decision.after.level == pytest.approx(level_by_hand(*before[-42:]))


def test_three_ratings_are_no_level_and_the_rating_at_enrolment_is_one() -> None:
    late = tonight(episode(), diary(1, 1, 1, 3))
    early = tonight(replace(episode(), started=back(3), start_rating=5), diary(1, 1, 1, 3))

    assert late.after.level == 3.0  # as it was
    assert early.after.level == pytest.approx(level_by_hand(5, 1, 1, 1))


def test_a_flare_on_the_lowest_step_stays() -> None:
    decision = tonight(episode(1, excess=3.0), diary(*CALM[1:], 6))

    assert (decision.move, decision.step, codes(decision)[0]) == (Move.HOLD, 1, "stay_excess")
    assert "flare" not in codes(decision)  # its words promise a step back
    assert (decision.after.excess, decision.after.flared) == (0.0, TODAY)
    assert decision.after.setbacks == (TODAY,)


# ---------------------------------------------------------------- week on week


@pytest.mark.parametrize(
    ("this_week", "code", "step"),
    [
        ((3, 2, 2, 2, 2, 2, 2), None, 6),  # +0.14 is noise
        ((3, 3, 3, 2, 2, 2, 2), None, 6),  # +0.43
        ((2, 2, 2, 3, 3, 3, 3), "week_up", 5),  # +0.57
        ((3, 3, 3, 3, 4, 4, 4), "week_up", 5),  # +1.43
        ((4, 4, 4, 5, 5, 5, 4), "week_up", 5),  # +2.43: the week alone steps nobody back
    ],
)
def test_the_mean_of_this_week_against_the_last(
    this_week: tuple[int, ...], code: str | None, step: int
) -> None:
    decision = tonight(episode(level=3.0), diary(*[2] * 7, *this_week))

    assert decision.step == step
    assert (codes(decision)[0] if code else None) == code


@pytest.mark.parametrize(("raised", "load"), [(back(3), 700), (back(14), 700), (back(15), 900), (None, 900)])
def test_a_worse_week_takes_a_recent_rise_of_the_load_back_once(raised: dt.date | None, load: int) -> None:
    state = episode(6, load_g=900, load_raised=raised, load_changed=raised)
    decision = tonight(state, diary(*[2] * 7, *[3] * 7))

    assert (decision.move, decision.after.load_g) == (Move.HOLD, load)
    assert ("load_down" in codes(decision)) == (load == 700)
    assert load == 900 or decision.after.load_raised is None


def test_easing_never_goes_below_half_of_the_first_try() -> None:
    evenings = diary(*[2] * 7, *[3] * 7)
    eased = tonight(episode(6, load_g=350, load_raised=back(2)), evenings)
    lowest = tonight(episode(6, load_g=250, load_raised=back(2)), evenings)

    assert numbers(eased, "load_down") == {"grams": 100, "load": 250}
    assert eased.after.load_g == lowest.after.load_g == 250
    assert "load_down" not in codes(lowest)


# ---------------------------------------------------------------- moving up


def test_everything_in_order_moves_up() -> None:
    decision = tonight(episode(5, days=14), diary(*CALM))

    assert (decision.move, decision.step, codes(decision)) == (Move.ADVANCE, 6, ["advance"])
    assert numbers(decision, "advance") == {"mean": 3.0, "gate": 4.0, "days": 14}
    assert decision.after.since == decision.for_date == TODAY + dt.timedelta(days=1)
    assert {figure.name for figure in decision.reasons[0].figures} >= {
        "step[6].gate[1].mean",
        "step[5].least_days",
    }


@pytest.mark.parametrize(
    ("state", "evenings", "code"),
    [
        (episode(5, days=13), diary(*CALM), "stay_days"),
        (episode(6, level=4.0), diary(*[4] * 14), "stay_gate"),
        (episode(5), without_ratings(diary(*CALM), 1, 2, 4, 5), "stay_few_ratings"),
        (episode(5, trained=5), diary(*CALM, done=1), "stay_training"),
        (episode(5, excess=2.0), diary(*CALM), "stay_excess"),
        (episode(5, stay_until=TODAY + dt.timedelta(days=1)), diary(*CALM), "stay_settling"),
        (episode(5, pinned_until=TODAY + dt.timedelta(days=1)), diary(*CALM), "stay_pinned"),
        (episode(5, level=2.4, days=15), diary(*[2] * 21, *[None] * 5, 2, 2, *[3] * 7), "stay_above_level"),
        (episode(3, holds_days=26, level=4.0), diary(*[4] * 14, asked_sets=5, done=5), "stay_hold_days"),
        (episode(3, holds_days=12), diary(*CALM, asked_sets=5, done=5), "stay_hold_days"),
        (episode(7, days=60, load_g=2000), diary(6, *CALM[1:]), "stay_high_day"),
        (episode(9, load_g=2000), diary(*[2] * 14), "stay_top"),
    ],
)
def test_each_condition_alone_stands_in_the_way(
    state: Episode, evenings: tuple[Evening, ...], code: str
) -> None:
    decision = tonight(state, evenings)

    assert decision.move is Move.HOLD
    assert code in codes(decision)
    assert set(codes(decision)) - {code, "load_up"} <= ({"stay_days"} if code == "stay_top" else set())


@pytest.mark.parametrize(
    ("step", "days", "mean", "holds_days", "moved"),
    [
        (3, 14, 4, 28, True),
        (3, 14, 3, 14, True),
        (3, 14, 4, 14, False),
        (1, 7, 7, 7, True),
        (2, 14, 5, 14, True),
    ],
)
def test_the_gates_between_holds_and_lowering(
    step: int, days: int, mean: int, holds_days: int, moved: bool
) -> None:
    state = episode(step, days=days, holds_days=holds_days - 1, level=8.0)
    evenings = diary(*[mean] * 14, asked_sets=4, done=4)
    calm = tonight(state, evenings)

    if mean > 5:  # an evening above five never moves up; the week's mean alone is not enough
        assert calm.move is Move.HOLD
        evenings = (*diary(*[mean] * 13, asked_sets=4, done=4)[:-1], evening(1, 7, 4, 4), evening(0, 5, 4, 4))
        calm = tonight(state, evenings)
    assert (calm.move is Move.ADVANCE) == moved


def test_a_week_after_silence_is_held_against_the_own_level() -> None:
    silent_week = [*[1] * 21, *[None] * 7, *[2] * 7]

    assert "stay_above_level" in codes(tonight(episode(5), diary(*silent_week)))
    assert tonight(episode(5), diary(*[2] * 21, *[None] * 7, *[2] * 7)).move is Move.ADVANCE


def test_evenings_nobody_asked_do_not_count_against_moving_up() -> None:
    asked = [each for each in diary(*CALM) if (TODAY - each.date).days in (0, 1, *range(5, 14))]
    downtime = sorted([*asked, *(Evening(back(days), asked=False) for days in (2, 3, 4))], key=lambda each: each.date)
    silent = sorted([*asked, *(Evening(back(days), sets_asked=3) for days in (2, 3, 4))], key=lambda each: each.date)

    assert tonight(episode(5), downtime).move is Move.ADVANCE
    assert tonight(episode(5), without_ratings(tuple(downtime), 1)).move is Move.ADVANCE  # three of four asked
    assert codes(tonight(episode(5), without_ratings(tuple(silent), 1)))[0] == "stay_few_ratings"  # three of seven


def test_a_gate_that_was_shut_is_looked_at_again_after_a_week() -> None:
    shut = tonight(episode(6, level=4.0), diary(*[4] * 14))
    better = diary(*[2] * 14)

    assert shut.after.gate_tested == TODAY
    assert numbers(tonight(episode(6, gate_tested=back(6), gate_shut=4.0), better), "stay_gate_later") == {"days": 1}
    assert tonight(episode(6, gate_tested=back(7), gate_shut=4.0), better).move is Move.ADVANCE


def test_one_good_week_after_a_worse_one_does_not_open_a_gate() -> None:
    decision = tonight(episode(6), diary(*[4] * 7, *[3] * 7))

    assert numbers(decision, "stay_gate") == {"mean": 3.5, "gate": 3.0}


def test_fourteen_days_of_holds_are_enough_for_people_with_little_pain() -> None:
    """Evidence 17.1: a mean of 4 or less and 28 days on holds, or 3 or less and 14 days."""
    lived = live(15, lambda day, dose: said(2), start_rating=2)
    slow = live(30, lambda day, dose: said(4), start_rating=4)

    assert [day for day, (_, each) in enumerate(lived, start=1) if each.move is Move.ADVANCE] == [7, 14]
    assert [day for day, (_, each) in enumerate(slow, start=1) if each.move is Move.ADVANCE] == [14, 28]


@pytest.mark.parametrize("start", [1, 2, 3, 4, 8])
def test_any_call_to_step_back_bars_moving_up_for_a_week_on_the_lowest_step_too(start: int) -> None:
    """As it was seen: start 8, pains 6, 4, 8, 6, 6, 8, 4; two severe days, and moved up within the week."""
    lived = live(9, lambda day, dose: said((6, 4, 8, 6, 6, 8, 4, 3, 3)[day]), start_rating=8, state=None)
    called = tonight(episode(start, days=60), diary(*CALM[:10], 8, 2, 2, 8))
    later = [dt.timedelta(days=days) for days in range(1, 7)]

    assert all(each.move is not Move.ADVANCE for _, each in lived)
    assert called.after.stay_until == TODAY + dt.timedelta(days=7)
    for days in later:
        evenings = [*diary(*CALM[:10], 8, 2, 2, 8), evening(-days.days, 0, 3)]
        assert decide(PROGRAMME, called.after, evenings, TODAY + days).move is not Move.ADVANCE


@pytest.mark.parametrize(
    ("step", "days", "load", "new"),
    [(5, 20, 500, 500), (6, 30, 800, 800), (7, 50, 1400, 1900), (7, 50, 2000, 2500), (8, 50, 2600, 2600)],
)
def test_the_load_a_step_begins_with(step: int, days: int, load: int, new: int) -> None:
    evenings = diary(*[2] * 42)
    decision = tonight(episode(step, days=days, load_g=load, level=2.0), evenings)

    assert (decision.move, decision.after.load_g) == (Move.ADVANCE, new)


def test_the_top_leads_into_maintenance_and_maintenance_ends() -> None:
    into = tonight(episode(8, days=60, load_g=2600), diary(*[2] * 42))
    over = tonight(episode(9, days=84, load_g=2600), diary(*[2] * 42))
    day_after = tonight(over.after, diary(*[2] * 42))

    assert (into.move, codes(into)) == (Move.ADVANCE, ["into_maintenance"])
    assert (over.move, codes(over), over.after.completed) == (Move.HOLD, ["completed"], True)
    assert over.dose is not None
    assert over.dose.asked == 2  # completed: whoever wants to may go on
    assert (codes(day_after), day_after.after) == (["completed"], over.after)


def test_one_good_week_is_not_enough_for_maintenance() -> None:
    decision = tonight(episode(8, days=60, load_g=2600, level=4.0), diary(*[3] * 21, *[2] * 7))

    assert decision.move is Move.HOLD
    assert numbers(decision, "stay_gate") == {"mean": 2.75, "gate": 2.0}


@pytest.mark.parametrize(
    ("step", "tonight_is", "counted"),
    [
        (3, evening(0, 3, 5, 5), 1),
        (3, evening(0), 1),
        (3, Evening(TODAY, asked=False), 0),
        (5, evening(0, 3, 3), 0),
    ],
)
def test_days_on_holds_are_the_evenings_asked_about_on_an_isometric_step(
    step: int, tonight_is: Evening, counted: int
) -> None:
    decision = tonight(episode(step, days=5, holds_days=10), [*diary(*CALM)[:-1], tonight_is])

    assert decision.after.holds_days == 10 + counted


# ---------------------------------------------------------------- silence, notices, pins


def test_silence_only_holds_and_a_week_of_it_is_noticed_once() -> None:
    lived = live(12, lambda day, dose: said(3) if day < 3 else said(None, None))
    silent = [decision for _, decision in lived[3:]]

    assert all(decision.move in (Move.HOLD, Move.REGRESS) for decision in silent)
    assert [n for n, decision in enumerate(silent, start=1) if NoticeKind.SILENT in decision.notices] == [7]
    assert codes(silent[0]) == ["no_answer"]


def test_an_evening_nobody_asked_changes_nothing_but_the_date() -> None:
    state = episode(excess=1.0, idle_days=2, silent_days=2)
    absent = tonight(state, diary(*CALM[1:])[:-1])
    unasked = tonight(state, [*diary(*CALM)[:-1], Evening(TODAY, asked=False)])

    assert absent.after == unasked.after == state
    assert codes(absent) == codes(unasked) == ["not_asked"]
    assert absent.dose == PROGRAMME.step(5).dose


def test_pain_without_sets_counts_as_pain_and_as_a_day_without_sets() -> None:
    decision = tonight(episode(), [*diary(*CALM)[:-1], evening(0, 3, None)])

    assert decision.after.idle_days == 1
    assert decision.after.silent_days == 0
    assert decision.move is Move.ADVANCE  # eighteen of twenty-one sets are enough


def test_sets_without_pain_end_a_gap_and_decide_nothing() -> None:
    decision = tonight(episode(idle_days=5, silent_days=5), [*diary(*CALM)[:-1], evening(0, None, 3)])

    assert (decision.move, codes(decision)) == (Move.HOLD, ["no_answer"])
    assert (decision.after.idle_days, decision.after.silent_days) == (0, 0)


@pytest.mark.parametrize(
    ("backs", "told"), [((back(41), back(20)), True), ((back(42), back(20)), False), ((back(20),), False)]
)
def test_the_third_setback_within_six_weeks_is_told(backs: tuple[dt.date, ...], told: bool) -> None:
    decision = tonight(episode(setbacks=backs, excess=3.0), diary(*CALM[1:], 6))

    assert decision.move is Move.REGRESS
    assert (NoticeKind.THIRD_SETBACK in decision.notices) == told


@pytest.mark.parametrize(
    "evenings", [diary(*CALM[1:], 6), diary(*CALM[:12], 8, 8)]
)
def test_a_pinned_step_is_kept_and_the_reason_told(evenings: tuple[Evening, ...]) -> None:
    pinned = tonight(episode(excess=3.0, pinned_until=TODAY + dt.timedelta(days=3)), evenings)
    free = tonight(episode(excess=3.0, pinned_until=TODAY), evenings)

    assert (pinned.move, pinned.step, codes(pinned)[0]) == (Move.HOLD, 5, "stay_pinned")
    assert pinned.after.excess == 0.0
    assert dose_kinds(pinned) <= {Kind.MOBILISING, Kind.ISOMETRIC} or "flare" not in codes(pinned)
    assert numbers(pinned, "stay_pinned") == {"days": 3}
    assert free.move is Move.REGRESS


def test_every_threshold_of_a_reason_carries_where_it_is_from() -> None:
    decision = tonight(episode(), diary(*CALM[:12], 8, 8))
    severe = decision.reasons[0].figures[0]

    assert (severe.name, severe.value, severe.provenance.value, severe.rows) == (
        "rule.severe.limit",
        8,
        "published",
        ("C2",),
    )
    assert decision.programme_version == PROGRAMME.version
    assert decision.rule_version == RULE_VERSION


def test_the_dose_of_a_date_follows_the_rhythm_of_the_step() -> None:
    state = episode(9, days=1, load_g=2600)
    week = [dose_on(PROGRAMME, state, TODAY + dt.timedelta(days=n)).asked for n in range(7)]

    assert week == [2, 0, 2, 0, 2, 0, 0]
    assert dose_on(PROGRAMME, state, TODAY).load_g == 2600
    assert dose_on(PROGRAMME, episode(4), TODAY) == PROGRAMME.step(4).dose


def test_a_short_cut_that_the_week_does_not_fit_is_neither_told_nor_shuts_the_long_way() -> None:
    """Someone at 4 was told of "day 5 of at least 7", and then waited a week more at the gate of 5."""
    lived = live(15, lambda day, dose: said(4), start_rating=4)

    least = {dict(why.numbers)["least"] for _, each in lived[:13] for why in each.reasons if why.code == "stay_days"}
    assert least == {14}
    late = tonight(episode(2, days=14, gate_tested=back(1), gate_shut=3.0), diary(*[4] * 14))
    assert (late.move, late.step) == (Move.ADVANCE, 3)


def test_nobody_moves_up_after_days_without_sets() -> None:
    """As lived: up on the third evening in a row without a set, and a lighter weight the evening after."""
    idle = [*diary(*CALM)[:-2], evening(1, 3, 0), evening(0, 3, 0)]
    rested = [*diary(*CALM)[:-2], evening(1, 3, 0), evening(0, 3, 3)]

    assert codes(tonight(episode(5, days=30, idle_days=1), idle)) == ["stay_idle"]
    assert tonight(episode(5, days=30, idle_days=1), rested).move is Move.ADVANCE


def test_two_moves_up_never_lie_within_a_week() -> None:
    """As lived: back from a flare, two steps that had been served before were climbed on two evenings."""
    again = episode(5, days=6, served_before=20)

    assert numbers(tonight(again, diary(*CALM)), "stay_days") == {"served": 6, "least": 7}
    assert tonight(replace(again, since=back(6)), diary(*CALM)).move is Move.ADVANCE
