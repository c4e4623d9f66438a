"""Slips of the thumb."""

import pytest

from core.answers.lexicon import lexicon_of
from core.answers.tokens import distance

ENGLISH = lexicon_of("en")


@pytest.mark.parametrize(
    ("one", "two", "slips"),
    [
        ("kitten", "sitting", 3),  # the textbook example of edit distance; from memory
        ("ca", "abc", 3),  # optimal string alignment, where the unrestricted distance is 2 (Boytsov 2011); from memory
        ("pian", "pain", 1),
        ("", "pain", 4),
    ],
)
def test_distance_agrees_with_worked_examples(one: str, two: str, slips: int) -> None:
    assert distance(one, two) == distance(two, one) == slips


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("pian", ("pain",)),
        ("tinglng", ("tingling",)),
        ("suicidle", ("suicide",)),
        ("parcetomol", ("paracetamol",)),
        ("allll", ("all",)),
        ("didall", ("did", "all")),
        ("chestpain", ("chest", "pain")),
    ],
)
def test_a_slip_is_read_as_the_word_meant(typed: str, meant: tuple[str, ...]) -> None:
    assert ENGLISH.speller.correct(typed) == meant


@pytest.mark.parametrize(
    "word", "main rain paid nice fight holes sound looked kissed brother visiting fain".split()
)
def test_a_real_word_is_left_alone(word: str) -> None:
    assert ENGLISH.speller.correct(word) == (word,)


@pytest.mark.parametrize("word", ["fait", "passe", "wollen", "sollen", "hart", "numa", "suicidio", "vallen", "vingers"])
def test_a_word_of_another_language_is_never_made_a_sign(word: str) -> None:
    """ "fait" became "faint", so that French evenings were emergencies."""
    assert ENGLISH.speller.correct(word) == (word,)
