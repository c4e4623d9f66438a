"""The score against its published arithmetic, the published thresholds of change, and typed answers."""

import datetime as dt
import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import HoldlowerError, ScoreError
from core.model import Provenance
from core.scores import citations
from core.scores.prtee import (
    COUNTS,
    DETECTABLE,
    LITTLE_BETTER,
    LITTLE_BETTER_SHARE,
    MUCH_BETTER,
    MUCH_BETTER_SHARE,
    SMALLEST_IMPORTANT,
    PrteeScore,
    Verdict,
    change,
    due_in_week,
    read_prtee,
    score,
)

PAIN, SPECIFIC, USUAL = (4, 6, 7, 8, 3), (5, 7, 8, 6, 4, 6), (4, 5, 6, 3)


def _scale(items: int, most_missing: int) -> st.SearchStrategy[list[int | None]]:
    """A subscale with at most so many items left empty, anywhere."""
    ratings = st.lists(st.integers(0, 10), min_size=items, max_size=items)
    empty = st.sets(st.integers(0, items - 1), max_size=most_missing)
    return st.builds(lambda each, gone: [None if i in gone else v for i, v in enumerate(each)], ratings, empty)


# As many empty items as the manual's rule still scores: 3 of 5 pain, 5 of 10 function items are needed.
forms = st.builds(lambda pain, function: pain + function, _scale(5, 2), _scale(10, 5))


def test_the_worked_check_comes_out():
    """Constructed from the manual's arithmetic, not published: 28 + (36 + 18) / 2 = 55."""
    assert score([*PAIN, *SPECIFIC, *USUAL]) == PrteeScore(55.0, 28.0, 27.0, 15)


def test_a_missing_item_counts_as_the_mean_of_its_subscale():
    """Constructed from the manual: with the last item missing, function is (51 + 51 / 9) / 2 = 28.33."""
    found = score([*PAIN, *SPECIFIC, *USUAL[:3], None])

    assert (found.pain, found.answered) == (28.0, 14)
    assert found.function == pytest.approx(28.3333, abs=1e-4)
    assert found.total == pytest.approx(56.3333, abs=1e-4)


def form(pain: int, function: int) -> list[int | None]:
    """So many answers of each subscale given, the others missing."""
    return [*[5] * pain, *[None] * (5 - pain), *[5] * function, *[None] * (10 - function)]


@pytest.mark.parametrize(("pain", "function", "short"), [(2, 10, "pain"), (5, 4, "function"), (0, 0, "pain")])
def test_a_subscale_that_is_mostly_missing_is_refused_and_half_is_enough(pain, function, short):
    assert score(form(3, 5)).total == 50.0
    with pytest.raises(ScoreError, match=f"answers about {short}.*at least half.*ask for the missing") as refused:
        score(form(pain, function))
    assert (refused.value.problem, refused.value.facts["subscale"]) == ("missing", short)


@given(forms)
def test_a_score_lies_within_its_range_and_follows_the_arithmetic_exactly(answers):
    pain = [each for each in answers[:5] if each is not None]
    function = [each for each in answers[5:] if each is not None]
    exact = Fraction(sum(pain), len(pain)) * 5 + Fraction(sum(function), len(function)) * 10 / 2

    found = score(answers)

    assert math.isclose(found.total, exact, abs_tol=1e-12)
    assert 0 <= found.pain <= 50
    assert 0 <= found.function <= 50
    assert found.total == found.pain + found.function
    assert found.answered == len(pain) + len(function)
    if found.answered == 15:
        assert (found.total * 2).is_integer()  # complete forms move by halves


@given(forms, st.sampled_from([" ", ", ", ",", "\n", " ; ", "\t"]), st.sampled_from("-–x"), st.booleans())
def test_fifteen_typed_answers_score_like_the_answers(answers, between, missing, arabic):
    text = between.join(missing if each is None else str(each) for each in answers)
    if arabic:
        text = text.translate({ord(str(digit)): chr(0x0660 + digit) for digit in range(10)})

    assert read_prtee(f"  {text}\n") == score(answers)


@pytest.mark.parametrize(
    ("text", "total"), [("55", 55.0), ("56.3", 56.3), (" 0 ", 0.0), ("100", 100.0), ("56,3", 56.3), ("٥٥", 55.0)]
)
def test_a_single_number_is_the_total_of_the_paper_form(text, total):
    assert read_prtee(text) == PrteeScore(total)


FOURTEEN = "4 6 7 8 3 5 7 8 6 4 6 4 5 6"


@pytest.mark.parametrize(
    ("text", "problem", "words"),
    [
        ("101", "total", "101.*expected 0 to 100"),
        ("100.5", "total", "0 to 100"),
        ("-5", "total", "'-5' is no total"),
        ("1e2", "total", "no total.*56.3"),
        ("nan", "total", "no total"),
        ("fifty", "total", "no total"),
        ("56.333", "total", "no total"),
        ("9" * 500, "total", "9…' is no total"),
        ("5,3", "comma", r"two answers or one total.*5\.3"),
        ("", "count", "0 answers; expected 15"),
        ("-", "count", "1 answers; expected 15"),
        ("x x", "count", "2 answers; expected 15"),
        (FOURTEEN, "count", "14 answers; expected 15.*- for one that is missing"),
        (f"{FOURTEEN} 3 3", "count", "16 answers"),
        (f"{FOURTEEN} 11", "answer", "answer 15 of 15 is '11'; expected a whole number from 0 to 10"),
        (f"{FOURTEEN} 4-5", "answer", "answer 15 of 15 is '4-5'"),
        (f"{FOURTEEN} 4.5", "answer", "whole number"),
        (f"-1 {FOURTEEN}", "answer", "answer 1 of 15 is '-1'"),
        (f"{FOURTEEN} ten", "answer", "answer 15 of 15 is 'ten'.*- when it is missing"),
        ("- - - 4 4 5 5 5 5 5 5 5 5 5 5", "missing", "only 2 of the 5 answers about pain"),
    ],
)
def test_what_cannot_be_read_is_said_with_its_place_and_what_is_expected(text, problem, words):
    with pytest.raises(ScoreError, match=words) as refused:
        read_prtee(text)

    assert isinstance(refused.value, HoldlowerError)
    assert refused.value.problem == problem
    assert len(str(refused.value)) < 200


@given(st.text(max_size=80) | st.text("0123456789 ,;.-x\n٣²½", max_size=60))
def test_any_text_is_a_score_or_a_clear_refusal(text):
    try:
        found = read_prtee(text)
    except ScoreError:
        return
    assert 0 <= found.total <= 100


def total(value: float) -> PrteeScore:
    return PrteeScore(value)


@pytest.mark.parametrize(
    ("first", "now", "verdict"),
    [
        # Row I5 (2025, n = 143): important from 14.8, detectable from 9.7; a change of 15 or more counts
        (60.0, 45.0, Verdict.BETTER),
        (60.0, 45.5, Verdict.UNSURE),
        (60.0, 50.3, Verdict.UNSURE),
        (60.0, 50.4, Verdict.CHANCE),
        (60.0, 69.6, Verdict.CHANCE),
        (60.0, 74.9, Verdict.UNSURE),
        (60.0, 75.0, Verdict.WORSE),
        (0.0, 20.0, Verdict.WORSE),
        # Row I4 (Poltawski 2011): 37 % is much better; told from chance, a mild start need not fall by 15
        (24.0, 10.0, Verdict.BETTER),
        (26.0, 15.0, Verdict.BETTER),
        (40.0, 26.0, Verdict.UNSURE),
        (20.0, 11.0, Verdict.CHANCE),
        (0.0, 0.0, Verdict.CHANCE),
    ],
)
def test_a_change_is_weighed_against_what_the_questionnaire_can_tell(first, now, verdict):
    found = change(total(first), total(now))

    assert (found.verdict, found.points) == (verdict, pytest.approx(now - first))
    assert (found.share is None) == (first == 0)


def test_each_published_threshold_is_said_to_be_reached_or_not():
    """Row I4: 7 points or 22 % a little better, 11 or 37 % much better. Row I5: 14.8 and 9.7."""
    reached = dict(change(total(30.0), total(18.5)).reached)  # 11.5 points, 38 %

    assert reached == {
        LITTLE_BETTER: True, LITTLE_BETTER_SHARE: True, MUCH_BETTER: True, MUCH_BETTER_SHARE: True,
        DETECTABLE: True, SMALLEST_IMPORTANT: False, COUNTS: False,
    }  # fmt: skip
    assert {figure.value for figure in reached} == {7.0, 11.0, 0.22, 0.37, 9.7, 14.8, 15.0}
    assert all(citations(figure) for figure in reached)
    assert COUNTS.provenance is Provenance.JUDGEMENT  # its row says 14.8


@given(st.integers(0, 200), st.integers(0, 200))
def test_going_there_and_back_comes_to_nothing(first, now):
    there, back = change(total(first / 2), total(now / 2)), change(total(now / 2), total(first / 2))

    assert there.points == -back.points
    by_points = COUNTS in (there.by, back.by) and MUCH_BETTER_SHARE not in (there.by, back.by)
    opposite = {Verdict.BETTER: Verdict.WORSE, Verdict.WORSE: Verdict.BETTER}
    assert not by_points or opposite.get(there.verdict, there.verdict) is back.verdict
    assert not dict(there.reached)[COUNTS] or there.verdict is Verdict.BETTER


START = dt.date(2026, 3, 4)  # a Wednesday


@pytest.mark.parametrize(
    ("monday", "scored", "due"),
    [
        ("2026-03-02", [], 0),
        ("2026-03-09", [], 0),  # the week after: whoever began on a Friday is seen then
        ("2026-03-09", [0], None),
        ("2026-03-16", [], None),
        ("2026-04-06", [0], None),
        ("2026-04-13", [0], 6),  # six weeks are over on Wednesday 15 April
        ("2026-04-13", [0, 5], None),  # kept a week early
        ("2026-04-13", [0, 4], 6),
        ("2026-04-20", [0], None),  # that week is told once; the page goes on saying that it lacks
        ("2026-05-25", [0, 6], 12),
        ("2026-08-31", [0, 6, 12], 26),
    ],
)
def test_the_questionnaire_is_due_at_the_start_and_after_6_12_and_26_weeks(monday: str, scored: list[int], due: object):
    """At the start and at least once more: Lucado AM et al. JOSPT 2022;52(12); the weeks are judgement."""
    assert due_in_week(START, scored, dt.date.fromisoformat(monday)) == due
