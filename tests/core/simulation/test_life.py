"""People live through the real rule, and a flare is lived apart from the course."""

import random

import pytest

from core.model import ReasonCode
from core.programme import Programme
from core.programme.file import default_programme
from core.simulation.cohort import KNOWN, LIMITS, RULE, sample, without_each
from core.simulation.detectors import HAND
from core.simulation.life import Life, live
from core.simulation.people import Course, Model, Script, draw, spread_of

PROGRAMME = default_programme()
MODEL = Model()


def faithful(start: float, days: int = 182, jumps: dict[int, float] | None = None) -> Script:
    """Somebody without noise who answers and trains every evening."""
    noise = [(jumps or {}).get(day, 0.0) for day in range(days)] + [0.0]
    yes, no = [True] * days, [False] * days
    return Script(dict.fromkeys(Course, start), 0.0, noise, no, yes, yes, no, tells=yes)


def lived(script: Script, course: Course = Course.STABLE, onsets: tuple[int, ...] = ()) -> Life:
    return live(PROGRAMME, MODEL, script, course, onsets, PROGRAMME)


def test_a_quiet_faithful_person_climbs_in_the_least_days_and_is_never_called_back():
    life = lived(faithful(2.0))

    assert life.calls == []
    assert [advance.step for advance in life.advances] == [3, 4, 5, 6, 7, 8, 9]
    assert all(advance.practised and advance.above_gate <= 0 for advance in life.advances)
    # the least days of steps 2 to 7, as the programme has them; with so little pain a week of each of the holds will do
    least = [7, 7, *(int(PROGRAMME.step(number).least_days.value) for number in range(4, 8))]
    assert life.top_day == sum(least) - 1


def test_one_bad_evening_is_no_call_and_a_lasting_rise_is_one():
    bad = lived(faithful(2.0, jumps={60: 8.0}))
    flared = lived(faithful(2.0), onsets=(60,))

    assert bad.calls == []
    assert len(flared.delays) == 1
    assert 2 <= flared.delays[0] <= 7
    assert flared.calls == []


def test_a_flare_lived_apart_leaves_the_course_as_it_was():
    script = draw(MODEL, 1.0, 182, random.Random(3))
    without, with_flares = lived(script), lived(script, onsets=(40, 75, 110))

    assert (with_flares.ratings, with_flares.calls) == (without.ratings, without.calls)
    assert with_flares.advances == without.advances
    assert len(with_flares.delays) == 3


def test_the_same_chance_gives_the_same_sample_and_another_gives_another():
    first, again, other = (sample({RULE: PROGRAMME}, MODEL, 4, 182, random.Random(seed)) for seed in (1, 1, 2))

    assert first == again
    assert first != other
    assert {one.course for one in first} == set(Course)


def test_a_higher_limit_of_the_sum_means_fewer_calls_and_longer_delays():
    for one in sample({RULE: PROGRAMME}, MODEL, 8, 182, random.Random(5)):
        calls = [did.calls for did in one.sums[KNOWN]]
        assert calls == sorted(calls, reverse=True)
        assert one.sums[KNOWN][0].delays < one.sums[KNOWN][-1].delays
        assert len(calls) == len(LIMITS[KNOWN])


def test_each_ablation_takes_its_reason_away_and_nothing_else_changes_in_the_programme():
    off = without_each(PROGRAMME)
    scripts = [draw(MODEL, 1.5, 182, random.Random(place)) for place in range(8)]

    def reasons(programme: Programme) -> set[ReasonCode]:
        lives = [live(programme, MODEL, script, Course.IMPROVING, (), PROGRAMME) for script in scripts]
        return {why for life in lives for _, why in life.calls}

    shipped = reasons(PROGRAMME)
    for name, code in (("flare", ReasonCode.FLARE), ("severe", ReasonCode.SEVERE_TWICE)):
        assert shipped - reasons(off[f"without.{name}"]) == {code}, name
    assert all(one.rule != PROGRAMME.rule or one.steps != PROGRAMME.steps for one in off.values())
    assert off.keys().isdisjoint({RULE, *HAND})  # each is measured under its name, beside the rules by hand


@pytest.mark.parametrize("above", [0.5, -0.5])
def test_an_advance_is_measured_at_the_gate_of_the_step_entered(above: float):
    ungated = without_each(PROGRAMME)["without.gates"]
    life = live(ungated, MODEL, faithful(4.0 + above), Course.STABLE, (), PROGRAMME)
    lowering = next(advance for advance in life.advances if advance.step == 4)

    assert lowering.above_gate == pytest.approx(above)


def test_how_long_a_step_is_said_to_take_is_what_made_up_people_take():
    """The programme's passed_days against other made-up people than those they were found with."""
    people = [draw(MODEL, spread_of(MODEL, n), 364, random.Random(f"anew/{n}")) for n in range(40)]
    lives = [lived(script, Course.IMPROVING) for script in people]
    for step in PROGRAMME.steps[1:6]:
        assert step.passed_days
        came = [each.reached for each in lives if step.number in each.reached and each.reached[step.number] <= 182]
        took = [each.get(step.number + 1, 10**6) - each[step.number] for each in came]
        half, most = (sum(days <= stated for days in took) / len(took) for stated in step.passed_days)
        assert 0.25 <= half <= 0.75, step.key
        assert 0.5 <= most <= 0.95, step.key
