"""The cohort is drawn as stated: noise, replies, sets, natural decline."""

import math
import random
from itertools import pairwise

import pytest

from core.simulation.people import Course, Model, Script, draw, level, rated, spread_of

MODEL = Model()


def scripts(count: int, days: int = 182, **other: object) -> list[Script]:
    model = Model(**other)  # type: ignore[arg-type]
    return [draw(model, 1.0, days, random.Random(f"people/{place}")) for place in range(count)]


def test_the_noise_has_the_stated_spread_and_autocorrelation():
    series = [script.noise for script in scripts(300, bout_people=0.0, work_people=0.0)]
    values = [value for one in series for value in one]

    mean = sum(values) / len(values)
    variance = sum((value - mean) ** 2 for value in values) / len(values)
    together = [a * b for one in series for a, b in pairwise(one)]
    # 300 x 182 values of which 1 in (1 + 0.16) / (1 - 0.16) counts for a variance: four standard errors are 0.03
    assert math.sqrt(variance) == pytest.approx(1.0, abs=0.03)
    assert sum(together) / len(together) / variance == pytest.approx(0.4, abs=0.02)


def test_replies_fade_as_stated_and_missed_evenings_cluster():
    people = scripts(600, break_people=0.0)

    first = [script.answered[day] for script in people for day in range(7)]
    last = [script.answered[day] for script in people for day in range(175, 182)]
    again = [not b for script in people for a, b in pairwise(script.answered) if not a]
    assert sum(first) / len(first) == pytest.approx(0.85, abs=0.025)
    assert sum(last) / len(last) == pytest.approx(0.70, abs=0.03)
    assert sum(again) / len(again) == pytest.approx(0.4, abs=0.02)


def test_sets_fade_after_the_first_month():
    people = scripts(600)

    for day, share in ((10, 0.87), (29, 0.87), (181, 0.50)):
        done = [script.done[each] for script in people for each in range(day - 3, min(day + 1, 182))]
        assert sum(done) / len(done) == pytest.approx(share, abs=0.035), day


def test_a_quarter_of_people_have_bouts_of_two_or_three_days_about_monthly():
    people = scripts(400)

    with_bouts = [script for script in people if any(script.bout)]
    lengths = [len(run) for script in with_bouts for run in "".join("x " [not day] for day in script.bout).split()]
    assert len(with_bouts) / len(people) == pytest.approx(0.25, abs=0.07)
    assert max(lengths) <= 9  # three that touch
    assert len(lengths) / len(with_bouts) == pytest.approx(182 / 33, rel=0.15)  # a month and the bout itself


def test_people_recover_as_in_the_trial():
    """Bisset L et al. BMJ 2006;333:939, wait and see: 59 % better at 12 weeks, 83 at 26, 90 at 52;
    better is taken as a level halved."""
    people = scripts(4000, days=1)

    for week, share in ((6, 0.27), (12, 0.59), (26, 0.83), (52, 0.90)):
        halved = sum(level(one, Course.IMPROVING, 7 * week) <= one.starts[Course.IMPROVING] / 2 for one in people)
        assert halved / len(people) == pytest.approx(share, abs=0.05), week


@pytest.mark.parametrize(("week", "fall"), [(4, 0.17), (6, 0.24), (8, 0.31), (12, 0.42), (26, 0.69), (52, 0.91)])
def test_the_natural_decline_is_the_published_one(week: int, fall: float):
    """Half in 3.5 months, the middle of Ikonen J et al. Clin Orthop Relat Res 2022;480(4):647-660 (three to four)."""
    script = Script({Course.STABLE: 4.0, Course.IMPROVING: 6.0}, 1.0)

    assert 1 - level(script, Course.IMPROVING, 7 * week) / 6.0 == pytest.approx(fall, abs=0.006)
    assert level(script, Course.STABLE, 7 * week) == 4.0


def test_every_ten_people_hold_the_mixture_of_noise():
    spreads = [spread_of(MODEL, place) for place in range(30)]

    assert [spreads.count(each) for each in (0.7, 1.0, 1.5)] == [9, 15, 6]


@pytest.mark.parametrize(("value", "said"), [(-2.0, 0), (0.49, 0), (0.5, 1), (3.4999, 3), (9.5, 10), (14.0, 10)])
def test_people_say_whole_numbers_from_0_to_10(value: float, said: int):
    assert rated(value) == said
