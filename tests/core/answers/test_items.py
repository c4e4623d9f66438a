"""Words that nothing was read from are kept; what was read is not."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.answers import understand
from tests.core.answers.tables import cases, kept_words
from tests.core.answers.test_understand import TEXTS


@pytest.mark.parametrize(("wanted", "text"), kept_words())
def test_the_words_kept_are_those_that_nothing_was_read_from(wanted: str, text: str) -> None:
    assert understand(text).unread == wanted


@given(TEXTS, TEXTS)
def test_a_word_that_means_nothing_here_is_kept_wherever_it_stands(before: str, after: str) -> None:
    found = understand(f"{before}. zzyzxa . {after}")

    assert "zzyzxa" in found.unread


WORDS = "the cat was sick blue paint 7 4 all done knee . , 2kg yesterday".split()


@given(st.lists(st.sampled_from(WORDS), max_size=20))
def test_what_is_kept_stands_in_the_text_in_that_order(words: list[str]) -> None:
    left = " ".join(words)
    for word in re.findall(r"[a-z0-9]+", understand(left).unread):
        assert word in left
        left = left.split(word, 1)[1]


def test_plain_answers_leave_nothing_unread() -> None:
    """Lines of digits and answer words only, of the oldest corpus; the share may fall, never rise."""
    plain = [case for case in cases("corpus_dev") if len(case.text.split()) <= 4 and case.wanted[:2] > ("", "")]
    kept = [case.text for case in plain if understand(case.text, "en", case.question, case.prescribed).unread]

    assert len(plain) > 150
    assert len(kept) <= 0.05 * len(plain), kept
