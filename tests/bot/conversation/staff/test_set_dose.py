"""What a therapist types to set the dose of one person."""

import pytest

from bot.conversation.staff.course_acts import amounts_in, amounts_typed
from bot.wording.catalogue import text_in
from core.rule.dose import Amounts


def words(name: str) -> frozenset[str]:
    return text_in("en").words(f"words.amount.{name}")


@pytest.mark.parametrize(
    ("typed", "amounts"),
    [
        ("1.5 kg", Amounts(1500)),
        ("1,25kg", Amounts(1250)),
        ("2 sets", Amounts(sets=2)),
        ("1.5 kg, 2 sets, 10 reps, pain 3", Amounts(1500, 2, 10, 3.0)),
        ("pain at most 2 and 8 repetitions", Amounts(reps=8, pain_at_most=2.0)),
        ("l750", Amounts(750)),
        ("programme", Amounts()),
    ],
)
def test_amounts_are_read_in_any_order(typed: str, amounts: Amounts):
    read = amounts_typed(typed, words)
    assert read
    assert amounts_in(read) == amounts


@pytest.mark.parametrize("typed", ["", "a bit more", "1.5", "2 sets on Monday", "kg", "100 sets please"])
def test_what_is_not_read_as_a_whole_is_asked_again(typed: str):
    assert amounts_typed(typed, words) == ""
