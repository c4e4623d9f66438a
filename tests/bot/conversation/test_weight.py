"""How was the weight: buttons and words under the outcome, and a weight that is told beside the sets."""

import datetime as dt
from dataclasses import replace

import pytest

from tests.bot.conversation.chat import Patient


@pytest.fixture
def lifter(patient: Patient) -> Patient:
    """Somebody on the first evening of the first step with a weight, half a kilo to try, after four rated ones."""
    for day in range(4):
        patient.clinic.live_to(day, "19:05")
        patient.types("3, did all")
    with patient.clinic.store.writing() as uow:
        course = uow.diary.course_of(patient.person().id)
        assert course
        since = course.episode.started + dt.timedelta(days=4)
        episode = replace(
            course.episode, step=3, load_g=500, since=since, trying_until=since + dt.timedelta(days=7), level=3.0
        )
        uow.diary.save_course(replace(course, episode=episode))
        uow.commit()
    patient.clinic.live_to(4, "19:05")
    return patient


def grams(patient: Patient) -> int:
    return patient.course().episode.load_g


@pytest.mark.parametrize(
    ("label", "typed", "load"), [("Easy", "easy", 1000), ("Right", "just right", 500), ("Too much", "too heavy", 250)]
)
@pytest.mark.parametrize("taps", [True, False])
def test_how_the_weight_was_is_tapped_or_typed_under_the_outcome(
    lifter: Patient, label: str, typed: str, load: int, taps: bool
):
    assert lifter.types("3, did all") == ["evening.outcome"]
    assert "how was the weight?" in lifter.last()
    assert (lifter.taps_label(label) if taps else lifter.types(typed)) == ["weight.noted"]
    assert grams(lifter) == load
    assert lifter.types("3, did all") == ["change.same"]  # nothing of it is open any more


def test_a_second_tap_and_a_button_of_another_evening_change_nothing(lifter: Patient):
    lifter.types("3, did all")
    easy = lifter.buttons()["Easy"]
    lifter.taps(easy)
    assert lifter.taps(easy) == ["button.old"]
    lifter.clinic.live_to(5, "19:05")
    lifter.taps(easy)
    assert grams(lifter) == 1000


def test_nobody_who_leaves_it_open_hears_of_it_again(lifter: Patient):
    lifter.types("3, did all")
    lifter.clinic.live_to(5, "19:05")
    assert lifter.types("3, did none") == ["evening.outcome"]
    assert "weight?" not in lifter.last()
    assert grams(lifter) == 500


def test_a_changed_answer_decides_the_weight_anew(lifter: Patient):
    """A bad evening is asked nothing of the weight, so that what was answered moves nothing any more; and back."""
    lifter.types("3, did all")
    lifter.taps_label("Easy")
    lifter.types("no, 7")
    lifter.types("yes")
    assert grams(lifter) == 500
    lifter.types("no, 3")
    lifter.types("yes")
    assert grams(lifter) == 1000


@pytest.mark.parametrize("lines", [("3, did all with 1.5 kg",), ("did all with 1.5 kg", "3")])
def test_a_weight_told_beside_the_sets_is_theirs(lifter: Patient, lines: tuple[str, ...]):
    for line in lines:
        said = lifter.types(line)
    assert said == ["evening.outcome", "weight.noted"]
    assert grams(lifter) == 1500
    assert "1.5 kg" in lifter.last()


@pytest.mark.parametrize("taps", [True, False])
def test_too_much_counts_also_the_day_after(lifter: Patient, taps: bool):
    """The next evening's question was out already: the button was of a closed day, and 0.1 kg came on top."""
    lifter.types("3, did all")
    late = lifter.buttons()["Too much"]
    lifter.clinic.live_to(5, "19:05")
    assert (lifter.taps(late) if taps else lifter.types("too much")) == ["weight.noted"]
    assert grams(lifter) == 250
    assert lifter.types("3, did all") == ["evening.outcome"]
    assert grams(lifter) == 250


def test_too_heavy_beside_the_sets_answers_how_the_weight_was_and_is_never_taken_for_more(lifter: Patient):
    assert lifter.types("3, did all, too heavy") == ["evening.outcome", "weight.noted"]
    assert grams(lifter) == 250
    lifter.clinic.live_to(5, "19:05")
    lifter.types("3, did all with 2 kg, it was too much")
    assert grams(lifter) <= 250


def test_a_weight_that_was_not_too_heavy_lowers_nothing(lifter: Patient):
    assert lifter.types("3, did all, it was not too heavy") == ["evening.outcome"]
    assert grams(lifter) == 500


def test_worse_on_waking_halves_the_day_and_adds_nothing_for_a_week(lifter: Patient):
    """DESIGN section 4 and EVIDENCE 17.2, the next morning: too much."""
    assert lifter.types("3, did all, it was worse this morning") == ["evening.outcome"]
    assert "Worse when you woke up" in lifter.last()
    assert "how was the weight?" not in lifter.last()
    asked = lifter.check_in(4).sets_asked
    lifter.clinic.live_to(5, "19:05")
    assert lifter.check_in(5).sets_asked == asked // 2
    for day in range(5, 11):
        lifter.clinic.live_to(day, "19:05")
        lifter.types("3, did all")
        assert grams(lifter) == 500
