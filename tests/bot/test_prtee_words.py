"""What a change of the questionnaire is worth, with points, percent and the study that says so."""

import pytest

from bot.wording.attention import prtee_words, scores_words
from bot.wording.catalogue import text_in
from core.scores.prtee import change, score_of_total

POLTAWSKI = "Poltawski L, Watson T. Hand Therapy 2011;16(3):52-57"
OF_2025 = "Physiother Theory Pract 2025, doi 10.1080/09593985.2025.2450090"


@pytest.mark.parametrize(
    ("first", "now", "words"),
    [
        # Poltawski 2011: 37 % is much better; a mild start of 24 cannot fall by the 15 points of the study of 2025
        (24, 10, f"−14.0 points, −58 %: better, by as much as counts; a fall by 37 % is much better ({POLTAWSKI})"),
        (60, 45, f"−15.0 points, −25 %: better, by as much as counts; 15 points or more count ({OF_2025})"),
        (
            60, 50,
            f"−10.0 points, −17 %: more than chance, less than what counts; 15 points or more count ({OF_2025})",
        ),
        (60, 61, f"+1.0 points, +2 %: within chance; less than 9.7 points is not told from chance ({OF_2025})"),
        (0, 20, f"+20.0 points: worse, by as much as counts; 15 points or more count ({OF_2025})"),
    ],
)  # fmt: skip
def test_a_change_is_told_with_points_percent_and_its_study(first: float, now: float, words: str) -> None:
    assert prtee_words(text_in("en"), change(score_of_total(first), score_of_total(now))) == words


def test_the_same_score_again_is_no_change() -> None:
    said = scores_words(text_in("en"), [(0, 38.0), (12, 38.0)])
    assert said[-1] == f"No change since week 0; under 9.7 points may be chance ({OF_2025})"
