"""A set counted through, second by second."""

from dataclasses import replace
from itertools import pairwise

from core.guided import PhaseKind, cue_now, cues, next_cue, of_set, plan_of
from core.programme.file import programme_at, shipped

OUTER = programme_at("outer-elbow")
assert OUTER.guiding


def test_a_set_of_lowering_goes_arm_by_arm_with_the_sore_one_first_and_its_rest_after_it():
    dose = OUTER.step(OUTER.numbered("first-lowering")).dose
    plan = plan_of(dose, 1, "left", OUTER.guiding)
    assert plan
    moves = [(each.act.value, each.side, each.seconds) for each in plan.phases]
    # 3 x 5, 3 s down, the other hand lifts back, a minute between sets: the tables of EVIDENCE 17.1 (E4, P5 to P7)
    one_arm = [("lower", 3), ("back", 3)] * 4 + [("lower", 3)]
    assert moves == [
        ("ready", "left", 10), *((act, "left", seconds) for act, seconds in one_arm),
        ("change", "right", 10), *((act, "right", seconds) for act, seconds in one_arm), ("rest", "", 60),
    ]  # fmt: skip
    assert (plan.work_s, plan.total_s) == (74, 134)


def test_the_programme_says_which_arm_begins():
    dose = OUTER.step(2).dose
    other_first = plan_of(dose, 1, "left", replace(OUTER.guiding, first="other"))
    assert other_first
    assert [each.side for each in other_first.phases if each.act is PhaseKind.HOLD] == ["right", "left"]


def test_sets_are_numbered_through_the_exercises_of_the_day():
    dose = OUTER.step(OUTER.numbered("first-lowering")).dose
    named = [each.key if (each := of_set(dose, number)) else None for number in range(7)]
    assert named == [None, "lowering", "lowering", "lowering", "hold", "hold", None]


def test_what_is_spread_over_the_day_and_the_last_set_have_no_rest_to_wait_for():
    spread, last = OUTER.step(2).dose, OUTER.step(3).dose
    for dose, number in ((spread, 1), (last, last.asked)):
        plan = plan_of(dose, number, "right", OUTER.guiding)
        assert plan
        assert all(each.act is not PhaseKind.REST for each in plan.phases)


def test_every_set_of_both_packs_is_said_at_most_once_a_second_and_each_phase_where_it_begins():
    for programme in map(programme_at, shipped()):
        for step in programme.steps:
            for number in range(1, step.dose.asked + 1):
                plan = plan_of(step.dose, number, "right", programme.guiding)
                said = cues(plan)
                # the service takes about one message a second in one chat, edits included: bots FAQ
                assert all(later.at - sooner.at >= 1 for sooner, later in pairwise(said))
                starts = [sum(each.seconds for each in plan.phases[:place]) for place in range(len(plan.phases))]
                assert [each.at for each in said if each.left == plan.phases[each.phase].seconds] == starts
                assert len(said) <= 0.5 * plan.total_s + 1  # half of what the service takes, at most


def test_what_should_be_read_now_is_the_latest_cue_and_nothing_outside_the_set():
    plan = plan_of(OUTER.step(2).dose, 1, "right", OUTER.guiding)
    now = cue_now(plan, 12.5)
    assert (now.at, now.left, plan.phases[now.phase].act) == (10, 30, PhaseKind.HOLD)
    following = next_cue(plan, 12.5)
    assert (following.at, following.left) == (20, 20)
    assert cue_now(plan, -1) is None
    assert cue_now(plan, plan.total_s) is None
    assert next_cue(plan, plan.total_s) is None
