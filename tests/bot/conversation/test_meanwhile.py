"""Coming back after silence or a break: one question, and what is answered counts as told."""

import pytest

from core.model import Meanwhile
from tests.bot.conversation.chat import Clinics, Patient


def silent_for(patient: Patient, days: int) -> None:
    """Answer the first evening, then be silent, and live to the question after that."""
    patient.clinic.live_to(0, "19:05")
    patient.types("4, did all")
    patient.clinic.live_to(days + 1, "19:05")


def told(patient: Patient, days: range) -> set[Meanwhile | None]:
    return {patient.check_in(day).meanwhile for day in days if patient.check_in(day).sets_asked}


def test_an_evening_or_two_without_an_answer_bring_no_question(patient: Patient):
    silent_for(patient, 2)
    assert patient.types("4, did all") == ["evening.outcome"]


@pytest.mark.parametrize(
    ("label", "value"), [("Most of them", "most"), ("Some of them", "some"), ("None of them", "none")]
)
def test_after_silence_one_question_is_asked_and_its_answer_kept_with_the_evenings(patient: Patient, label, value):
    silent_for(patient, 5)
    assert patient.types("4, did all") == ["evening.outcome", "meanwhile.ask"]
    assert patient.taps_label(label)[0] == f"meanwhile.{value}"
    assert told(patient, range(1, 6)) == {Meanwhile(value)}
    patient.clinic.live_to(7, "19:05")
    assert patient.types("4, did all") == ["evening.outcome"]


@pytest.mark.parametrize("line", ["most", "Most of them", "yes"])
def test_it_is_answered_in_words_too(patient: Patient, line: str):
    silent_for(patient, 5)
    patient.types("4, did all")
    assert patient.types(line)[0] == "meanwhile.most"
    assert told(patient, range(1, 6)) == {Meanwhile.MOST}


def test_it_may_be_passed_over(patient: Patient):
    silent_for(patient, 5)
    patient.types("4, did all")
    assert "change.same" in patient.types("4, did all")
    assert told(patient, range(1, 6)) == {None}


def test_a_step_back_for_a_gap_that_was_none_is_taken_back(patient: Patient):
    with_gap = patient.course().episode.step
    silent_for(patient, 12)
    assert patient.course().episode.step < with_gap
    assert "without word of sets" in "".join(each.text for each in patient.read())
    patient.types("4, did all")
    assert patient.taps_label("Most of them") == ["meanwhile.most", "today"]
    assert patient.course().episode.step == with_gap
    assert patient.course().episode.idle_days == 0


def test_none_leaves_the_step_back_where_it_is(patient: Patient):
    silent_for(patient, 12)
    patient.types("4, did all")
    back = patient.course().episode.step
    assert patient.taps_label("None of them") == ["meanwhile.none"]
    assert patient.course().episode.step == back


def test_after_a_break_it_is_asked_with_the_dose_and_undoes_the_gap(patient: Patient):
    patient.clinic.live_to(0, "19:05")
    patient.types("4, did all")
    step = patient.course().episode.step
    patient.sends("pause")
    patient.types("14")
    patient.clinic.live_to(14, "12:00")
    kinds = [message.kind for _, message, _ in patient.clinic.delivered]
    assert kinds[-2:] == ["away.back", "meanwhile.ask"]
    assert patient.course().episode.step < step
    patient.clinic.live_to(14, "19:05")  # tonight's question came after it
    data = next(
        button.data
        for shown in reversed(patient.read())
        for row in shown.buttons
        for button in row
        if button.label == "Most of them"
    )
    assert patient.taps(data)[0] == "meanwhile.most"
    assert patient.course().episode.step == step


def test_a_button_of_long_ago_changes_nothing(patient: Patient, clinic: Clinics):
    silent_for(patient, 5)
    patient.types("4, did all")
    data = patient.buttons()["Most of them"]
    for day in range(7, 16):
        clinic.live_to(day, "19:05")
        patient.types("4, did all")
    assert patient.taps(data) == ["button.old"]
