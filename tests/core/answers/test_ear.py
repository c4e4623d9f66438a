"""The learned ear: its data fit its reader, numbers are no cue to it, and two ears weigh as they should."""

import time

import pytest

from core.answers import understand
from core.answers.danger import Danger
from core.answers.ear import (
    HEARS,
    PLACES,
    Ear,
    Heard,
    Verdict,
    _heard_at_once,
    load,
    pack,
    places_of,
    stretches,
    unpack,
    weigh,
)
from core.model import Flag
from core.understanding import Urgency
from tests.training.texts import NOTHING, texts

LARGEST = 350_000  # bytes of data a language


@pytest.fixture
def ear() -> Ear:
    english = load("en")
    assert english is not None
    return english


def test_the_data_that_ship_are_whole_and_written_as_they_are_read(ear: Ear) -> None:
    assert [len(row) for row in ear.weights] == [PLACES] * (len(HEARS) + 1)
    assert 0 < ear.agree < ear.maybe < ear.sure < 1
    assert unpack(pack(ear), ear.unheard) == ear
    assert len(pack(ear)) < LARGEST
    assert load("xx") is None


@pytest.mark.parametrize("spoilt", [b"", b"1 2 3\nrubbish", b"one\n", b"\n"])
def test_data_of_another_shape_are_refused(spoilt: bytes) -> None:
    with pytest.raises(ValueError, match="train it anew"):
        unpack(spoilt)


def test_it_has_learnt_its_texts(ear: Ear) -> None:
    """In sample: that the data are those of these texts, not how well it hears."""
    known = texts()
    loud = {text.words: ear.hear(text.words).danger >= ear.maybe for text in known}
    dangers = [text for text in known if text.label != NOTHING]
    ordinary = [text for text in known if text.ordinary]

    assert sum(loud[text.words] for text in dangers) > 0.95 * len(dangers)
    assert sum(loud[text.words] for text in ordinary) < 0.01 * len(ordinary)


@pytest.mark.parametrize("number", ["4, all", "ten out of ten, 0 sets", "9 and 4 sets", "7/10 3x15 2kg"])
def test_numbers_and_the_words_of_answers_are_no_cue(ear: Ear, number: str) -> None:
    assert ear.hear(number).danger < ear.agree
    assert list(stretches("4 sets of 15, all", ear.unheard)) == [[]]


def test_nothing_to_hear_is_nothing(ear: Ear) -> None:
    assert ear.hear("").danger == ear.hear("4").danger == 0.0
    assert places_of([]) == set()


def test_each_half_of_a_stretch_is_looked_up_once_and_nothing_is_heard_otherwise():
    for count in (0, 1, 19, 20, 21, 39, 41, 63, 200):
        text = " ".join("abcdefghijklm"[number % 13] * (1 + number % 5) for number in range(count))
        assert list(_heard_at_once(text, {"a"})) == [places_of(words) for words in stretches(text, {"a"})]


def test_danger_deep_in_a_long_text_is_heard(ear: Ear) -> None:
    chat = "we went to the market and bought apples and talked to everybody about the weather for a long while "

    assert ear.hear(chat * 6 + "now there is crushing pain in my chest going down the arm " + chat * 6).danger > 0.5


class Hears(Ear):
    """An ear that hears what it is told to."""

    def __init__(self, flag: Flag, danger: float) -> None:
        super().__init__((), (), maybe=0.6, sure=0.9, agree=0.2)
        object.__setattr__(self, "told", Heard(flag, danger))

    def hear(self, text: str) -> Heard:
        told: Heard = object.__getattribute__(self, "told")
        return told


def ruled(flag: Flag | None, urgency: Urgency | None = None, *, complaint: bool = False) -> Danger:
    return Danger(flag, frozenset(), frozenset(), urgency, complaint=complaint)


@pytest.mark.parametrize(
    ("rules", "heard", "wanted"),
    [
        (ruled(None), (Flag.URGENT, 0.1), Verdict(None)),
        (ruled(None), (Flag.URGENT, 0.7), Verdict(None, Flag.URGENT)),
        (ruled(None), (Flag.URGENT, 0.95), Verdict(Flag.URGENT, None, Urgency.NOW)),
        (ruled(None), (Flag.RED_FLAG, 0.95), Verdict(Flag.RED_FLAG, None, Urgency.TODAY)),
        (ruled(Flag.RED_FLAG, Urgency.SOON), (Flag.RED_FLAG, 0.1), Verdict(None, Flag.RED_FLAG, Urgency.SOON)),
        (ruled(Flag.RED_FLAG, Urgency.SOON), (Flag.RED_FLAG, 0.3), Verdict(Flag.RED_FLAG, None, Urgency.SOON)),
        (ruled(Flag.RED_FLAG, Urgency.SOON), (Flag.URGENT, 0.7), Verdict(Flag.RED_FLAG, None, Urgency.SOON)),
        (ruled(Flag.RED_FLAG, Urgency.SOON), (Flag.URGENT, 0.95), Verdict(Flag.URGENT, None, Urgency.NOW)),
        (ruled(Flag.DISTRESS, Urgency.NOW), (Flag.RED_FLAG, 0.7), Verdict(Flag.DISTRESS, None, Urgency.NOW)),
        (ruled(None, complaint=True), (Flag.RED_FLAG, 0.7), Verdict(None, complaint=True)),
        (ruled(None, complaint=True), (Flag.URGENT, 0.7), Verdict(None, Flag.URGENT)),
        (ruled(Flag.CLINICAL_QUESTION), (Flag.RED_FLAG, 0.7), Verdict(Flag.CLINICAL_QUESTION, Flag.RED_FLAG)),
        (ruled(Flag.INJECTION), (Flag.RED_FLAG, 0.1), Verdict(Flag.INJECTION)),
    ],
)
def test_two_ears_stop_together_or_when_sure_and_ask_alone(
    rules: Danger, heard: tuple[Flag, float], wanted: Verdict
) -> None:
    assert weigh(rules, Hears(*heard), "") == wanted


def test_without_an_ear_the_rules_speak_alone() -> None:
    assert weigh(ruled(Flag.RED_FLAG, Urgency.SOON), None, "") == Verdict(Flag.RED_FLAG, None, Urgency.SOON)


def test_hearing_takes_well_under_a_millisecond(ear: Ear) -> None:
    text = "4, did all of them, great day at work, the fingers were fine and so was the elbow"
    ear.hear(text)
    began = time.process_time()
    for _ in range(200):
        ear.hear(text)

    assert (time.process_time() - began) / 200 < 0.0007


def test_an_answer_with_no_word_of_danger_is_read_as_before() -> None:
    found = understand("4, did all")

    assert (found.pain, found.sets, found.flag, found.maybe) == (4, 4, None, None)


@pytest.mark.parametrize(
    ("text", "stopped"),
    [
        ("i fell off my bike but my elbow is ok. 3, all sets", False),
        ("slipped on the ice today, did not hit the elbow. 3, 4 sets", False),
        ("fell down the stairs and the elbow is not ok", True),
        ("fell off my bike, elbow is ok but the hand went numb", True),
        ("fell off a ladder and landed on my elbow, 6", True),
    ],
)
def test_a_fall_that_left_the_elbow_unhurt_is_asked_about(text: str, stopped: bool) -> None:
    """Common practice, no source: after a fall a clinician asks what was hit before stopping anything."""
    found = understand(text)

    assert (found.flag, found.maybe) == ((Flag.RED_FLAG, None) if stopped else (None, Flag.RED_FLAG))
