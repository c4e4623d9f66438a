"""The numbers of the default programme against the trial, guideline or rule of thumb that each is said to be from.

Every value below is written as the source prints it (how each was seen stands in the programme file); what the project
chose for itself is not written out again here, only bounded by what the sources say around it.
"""

from typing import Any

import pytest

from core.model import Dose, Evening, Kind, Provenance
from core.programme.file import default_programme
from tests.courses import live, said

PROGRAMME = default_programme()
FIGURES = {figure.name: figure for figure in PROGRAMME.figures}

# name, value, row it must name
PUBLISHED = [
    ("step[1].exercise[1].hold_s", 15, "D3"),  # Coombes 2016, elbow: 10 x 15 s
    ("step[1].exercise[1].pain_at_most", 2, "D8"),  # RACGP HANDI: pain at most 2/10
    ("step[2].exercise[1].pain_at_most", 2, "D8"),
    ("step[3].exercise[1].hold_s", 45, "D5"),  # Stasinopoulos 2017, elbow: 45-s hold
    ("step[4].exercise[1].rest_s.most", 60, "E4"),  # Stasinopoulos 2005-2006: 1-min rest
    ("step[5].exercise[1].sets", 3, "E4"),  # Stasinopoulos 2005-2006: 3 x 10
    ("step[5].exercise[1].reps.most", 10, "E4"),
    ("step[5].exercise[1].lower_s", 4, "E3"),  # Tyler 2010: about 4 s a repetition
    ("step[5].exercise[2].hold_s", 45, "D5"),
    ("step[6].exercise[1].sets", 3, "E1"),  # Peterson 2011: 3 x 15 once daily
    ("step[6].exercise[1].reps.least", 15, "E1"),
    ("step[6].exercise[1].rest_s.least", 30, "E3"),  # Tyler 2010: 30 s between sets
    ("step[7].exercise[1].reps.most", 15, "E1"),
    ("step[7].exercise[1].lift_s", 4, "F2"),  # RACGP HANDI: 4 s up, 4 s down
    ("step[7].exercise[1].lower_s", 4, "F2"),
    ("step[8].exercise[1].sets", 3, "F2"),  # RACGP HANDI: 3 x 6-8 every other day
    ("step[8].rhythm.training_days", 1, "F2"),
    ("step[8].rhythm.days", 2, "F2"),
    ("rule.severe.limit", 8, "C2"),  # Boonstra 2016: severe is 8 or more
    ("rule.load.right_g", 100, "E1"),  # Peterson 2011: 0.1 kg (100 ml) a week
    ("rule.load.every_days", 7, "E1"),
    ("rule.plateau.early_days", 42, "E11"),  # Finestone 2008: review at 6 weeks if no change
    ("rule.plateau.points", 2, "B1"),
    ("rule.plateau.late_share", 0.50, "B2"),  # IMMPACT 2008: at least 50 % substantial
]
COMMON_PRACTICE = [  # common practice, no source
    ("every_day[1].last_s.most", 120, "P2"),
    ("step[1].exercise[1].sets", 4, "P1"),
    ("step[2].exercise[1].hold_s", 30, "P1"),
    ("step[2].exercise[1].sets", 4, "P1"),
    ("step[4].exercise[1].sets", 3, "P6"),
    ("step[4].exercise[1].reps.most", 5, "P6"),
    ("step[4].exercise[1].lower_s", 3, "P5"),
    ("step[4].gate[1].mean", 4, "P4"),
    ("rule.begin.gentle_above", 5, "P3"),
    ("rule.ceiling.day", 5, "P3"),
]


@pytest.mark.parametrize(("name", "value", "row"), PUBLISHED)
def test_a_published_number_is_the_one_its_source_prints(name: str, value: float, row: str) -> None:
    figure = FIGURES[name]

    assert figure.value == pytest.approx(value)
    assert row in figure.rows
    assert figure.provenance is Provenance.PUBLISHED


@pytest.mark.parametrize(("name", "value", "row"), COMMON_PRACTICE)
def test_a_rule_of_thumb_is_called_common_practice(name: str, value: float, row: str) -> None:
    assert (FIGURES[name].value, FIGURES[name].provenance) == (value, Provenance.COMMON_PRACTICE)
    assert row in FIGURES[name].rows


# What a source prints for another tendon, for another moment or in another unit is never called published.
OTHER_USE = {
    "A1": "pain during exercise, not tested in the elbow",
    "A3": "pain during and after loading, Achilles tendon",
    "D1": "70 % of maximum, the tendon below the kneecap",
    "B4": "a change over 3 months, not one of a week",
    "G1": "months, not weeks",
    "H8": "months, in notes that cite others",
    "L6": "when exercise was taught after inclusion, not days without load",
    "E10": "the most that 15 to 6 repetitions allow",
}


@pytest.mark.parametrize("row", OTHER_USE)
def test_what_a_source_prints_for_another_use_is_derived_or_a_guess(row: str) -> None:
    for figure in PROGRAMME.figures:
        if row in figure.rows:
            assert figure.provenance is Provenance.DERIVED, figure.name


def test_no_adherence_of_a_trial_is_a_gate() -> None:
    """87 % of sessions (Clifford 2020) and 71 % describe people in a supervised trial; neither says when to move up."""
    assert "J2" not in {row for figure in PROGRAMME.figures for row in figure.rows}


def test_only_what_an_elbow_study_or_guideline_prints_is_a_published_dose() -> None:
    """Elbow: Coombes 2016, Stasinopoulos 2005 and 2017, Tyler 2010, Peterson 2011, RACGP HANDI."""
    of_doses = [figure for figure in PROGRAMME.figures if ".exercise[" in figure.name]
    published = {
        row for each in of_doses if each.provenance is Provenance.PUBLISHED for row in each.rows if row[0] != "P"
    }

    assert published <= {"D3", "D5", "D8", "E1", "E3", "E4", "F2"}


def test_the_ladder_takes_about_half_a_year() -> None:
    """Common practice, no source: expect about six months; the holds take the month or two before lowering."""
    climbed = [step for step in PROGRAMME.steps if not step.maintenance]
    holds = sum(step.least_days.value for step in climbed if step.dose.kind is Kind.ISOMETRIC)

    assert 24 <= sum(step.least_days.value for step in climbed) / 7 <= 27
    assert 30 <= holds <= 60


@pytest.mark.parametrize("step", PROGRAMME.steps, ids=lambda step: step.key)
def test_a_day_has_fewer_than_four_exercises_and_both_arms_do_each(step) -> None:  # type: ignore[no-untyped-def]
    """Argent 2018, Bachmann 2018: fewer than four are done more often. RACGP HANDI: both arms."""
    assert step.dose.exercises[0].kind is Kind.MOBILISING
    assert len(step.dose.exercises) < 4
    assert all(each.both_arms for each in step.dose.exercises)


def test_holds_stay_beside_lowering() -> None:
    """Stasinopoulos 2017: lowering with a hold of 45 s did better than lowering alone."""
    for step in PROGRAMME.steps:
        kinds = [each.kind for each in step.dose.exercises]
        assert (Kind.ECCENTRIC not in kinds) or (Kind.ISOMETRIC in kinds)


def steady(start_rating: int, weeks: int) -> list[tuple[int, Dose, int]]:
    """(step, dose, day) of somebody whose pain falls as untreated ones' does, and who does and says everything."""
    told: list[tuple[int, Dose, int]] = []

    def answer(day: int, dose: Dose) -> Evening:
        return said(round(start_rating * 0.5 ** (day / 7 / 15.2)))

    for day, (state, decision) in enumerate(live(7 * weeks, answer, start_rating)):
        if decision.dose is not None:
            told.append((state.step, decision.dose, day))
    return told


def test_lived_loads_stay_within_what_the_trial_s_men_lifted() -> None:
    """Peterson 2011: lifting begins at 2 kg (men) and rises by 0.1 kg a week. Half a kilogram comes with step 8."""
    doses = steady(4, 30)
    weighted = next(day for _, dose, day in doses if dose.load_g)
    for number, dose, day in doses:
        heavier_step = PROGRAMME.step(number).entry_rise_g
        assert dose.load_g <= 2000 + 100 * (day - weighted) / 7 + heavier_step, day
    assert doses[-1][1].load_g > doses[weighted][1].load_g


def test_lived_weeks_are_slower_than_the_guidelines_ladder() -> None:
    """RACGP HANDI: lifting from week 2, every other day from week 6. Starting from holds, nobody gets there sooner."""
    doses = steady(4, 30)
    lifting = next(day for _, dose, day in doses if any(each.kind is Kind.ISOTONIC for each in dose.exercises))
    strong = next(day for step, _, day in doses if step == 8)

    assert lifting >= 14
    assert strong >= 42
    days = [dose.asked > 0 for step, dose, _ in doses if step == 8][:14]
    assert days == [True, False] * 7 or days == [False, True] * 7


def test_every_source_has_a_user_and_every_published_one_a_citation() -> None:
    told: tuple[Any, ...] = (*PROGRAMME.screens, *PROGRAMME.education, *PROGRAMME.questions, *PROGRAMME.suggestions)
    used = {row for each in (*PROGRAMME.figures, *told) for row in each.rows}
    spoken_of = {"B4", "D1"}  # named in a reason why, and left there for who wants to read on

    assert used | spoken_of == {source.key for source in PROGRAMME.sources}
    for source in PROGRAMME.sources:
        assert bool(source.citation and source.known) == (source.kind is Provenance.PUBLISHED)
