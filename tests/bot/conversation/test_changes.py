"""An answer changed: by taps, by typing, by an edit; what it comes to is told."""


import pytest

from bot.ports import Came
from core.model import Flag
from tests.bot.conversation.chat import Clinics, Patient


def asked(patient: Patient, day: int = 0) -> str:
    """Live until the evening's question; the id of its check-in."""
    patient.clinic.live_to(day, "19:05")
    check_in = patient.check_in(day)
    assert check_in
    return check_in.id


def test_a_change_by_taps_tells_what_it_comes_to_even_when_the_sets_stay(clinic: Clinics, patient: Patient):
    asked(patient)
    patient.types("3, did all")
    patient.taps_label("Change my answer")
    assert patient.taps_label("7") == ["evening.sets"]
    assert patient.taps_label("4") == ["evening.outcome"]
    assert patient.last().startswith("Changed for")
    assert "half the sets" in patient.last()


def test_a_change_by_taps_that_changes_nothing_says_so(patient: Patient):
    asked(patient)
    patient.types("3, did all")
    patient.taps_label("Change my answer")
    patient.taps_label("3")
    assert patient.taps_label("4") == ["change.same"]


@pytest.mark.parametrize("how", ["command", "words", "correction", "confirmed", "edit"])
def test_an_answer_can_be_changed_by_typing(patient: Patient, how: str):
    asked(patient)
    patient.types("3, did all", message_id="first")
    if how == "command":
        assert patient.sends("change") == ["change.ask"]
        kinds = patient.types("6, did 2")
    elif how == "words":
        patient.taps_label("Change my answer")
        kinds = patient.types("6, did 2")
    elif how == "correction":
        kinds = patient.types("sorry, I meant 6, did 2")
    elif how == "confirmed":
        assert patient.types("6, did 2") == ["change.confirm"]
        kinds = patient.types("yes")
    else:
        kinds = [kind for kind, _ in patient.does(Came.EDIT, text="6, did 2", message_id="first")]
    assert kinds == ["evening.outcome"]
    assert (patient.check_in(0).pain, patient.check_in(0).sets_done) == (6, 2)


def test_a_second_number_is_asked_about_and_can_be_refused(patient: Patient):
    asked(patient)
    patient.types("3, did all")
    patient.types("6")
    refuse = patient.buttons()["No, keep it"]
    assert patient.taps(refuse) == ["change.kept"]
    assert patient.check_in(0).pain == 3
    assert patient.taps(refuse) == ["button.old"]


def test_edits_that_mean_nothing_are_passed_over(clinic: Clinics, patient: Patient):
    asked(patient)
    patient.types("3, did all", message_id="first")
    state = clinic.snapshot()
    assert patient.does(Came.EDIT, text="6, did 2", message_id="another") == []
    assert patient.does(Came.EDIT, text="3, did all!", message_id="first") == []
    assert clinic.snapshot() == state
    assert [kind for kind, _ in patient.does(Came.EDIT, text="hm", message_id="first")] == ["change.not_clear"]


def test_danger_is_heard_in_any_edit_and_told_once(clinic: Clinics, patient: Patient):
    asked(patient)
    patient.types("3, did all", message_id="first")
    edited = patient.does(Came.EDIT, text="3, did all, but my hand is numb", message_id="first")
    assert [kind for kind, _ in edited] == ["danger"]
    assert patient.does(Came.EDIT, text="3, did all, but my hand is numb!", message_id="first") == []
    assert clinic.notices() == ["danger"]
    other = Patient(clinic, "bricklayer").enrols()
    assert [kind for kind, _ in other.does(Came.EDIT, text="chest pain", message_id="none")] == ["danger"]
    assert other.course().episode.paused_for == Flag.URGENT


def test_a_correction_with_nothing_to_correct_is_the_answer(patient: Patient):
    asked(patient)
    assert patient.types("sorry, I meant 6, did all") == ["evening.outcome"]
    assert patient.check_in(0).pain == 6
