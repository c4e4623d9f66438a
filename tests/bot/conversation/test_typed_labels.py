"""A typed label works as its button: of the last three messages, and after a mistyped line too."""

import pytest

from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk, days


@pytest.fixture
def desk(clinic: Clinics) -> Desk:
    return Desk(clinic, "anna", lead=True)


def test_a_label_of_an_earlier_message_works_typed(patient: Patient):
    patient.clinic.live_to(0, "19:05")
    assert patient.types("4, did all") == ["evening.outcome"]  # Why, How and Change stand under it
    assert patient.types("thanks") == ["chat.thanks"]
    assert patient.types("how to do it.") == patient.sends("how")
    assert patient.types("change my answer") == ["change.ask"]


def test_a_number_stays_an_answer(patient: Patient):
    patient.clinic.live_to(0, "19:05")
    patient.types("4")
    patient.types("2")
    assert (patient.check_in(0).pain, patient.check_in(0).sets_done) == (4, 2)


def test_while_a_question_is_open_an_older_label_is_no_button(patient: Patient):
    patient.clinic.live_to(0, "19:05")
    patient.types("4, did all")
    patient.sends("pause")
    assert patient.types("how to do it.") == ["help"]  # read as a wish, as ever


def test_a_button_of_four_messages_ago_is_not_looked_for(patient: Patient):
    patient.clinic.live_to(0, "19:05")
    patient.types("4, did all")
    for _ in range(3):
        patient.types("thanks")
    assert patient.types("how to do it") != ["how"]


def test_the_number_of_a_line_opens_that_person(clinic: Clinics, desk: Desk):
    desk.has_many("Pastry cook", "Bricklayer", "Cellist")
    desk.sends("caseload")
    line = next(line for line in desk.last().split("\n") if line.startswith("2. "))
    assert desk.types("2") == ["therapist.person"]
    assert line.split()[1].rstrip(":") in desk.last()


def test_the_number_of_a_line_of_the_digest_opens_that_person_too(clinic: Clinics, desk: Desk):
    """Its words are made when it is drawn, and stand in its row from then on."""
    patients = desk.has_many("Pastry cook", "Bricklayer")
    days(clinic, {patient: ["8, none"] * 7 for patient in patients})
    desk.sends("digest", "1")
    line = next(line for line in desk.read()[-3].text.split("\n") if line.startswith("2. "))
    assert desk.types("2") == ["therapist.person"]
    assert line.split()[1].strip(",:") in desk.last()


def test_after_a_mistyped_line_the_buttons_still_work_typed(clinic: Clinics, desk: Desk):
    desk.has_many("Pastry cook", "Bricklayer")
    desk.sends("caseload")
    assert desk.types("Paastry") == ["therapist.not_found"]
    assert desk.types("1. bricklayer") == ["therapist.person"]
    assert desk.types("Bricklayr") == ["therapist.not_found"]
    assert desk.types("WHY") == ["therapist.decisions"]


def test_a_number_beyond_the_list_is_looked_for_as_a_name(clinic: Clinics, desk: Desk):
    desk.has_many("Pastry cook")
    desk.sends("caseload")
    assert desk.types("7") == ["therapist.not_found"]
