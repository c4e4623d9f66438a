"""Ordinary questions are answered at once; only what asks for a person reaches the therapist."""

from tests.bot.conversation.chat import Clinics, Patient


def test_a_question_is_answered_from_the_programme_and_nobody_is_told(clinic: Clinics, patient: Patient) -> None:
    kinds = patient.types("should i wear a brace?")

    assert kinds[0] == "question.answer"
    assert any("strap just below the elbow" in each.text for each in patient.read())
    assert clinic.notices() == []


def test_the_button_passes_the_very_question_on(clinic: Clinics, patient: Patient) -> None:
    patient.types("should i wear a brace?")

    assert patient.taps("1.m.ask") == ["question.passed_on"]
    assert clinic.notices() == ["clinical_question"]
    assert patient.taps("1.m.ask") == ["question.write"]
    assert patient.types("my strap is too tight") == ["problem.noted"]


def test_numbers_beside_a_question_still_count(clinic: Clinics, patient: Patient) -> None:
    clinic.live_to(0, "19:01")
    kinds = patient.types("4, did all. should i wear a brace?")

    assert kinds[0] == "question.answer"
    assert "evening.outcome" in kinds
    assert patient.check_in(0).pain == 4
    assert clinic.notices() == []


def test_medicine_goes_to_a_person(clinic: Clinics, patient: Patient) -> None:
    assert "question.passed_on" in patient.types("can i take ibuprofen before the sets?")
    assert clinic.notices()


def test_every_question_and_screen_can_be_tapped(patient: Patient) -> None:
    assert patient.sends("questions") == ["questions"]
    buttons = {label: data for label, data in patient.buttons().items() if data.startswith("1.q.")}
    assert len(buttons) >= 10
    for data in buttons.values():
        assert patient.taps(data) == ["question.answer"]
    assert patient.taps("1.q.nonsense") == ["button.old"]

    assert patient.sends("learn") == ["learn"]
    first = patient.last()
    assert "outer side of your elbow" in first
    seen = [first]
    while "Next" in patient.buttons():
        assert patient.taps_label("Next") == ["learn"]
        seen.append(patient.last())
    assert len(seen) == 3
    assert "much of this heals by itself" in seen[-1]


def test_after_an_answer_to_a_question_nobody_is_told_that_no_number_was_found(clinic: Clinics, patient: Patient):
    clinic.live_to(0, "19:05")
    assert patient.types("which hand") == ["question.answer", "evening.again"]
    assert "did not find a number" not in patient.last()
    patient.types("hello there")
    assert "did not find a number" in patient.last()
