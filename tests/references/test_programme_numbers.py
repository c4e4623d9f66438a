"""The numbers of the default programme against the trial, guideline or rule of thumb that each is said to be
from.

Published values are written here as the source prints them (how each was seen stands in the programme file).
A number that no source carries must not be called published.
"""

import pytest

from core.model import Provenance
from core.programme.file import default_programme

PROGRAMME = default_programme()
FIGURES = {figure.name: figure for figure in PROGRAMME.figures}

# name, value, row it must name
PUBLISHED = [
    ("step[1].exercise[1].hold_s", 15, "D3"),  # Coombes 2016: 10 x 15 s
    ("step[1].exercise[1].pain_at_most", 2, "D8"),  # RACGP HANDI: pain at most 2/10
    ("step[3].exercise[1].sets", 5, "D1"),  # Rio 2015: 5 x 45 s, 2-min rests (dose from memory)
    ("step[3].exercise[1].hold_s", 45, "D1"),
    ("step[3].exercise[1].hold_s", 45, "D5"),  # Stasinopoulos 2017: 45-s hold
    ("step[3].exercise[1].rest_s.least", 60, "D5"),  # Stasinopoulos 2017: 1-min rests
    ("step[3].exercise[1].rest_s.most", 120, "D1"),
    ("step[3].gate[1].mean", 5, "A3"),  # Silbernagel 2007: pain may reach 5 (from memory)
    ("step[4].exercise[1].rest_s.most", 60, "E4"),  # Stasinopoulos 2005-2006: 1-min rest
    ("step[5].exercise[1].sets", 3, "E4"),  # Stasinopoulos 2005-2006: 3 x 10
    ("step[5].exercise[1].reps.most", 10, "E4"),
    ("step[5].exercise[1].lower_s", 4, "E3"),  # Tyler 2010: about 4 s a repetition
    ("step[6].exercise[1].sets", 3, "E1"),  # Peterson 2011: 3 x 15 once daily
    ("step[6].exercise[1].reps.least", 15, "E1"),
    ("step[6].exercise[1].rest_s.least", 30, "E3"),  # Tyler 2010: 30 s between sets
    ("step[7].exercise[1].reps.most", 15, "E1"),
    ("step[7].exercise[1].lift_s", 4, "F2"),  # RACGP HANDI: 4 s up, 4 s down
    ("step[7].exercise[1].lower_s", 4, "F2"),
    ("step[8].rhythm.training_days", 1, "F2"),  # RACGP HANDI: every other day
    ("step[8].rhythm.days", 2, "F2"),
    ("step[8].exercise[1].sets", 3, "E10"),  # Couppé 2022: 3 x 15RM falling to 3 x 6RM, 3 a week
    ("step[9].rhythm.training_days", 3, "E10"),
    ("rule.severe.limit", 8, "C2"),  # Boonstra 2016: severe is 8 or more
    ("rule.ceiling.day", 5, "A3"),
    ("rule.ceiling.week", 5, "A3"),
    ("rule.flare.half_life_weeks", 15.2, "G1"),  # Ikonen 2022: halves every 3-4 months; 3.5 months are 15.2 weeks
    ("rule.weeks.up_much", 2.3, "B4"),  # doi 10.1080/09593985.2025.2450090: MCID 2.3 at the elbow
    ("rule.advance.sets_share", 5 / 7, "J2"),  # Clifford 2020: 71 % of sessions
    ("rule.load.rise_g", 100, "E1"),  # Peterson 2011: 0.1 kg (100 ml) a week
    ("rule.load.every_days", 7, "E1"),
    ("rule.plateau.early_days", 42, "E11"),  # Can Fam Physician 2008: review at 6 weeks if no change
    ("rule.plateau.middle_share", 0.30, "B1"),  # Farrar 2001: about 2 points or 30 %
    ("rule.plateau.points", 2, "B1"),
    ("rule.plateau.late_share", 0.50, "B2"),  # IMMPACT 2008: at least 50 % substantial
    ("rule.plateau.late_days", 182, "H8"),  # refer on after 6 months
]
COMMON_PRACTICE = [
    ("step[1].exercise[1].sets", 4, "P1"),
    ("step[2].exercise[1].hold_s", 30, "P1"),
    ("step[2].exercise[1].sets", 4, "P1"),
    ("step[4].exercise[1].sets", 3, "P6"),
    ("step[4].exercise[1].reps.most", 5, "P6"),
    ("step[4].exercise[1].lower_s", 3, "P5"),
    ("step[4].gate[1].mean", 4, "P4"),
    ("step[4].gate[1].hold_days", 28, "P4"),
    ("rule.begin.gentle_above", 5, "P3"),
]
# Starting values of the project's own: what the ladder and the rule were specified with.
JUDGEMENT = {
    "step[1].least_days": 7,
    "step[4].gate[2].mean": 3,
    "step[4].gate[2].hold_days": 14,
    "step[3].back_above": 6,
    "step[2].gate[1].mean": 7,
    "step[8].sets_share": 0.75,
    "step[8].load.entry_rise_g": 500,
    "step[8].gate[1].calm_days": 14,
    "step[9].gate[1].mean_days": 28,
    "step[9].least_days": 84,
    "rule.flare.allowance": 0.9,
    "rule.flare.limit": 4.8,
    "rule.flare.daily_cap": 2.4,
    "rule.flare.level_days": 42,
    "rule.flare.stay_days": 7,
    "rule.weeks.up": 0.5,
    "rule.weeks.ease_g": 200,
    "rule.advance.ratings": 5,
    "rule.attention.step_backs": 3,
    "rule.attention.step_back_days": 42,
    "rule.plateau.early_share": 0.15,
}


@pytest.mark.parametrize(("name", "value", "row"), PUBLISHED)
def test_a_published_number_is_the_one_its_source_prints(name: str, value: float, row: str) -> None:
    figure = FIGURES[name]

    assert figure.value == pytest.approx(value)
    assert row in figure.rows
    assert figure.provenance is Provenance.PUBLISHED


@pytest.mark.parametrize(("name", "value", "row"), COMMON_PRACTICE)
def test_a_rule_of_thumb_is_called_common_practice(name: str, value: float, row: str) -> None:
    """Common practice, no source."""
    assert (FIGURES[name].value, FIGURES[name].provenance) == (value, Provenance.COMMON_PRACTICE)
    assert row in FIGURES[name].rows


@pytest.mark.parametrize(("name", "value"), JUDGEMENT.items())
def test_a_starting_value_of_our_own_is_called_judgement(name: str, value: float) -> None:
    assert (FIGURES[name].value, FIGURES[name].provenance) == (value, Provenance.JUDGEMENT)


def test_the_least_days_of_the_ladder_come_to_half_a_year() -> None:
    """7 + 14 + 14 + 14 + 14 + 28 + 42 + 42 = 175 days, 25 weeks: about six months is common practice, no
    source."""
    days = [step.least_days.value for step in PROGRAMME.steps if not step.maintenance]

    assert days == [7, 14, 14, 14, 14, 28, 42, 42]
    assert sum(days) == 175


def test_the_severe_limit_lies_above_the_moderate_band() -> None:
    """Boonstra 2016: mild up to 5, moderate 6-7, severe 8 or more."""
    assert PROGRAMME.rule.ceiling.day.value == 5
    assert PROGRAMME.rule.severe.limit.value == 8


def test_a_much_worse_week_is_a_change_that_matters_and_more_than_the_smallest_detectable() -> None:
    """Physiother Theory Pract 2025, doi 10.1080/09593985.2025.2450090: MDC90 1.4, MCID 2.3 at the elbow."""
    assert 1.4 < PROGRAMME.rule.weeks.up_much.value == 2.3


def test_every_source_has_a_user_and_every_published_one_a_citation() -> None:
    used = {row for figure in PROGRAMME.figures for row in figure.rows}

    assert used == {source.key for source in PROGRAMME.sources}
    for source in PROGRAMME.sources:
        assert bool(source.citation and source.known) == (source.kind is Provenance.PUBLISHED)
