"""What an evening's outcome says of a course as the rule really decides it: the new weight, and the look back."""

from bot.wording.messages import in_words
from core.model import Decision, Episode, Move
from core.use_cases.gathering import decision_facts
from tests.builders import a_check_in
from tests.courses import PROGRAMME, live, said


def told(before: Episode, decision: Decision) -> str:
    check_in = a_check_in(pain=3, sets_done=3, sets_asked=3, date=decision.date)
    decided = decision_facts(PROGRAMME, decision, before)
    return in_words("evening.outcome", "en", {"check_in": check_in, "decided": decided, "emergency": ""}).text


def test_a_move_up_says_the_new_weight_whenever_it_changes_and_only_then():
    """The steps of the default programme: the first weight on step 3, and half a kilo more on entering step 8."""
    moves = [(before, each) for before, each in live(320, lambda *_: said(1)) if each.move is Move.ADVANCE]
    lines = {}
    for before, decision in moves:
        weight = [line.strip() for line in told(before, decision).splitlines() if line.startswith("New")]
        lines[decision.step] = (before.load_g, decision.after.load_g, weight)

    assert sorted(lines) == [3, 4, 5, 6, 7, 8, 9]
    assert lines[3] == (0, 500, ["New: you now use a weight of 0.5 kg."])
    lighter, heavier, said_of_8 = lines[8]
    assert heavier == lighter + 500
    assert said_of_8 == [f"New weight: {heavier / 1000:g} kg. That is 0.5 kg more than before."]
    assert all(weight == [] for old, new, weight in lines.values() if old == new)
    assert sum(old != new for old, new, _ in lines.values()) == 2


def test_the_advice_after_too_little_change_says_which_look_it_is():
    """Nothing changes at a rating of 5: the therapist is told at 6 weeks, the person at 12 and at 26."""
    lived = live(200, lambda *_: said(5), start_rating=5)
    advised = [(number + 1, told(*each)) for number, each in enumerate(lived) if each[1].see_clinician]

    assert [day for day, _ in advised] == [84, 182]
    for (_, text), weeks in zip(advised, (12, 26), strict=True):
        assert f"I look back at {weeks} weeks." in text
        assert text.count("see your therapist or a doctor") == 1


def test_a_second_very_bad_day_gives_the_same_advice_without_a_look_back():
    lived = live(30, lambda day, _: said(9 if day in (20, 22) else 4))
    text = told(*lived[22])

    assert "Please see your therapist or a doctor about this soon." in text
    assert "look back" not in text
