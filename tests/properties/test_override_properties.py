"""What must hold of every act on every course."""

import datetime as dt
from dataclasses import replace

from hypothesis import event, given
from hypothesis import strategies as st

from core.errors import OverrideError
from core.model import Decision, Episode, Evening, Flag, Move, ReasonCode
from core.rule import begin, decide
from core.rule.course import enter
from core.rule.dose import dose_on
from core.rule.override import Act, Override, act_of, override, replay
from core.store.codec import dumps, loads
from tests.courses import PROGRAMME, TODAY
from tests.properties.test_rule_properties import QUICK, days_ago, episodes, evenings, nearly_ready

LAST = len(PROGRAMME.steps)
acts = st.one_of(
    st.sampled_from([Act.UP, Act.BACK, Act.UNPIN, Act.STOP, Act.GO_ON]).map(Override),
    st.integers(-1, LAST + 2).map(lambda n: Override(Act.TO, step=n)),
    st.tuples(st.integers(0, LAST + 1), st.integers(-2, 44)).map(lambda n: Override(Act.GATE, n[0], gate=n[1] / 4)),
    st.integers(1, LAST).map(lambda n: Override(Act.UNGATE, n)),
    st.integers(-5, 100).map(lambda n: Override(Act.PIN, until=TODAY + dt.timedelta(days=n))),
)


@st.composite
def states(draw: st.DrawFn) -> Episode:
    """Any state of the rule, now and then stopped, in danger or completed."""
    state = draw(episodes())
    kind = draw(st.integers(0, 9))
    if kind == 0:
        return replace(state, paused_for=draw(st.sampled_from(Flag)), paused_since=draw(days_ago(0, 20)))
    if kind == 1:
        return replace(state, step=LAST, completed=True)
    return replace(state, stopped=draw(days_ago(0, 60))) if kind in (2, 3) else state


@QUICK
@given(states(), acts)
def test_an_act_is_carried_out_whole_or_refused_whole_and_reads_back(before, act):
    again = replay(PROGRAMME, before, TODAY, act)
    try:
        decision = override(PROGRAMME, before, TODAY, act)
    except OverrideError as refused:
        event(f"refused: {refused.problem}")
        assert again.after == before
        decision = again
    event(act.act.value)

    assert decision == again == override_or_same(before, act)
    assert act_of(decision) == act_of(loads(type(decision), dumps(decision))) == act
    assert decision.reasons[0].code is ReasonCode.OVERRIDE
    assert 1 <= decision.step == decision.after.step <= LAST
    assert decision.for_date == TODAY + dt.timedelta(days=1)
    assert not decision.notices or act.act is Act.GO_ON
    no_dose = bool(decision.after.paused_for or decision.after.stopped)
    assert (decision.dose is None) == (decision.move is Move.PAUSE) == no_dose
    if decision.dose is not None:
        assert decision.dose == dose_on(PROGRAMME, decision.after, decision.for_date)
    assert (decision.move is Move.ADVANCE) == (decision.step > before.step)
    assert (decision.move is Move.REGRESS) == (decision.step < before.step)
    if decision.step < before.step:
        assert decision.after.load_g <= before.load_g


def override_or_same(before, act):
    """The same act once more: nothing but its arguments matters."""
    return replay(PROGRAMME, replace(before), TODAY, replace(act))


@QUICK
@given(episodes(), st.integers(1, LAST))
def test_going_to_a_step_leaves_the_course_as_entering_that_step_does(before, number):
    if number == before.step:
        return
    after = override(PROGRAMME, before, TODAY, Override(Act.TO, step=number)).after

    assert replace(after, setbacks=before.setbacks) == enter(PROGRAMME, before, number, TODAY)


@QUICK
@given(episodes(), evenings(), st.integers(2, 91), st.integers(0, 90))
def test_the_rule_moves_nobody_who_is_pinned_or_stopped(before, nights, length, later):
    night = TODAY + dt.timedelta(days=1 + later % (length - 1))
    pinned = override(PROGRAMME, before, TODAY, Override(Act.PIN, until=TODAY + dt.timedelta(days=length))).after
    stopped = override(PROGRAMME, before, TODAY, Override(Act.STOP)).after
    told = (*nights, Evening(night, pain=2, sets_done=3, sets_asked=3))

    assert decide(PROGRAMME, pinned, told, night).step == before.step
    still = decide(PROGRAMME, stopped, told, night)
    assert (still.move, still.dose, still.after) == (Move.PAUSE, None, stopped)


@QUICK
@given(nearly_ready(), st.integers(0, 20), st.integers(0, 20))
def test_an_easier_gate_never_keeps_anybody_who_would_move_up_and_puts_nobody_back(case, one, other):
    state, nights = case
    easy, hard = max(one, other) / 2, min(one, other) / 2
    at = {
        mean: decide(PROGRAMME, replace(state, own_gates=((state.step + 1, mean),)), nights, TODAY)
        for mean in (easy, hard)
    }
    event(f"only the easier gate is open: {at[easy].move is not at[hard].move}")

    assert (at[hard].move is Move.ADVANCE) <= (at[easy].move is Move.ADVANCE)
    assert (at[hard].move is Move.REGRESS) == (at[easy].move is Move.REGRESS)


@QUICK
@given(st.lists(st.tuples(acts, st.integers(0, 12), st.integers(0, 6)), max_size=12), st.integers(0, 10))
def test_a_course_with_acts_in_it_can_be_decided_again_from_what_was_stored(plan, start_rating):
    """Between acts come up to six evenings of pain; each entry is made again from its own episode alone."""
    state, today = begin(PROGRAMME, TODAY, start_rating), TODAY
    nights: list[Evening] = []
    stored: list[tuple[Episode, Decision]] = []
    for act, pain, evenings_before in plan:
        for _ in range(evenings_before):
            sets = dose_on(PROGRAMME, state, today).asked
            nights.append(Evening(today, pain=min(pain, 10) if pain < 12 else None, sets_done=sets, sets_asked=sets))
            stored.append((state, decide(PROGRAMME, state, nights, today)))
            state = stored[-1][1].after
            today += dt.timedelta(days=1)
        stored.append((state, replay(PROGRAMME, state, today - dt.timedelta(days=1), act)))
        state = stored[-1][1].after

    for before, decision in stored:
        act = act_of(decision)
        if act is None:
            assert decide(PROGRAMME, before, nights, decision.date) == decision
        else:
            assert replay(PROGRAMME, before, decision.date, act) == decision
        assert (decision.dose is None) == (decision.after.stopped is not None)
