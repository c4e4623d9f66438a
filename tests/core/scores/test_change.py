"""Bands of change against the published table, and what happens at their edges."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.model import Provenance
from core.scores import (
    MINIMAL,
    MODERATE,
    POINTS,
    SOURCES,
    SUBSTANTIAL,
    WORSE,
    Band,
    Told,
    change_since,
    citations,
    told_apart,
)
from tests.courses import PROGRAMME

means = st.integers(0, 70).map(lambda sevenths: sevenths / 7)  # what seven evenings can come to


@pytest.mark.parametrize(
    ("first", "mean", "band"),
    [
        # Dworkin RH et al. J Pain 2008;9(2):105-121, as tabulated secondarily: 10-20 % minimal, 30 % moderate, 50 %
        # substantial; each band just reached and just missed.
        (6.0, 3.0, Band.SUBSTANTIAL),
        (6.0, 3.01, Band.MODERATE),
        (5.0, 3.5, Band.MODERATE),
        (5.0, 3.51, Band.MINIMAL),
        (6.0, 5.4, Band.MINIMAL),
        (6.0, 5.41, Band.NONE),
        (6.0, 6.9, Band.NONE),
        (6.0, 7.0, Band.WORSE),
        # 8.1 to 5.67 is a fall of exactly 30 %, which binary fractions miss
        (8.1, 5.67, Band.MODERATE),
        # Farrar JT et al. Pain 2001;94(2):149-158: about 2 points; shares say nothing of a start below 3
        (2.9, 0.9, Band.MODERATE),
        (2.9, 1.0, Band.NONE),
        (0.5, 0.0, Band.NONE),
        (0.0, 0.0, Band.NONE),
        (0.0, 0.9, Band.NONE),
        (0.0, 1.0, Band.WORSE),
    ],
)
def test_a_change_has_the_published_word(first, mean, band):
    change = change_since(PROGRAMME, first, mean)

    assert change.band is band
    assert (change.share is None) == (first < 3)
    assert change.points == pytest.approx(mean - first)


def test_every_published_threshold_cites_the_row_that_carries_its_number():
    assert {f.value: citations(f)[0][:15] for f in (MINIMAL, MODERATE, SUBSTANTIAL, POINTS)} == {
        0.1: "Dworkin RH et a", 0.3: "Dworkin RH et a", 0.5: "Dworkin RH et a", 2.0: "Farrar JT et al"
    }  # fmt: skip
    assert (WORSE.provenance, WORSE.rows) == (Provenance.JUDGEMENT, ())
    for key, source in SOURCES.items():
        carried = next((each for each in PROGRAMME.sources if each.key == key), source)
        assert carried.citation == source.citation  # a row means the same here and in the programme file


@given(means, means, means)
def test_less_pain_never_has_a_worse_word(first, mean, lower):
    mean, lower = max(mean, lower), min(mean, lower)
    order = tuple(Band)
    now, better = change_since(PROGRAMME, first, mean), change_since(PROGRAMME, first, lower)

    assert order.index(better.band) >= order.index(now.band)
    assert now.figures
    assert now.share is None or math.isclose(first * (1 + now.share), mean, abs_tol=1e-6)


@pytest.mark.parametrize(
    ("first", "mean", "told"),
    [
        (5.0, 2.7, Told.MATTERS), (5.2, 2.9, Told.MATTERS), (5.0, 2.71, Told.LESS), (5.0, 3.6, Told.LESS),
        (5.0, 3.61, Told.CHANCE), (5.0, 5.0, Told.CHANCE), (5.0, 6.39, Told.CHANCE), (5.0, 6.4, Told.MORE),
    ],
)  # fmt: skip
def test_a_change_is_told_by_what_can_be_told_from_noise_and_what_matters(first: float, mean: float, told: Told):
    """Row B4, pain of the outer elbow over 3 months: 1.4 with 90 % confidence, 2.3 important; n = 143."""
    assert PROGRAMME.progress
    assert told_apart(PROGRAMME.progress, first, mean) is told
