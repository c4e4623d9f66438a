"""The therapist's acts one by one: what each changes, when it begins, and what is refused in which words."""

import datetime as dt
import json
from dataclasses import replace
from typing import Any

import pytest

from core.errors import HoldlowerError, OverrideError
from core.model import Decision, Episode, Evening, Figure, Flag, Move, Provenance, ReasonCode
from core.rule import RULE_VERSION, clear_danger, decide, dose_on, report_danger, resume
from core.rule.dose import Amounts
from core.rule.override import LONGEST_STAY, Act, Override, act_of, override, replay
from core.store.codec import dumps, loads
from tests.courses import PROGRAMME, TODAY, back, codes, diary, episode, numbers, tonight

YESTERDAY, TOMORROW = back(1), back(-1)
CALM = [3] * 14
LAST = len(PROGRAMME.steps)


def on(days: int) -> dt.date:
    return back(-days)


def done(what: Override, today: dt.date = TODAY, **state: Any) -> Decision:
    return override(PROGRAMME, episode(**state), today, what)


@pytest.mark.parametrize(
    ("what", "step", "move"),
    [
        (Override(Act.UP), 6, Move.ADVANCE),
        (Override(Act.BACK), 4, Move.REGRESS),
        (Override(Act.TO, step=LAST), LAST, Move.ADVANCE),
        (Override(Act.TO, step=1), 1, Move.REGRESS),
    ],
)
def test_a_move_by_the_therapist_begins_on_the_day_after_its_date(what, step, move):
    decision = done(what)

    assert (decision.move, decision.step, decision.after.step, decision.after.since) == (move, step, step, TOMORROW)
    assert decision.for_date == TOMORROW
    assert decision.dose == dose_on(PROGRAMME, decision.after, TOMORROW)
    assert (codes(decision)[0], numbers(decision, "override")["from"]) == ("override", 5)
    assert (decision.programme_version, decision.rule_version) == (PROGRAMME.version, RULE_VERSION)


def test_a_move_dated_yesterday_begins_today():
    assert done(Override(Act.UP), YESTERDAY).after.since == TODAY


def test_a_step_up_enters_with_the_load_the_rule_would_give():
    """Evidence row F2 and the programme file: strong lift and lower begins 500 g above what was carried."""
    decision = done(Override(Act.UP), step=7, load_g=1300, excess=2.5)

    assert (decision.after.load_g, decision.after.excess) == (1800, 0.0)


def test_a_step_back_counts_among_the_setbacks_so_that_the_same_week_causes_no_second_one():
    worse, state = diary(*CALM[1:], 7), episode(excess=4.8)
    assert tonight(state, worse).move is Move.REGRESS

    after = override(PROGRAMME, state, YESTERDAY, Override(Act.BACK)).after

    assert after.setbacks == (YESTERDAY,)
    assert tonight(replace(after, excess=4.8), worse).after.step == after.step == 4


def test_a_pinned_person_is_kept_until_the_date_and_moves_on_it():
    kept = done(Override(Act.PIN, until=on(2)))
    assert (kept.move, kept.step, kept.after) == (Move.HOLD, 5, episode(pinned_until=on(2)))

    def evening_of(date: dt.date) -> Decision:
        moved = tuple(replace(each, date=each.date + (date - TODAY)) for each in diary(*CALM))
        return decide(PROGRAMME, kept.after, moved, date)

    assert tonight(episode(), diary(*CALM)).move is Move.ADVANCE
    assert (evening_of(TOMORROW).move, codes(evening_of(TOMORROW))) == (Move.HOLD, ["stay_pinned"])
    assert evening_of(on(2)).move is Move.ADVANCE


def test_lifting_a_pin_leaves_the_step_and_lets_the_rule_move_again():
    pinned = episode(pinned_until=on(30))
    assert "stay_pinned" in codes(tonight(pinned, diary(*CALM)))

    lifted = override(PROGRAMME, pinned, YESTERDAY, Override(Act.UNPIN))

    assert (lifted.move, lifted.after) == (Move.HOLD, episode())
    assert tonight(lifted.after, diary(*CALM)).move is Move.ADVANCE


def test_a_stop_gives_no_dose_until_the_therapist_lets_it_go_on():
    stopped = done(Override(Act.STOP))
    assert (stopped.move, stopped.dose, stopped.after.stopped) == (Move.PAUSE, None, TODAY)

    for decision in (tonight(stopped.after, diary(*CALM)), resume(PROGRAMME, stopped.after, on(3), 3)):
        assert (decision.move, decision.dose, codes(decision)) == (Move.PAUSE, None, ["still_paused"])
        assert decision.after == stopped.after
    assert dose_on(PROGRAMME, stopped.after, on(3)).asked == 0

    gone_on = override(PROGRAMME, stopped.after, on(3), Override(Act.GO_ON))
    assert (gone_on.move, gone_on.step, gone_on.after.stopped, gone_on.after.idle_days) == (Move.HOLD, 5, None, 3)
    assert gone_on.dose is not None


def test_a_stop_lifted_as_from_before_it_began_costs_nothing():
    lifted = override(PROGRAMME, episode(stopped=TODAY, idle_days=2), YESTERDAY, Override(Act.GO_ON))

    assert lifted.after == episode(idle_days=2)


@pytest.mark.parametrize(("days", "step", "code"), [(7, 5, None), (8, 4, "gap"), (15, 3, "gap"), (29, 2, "long_gap")])
def test_the_days_of_a_stop_count_for_the_gap(days, step, code):
    """The table of gaps is the programme file's: a week nothing, then one step, two steps, the start."""
    decision = override(PROGRAMME, episode(stopped=back(days)), TODAY, Override(Act.GO_ON))

    assert (decision.step, codes(decision)[0]) == (step, "override")
    assert numbers(decision, "override")["days"] == days
    assert code is None or codes(decision)[1] == code


def test_danger_told_during_a_stop_has_to_be_cleared_and_leaves_the_stop():
    stopped = episode(stopped=back(5))
    worse = decide(PROGRAMME, stopped, (Evening(TODAY, flag=Flag.URGENT),), TODAY)
    assert (worse.move, worse.after.paused_for) == (Move.PAUSE, Flag.URGENT)

    cleared = clear_danger(PROGRAMME, worse.after, on(1))
    assert (cleared.move, cleared.dose, codes(cleared)) == (Move.PAUSE, None, ["override", "still_paused"])
    assert act_of(cleared) is None

    gone_on = override(PROGRAMME, cleared.after, on(4), Override(Act.GO_ON))
    assert (gone_on.step, gone_on.after.idle_days) == (4, 9)


REFUSED = [
    (Override(Act.UP), {"step": LAST}, "no_such_step", f"no step {LAST + 1}.*steps 1 to {LAST}.*on step {LAST}"),
    (Override(Act.BACK), {"step": 1}, "no_such_step", "no step 0"),
    (Override(Act.TO, step=LAST + 1), {}, "no_such_step", f"steps 1 to {LAST}"),
    (Override(Act.TO, step=-3), {}, "no_such_step", "no step -3"),
    (Override(Act.TO, step=5), {}, "same_step", "on step 5 already"),
    (Override(Act.PIN, until=back(1)), {}, "date", f"expected a date after {TOMORROW}"),
    (Override(Act.PIN, until=TOMORROW), {}, "date", f"after {TOMORROW}"),
    (Override(Act.PIN, until=on(92)), {}, "date", f"not after {on(91)}"),
    (Override(Act.UNPIN), {}, "not_pinned", "nothing to lift"),
    (Override(Act.GO_ON), {}, "not_stopped", "not stopped"),
    (Override(Act.GATE, step=LAST + 1, gate=3), {"step": LAST}, "no_such_step", f"steps 2 to {LAST}"),
    (Override(Act.GATE, step=1, gate=3), {}, "no_such_step", "no step 1"),
    (Override(Act.GATE, step=6, gate=3.25), {}, "gate", "3.25 is no weekly mean.*whole or a half"),
    (Override(Act.GATE, step=6, gate=-0.5), {}, "gate", "0 to 10"),
    (Override(Act.GATE, step=6, gate=10.5), {}, "gate", "0 to 10"),
    (Override(Act.UNGATE, step=6), {"own_gates": ((7, 2.0),)}, "no_gate", "programme's gate already"),
    (Override(Act.STOP), {"stopped": back(3)}, "stopped", f"stopped since {back(3)}; let it go on first"),
    (Override(Act.UP), {"stopped": back(3)}, "stopped", "go on first"),
    (Override(Act.UP), {"paused_for": Flag.RED_FLAG, "paused_since": back(2)}, "danger", "red_flag.*clear the stop"),
    (Override(Act.GO_ON), {"stopped": back(3), "paused_for": Flag.URGENT}, "danger", "clear the stop first"),
    (Override(Act.PIN, until=on(9)), {"step": LAST, "completed": True}, "completed", "begin a new course"),
]


@pytest.mark.parametrize(("what", "state", "problem", "words"), REFUSED)
def test_what_cannot_be_done_is_refused_in_words_and_replayed_without_effect(what, state, problem, words):
    before = episode(**state)

    with pytest.raises(OverrideError, match=words) as refused:
        override(PROGRAMME, before, TODAY, what)
    again = replay(PROGRAMME, before, TODAY, what)

    assert isinstance(refused.value, HoldlowerError)
    assert refused.value.problem == problem
    assert again.after == before
    assert act_of(again) == what
    assert (again.dose is None) == (again.move is Move.PAUSE) == bool(before.paused_for or before.stopped)


def test_a_pin_may_last_as_long_as_is_said_and_no_day_longer():
    longest = TOMORROW + dt.timedelta(days=int(LONGEST_STAY.value))

    assert done(Override(Act.PIN, until=longest)).after.pinned_until == longest
    with pytest.raises(OverrideError):
        done(Override(Act.PIN, until=longest + dt.timedelta(days=1)))


@pytest.mark.parametrize(
    "wrong",
    [(Act.UP, 3, None), (Act.TO, None, None), (Act.PIN, None, None), (Act.STOP, None, TODAY), (Act.GATE, 6, None)],
)
def test_an_act_with_the_wrong_details_is_no_act(wrong):
    with pytest.raises(ValueError, match="goes with"):
        Override(*wrong)


def test_an_act_is_read_from_its_decision_after_storing_and_no_other_decision_has_one():
    made = done(Override(Act.PIN, until=on(40)))

    assert act_of(loads(Decision, dumps(made))) == Override(Act.PIN, until=on(40))
    assert act_of(tonight(episode(), diary(*CALM))) is None
    danger = report_danger(PROGRAMME, episode(), YESTERDAY, Flag.URGENT)
    assert act_of(clear_danger(PROGRAMME, danger.after, TODAY)) is None
    unknown = replace(made.reasons[0], numbers=(("act", 99.0),))
    with pytest.raises(OverrideError, match="newer version"):
        act_of(replace(made, reasons=(unknown,)))
    assert made.reasons[0].code is ReasonCode.OVERRIDE


def test_a_gate_set_for_one_person_lets_them_in_by_their_own_mean_and_says_whose_it_is():
    """Evidence row P4: the programme's own gate into step 6 is a weekly mean of 4."""
    worse = diary(*[5] * 14)
    assert numbers(tonight(episode(level=5.0), worse), "stay_gate") == {"mean": 5.0, "gate": 4.0}

    eased = done(Override(Act.GATE, step=6, gate=5.0), YESTERDAY, level=5.0)
    assert (eased.move, eased.after) == (Move.HOLD, episode(level=5.0, own_gates=((6, 5.0),)))
    moved = tonight(eased.after, worse)
    assert (moved.move, numbers(moved, "advance")["gate"]) == (Move.ADVANCE, 5.0)
    assert moved.reasons[0].figures[0] == Figure("override.gate", 5.0, Provenance.JUDGEMENT)

    strict = tonight(done(Override(Act.GATE, step=6, gate=2.5), YESTERDAY).after, diary(*CALM))
    assert (strict.move, numbers(strict, "stay_gate")) == (Move.HOLD, {"mean": 3.0, "gate": 2.5})


def test_a_gate_of_their_own_is_for_one_step_until_it_is_changed_or_put_back():
    both = done(Override(Act.GATE, step=8, gate=2.0), own_gates=((6, 2.5),))
    assert both.after.own_gates == ((6, 2.5), (8, 2.0))
    assert tonight(episode(7, 60, own_gates=((6, 0.0),)), diary(*[2] * 28)).move is Move.ADVANCE

    changed = override(PROGRAMME, both.after, TODAY, Override(Act.GATE, step=6, gate=3.5)).after
    assert override(PROGRAMME, changed, TODAY, Override(Act.UNGATE, step=6)).after == episode(own_gates=((8, 2.0),))


def test_what_else_a_gate_asks_is_still_asked():
    """Evidence row P4: 28 days of holds before lowering; and no day above 5 in a fortnight before step 8 (A1, A3)."""
    early = episode(3, 30, holds_days=20, own_gates=((4, 6.0),), level=5.0)
    assert codes(tonight(early, diary(*[4] * 14)))[0] == "stay_hold_days"
    assert tonight(replace(early, holds_days=27), diary(*[5] * 14)).move is Move.ADVANCE
    bad_day = diary(*[2] * 18, 6, *[2] * 9)
    assert "stay_high_day" in codes(tonight(episode(7, 60, own_gates=((8, 5.0),)), bad_day))


def test_an_easier_gate_leaves_the_short_cut_as_it_is_and_a_harder_one_goes_for_both_ways():
    """The programme file: with a mean of 3 or less, 14 days of holds are enough before lowering."""
    quick = episode(3, 30, holds_days=20, level=3.0)
    assert tonight(replace(quick, own_gates=((4, 5.0),)), diary(*[3] * 14)).move is Move.ADVANCE
    assert tonight(replace(quick, own_gates=((4, 2.0),)), diary(*[3] * 14)).move is Move.HOLD


def test_an_episode_stored_before_gates_could_be_changed_has_the_programmes():
    """As such a row stands in a database: without the field."""
    stored = json.loads(dumps(episode()))
    assert stored.pop("own_gates") == []

    assert loads(Episode, json.dumps(stored)) == episode()


def test_a_dose_of_their_own_is_given_and_taken_back():
    own = Override(Act.DOSE, amounts=Amounts(1250, 2, 8, 3.0))
    decision = done(own, step=6, load_g=900, trying_until=on(3))
    main = decision.dose.exercises[1] if decision.dose else None

    assert decision.dose is not None
    assert main is not None
    assert (decision.dose.load_g, main.sets, main.reps, main.pain_at_most) == (1250, 2, (8, 8), 3.0)
    assert decision.after.trying_until is None
    assert act_of(decision) == own
    back_again = override(PROGRAMME, decision.after, TODAY, Override(Act.DOSE, amounts=Amounts()))
    assert back_again.dose == replace(PROGRAMME.step(6).dose, load_g=1250)


def test_their_own_sets_stay_with_the_step_and_the_most_pain_goes_along():
    decision = done(Override(Act.DOSE, amounts=Amounts(None, 2, 8, 3.0)), step=6, load_g=900)
    higher = override(PROGRAMME, decision.after, TODAY, Override(Act.UP)).dose

    assert higher is not None
    assert [(each.sets, each.reps, each.pain_at_most) for each in higher.exercises if each.sets] == [(3, (15, 15), 3.0)]


@pytest.mark.parametrize(
    "amounts", [Amounts(2001), Amounts(0), Amounts(sets=11), Amounts(reps=0), Amounts(pain_at_most=11)]
)
def test_what_the_step_does_not_take_cannot_be_set(amounts: Amounts):
    with pytest.raises(OverrideError):
        override(PROGRAMME, episode(6), TODAY, Override(Act.DOSE, amounts=amounts))
