"""Of the words that were not read the therapist sees what may matter; chatter stays in the record.

The lines are invented and labelled by hand from the project's rules: common practice, no source. The ear has learnt
from the same lines, so that the shares flatter it; what matters is that one cannot rise at the cost of the other.
"""

from core.answers import mattering, understand
from core.answers.ear import HEARS
from tests.training.texts import LISTS, _rows

GRAVE = {flag.value for flag in HEARS}


def evenings() -> list[tuple[str, str]]:
    return [row for file in sorted(LISTS.glob("evenings_*.tsv")) for row in _rows(file)]


def test_of_ordinary_chatter_little_is_shown() -> None:
    chatter = [words for label, words in evenings() if not label]
    shown = [words for words in chatter if mattering(understand(words).unread, "en")]

    assert len(chatter) > 500
    assert len(shown) / len(chatter) <= 0.17  # 0.92 before; 0.15 as measured


def test_a_sign_that_was_not_read_is_shown() -> None:
    signs = [words for label, words in evenings() if label in GRAVE]
    shown = [words for words in signs if mattering(words, "en")]

    assert len(signs) > 200
    assert len(shown) / len(signs) >= 0.95


def test_what_is_shown_is_whole_lines_in_their_order() -> None:
    kept = "planted garlic\nwore the old splint\nabba on the wireless\nmon bras est tout engourdi"

    assert mattering(kept, "en") == "wore the old splint\nmon bras est tout engourdi"
    assert mattering("", "en") == ""
