"""Voice messages, pictures and files: an honest answer, and to the therapist only if the person wants it."""

import pytest

from bot.ports import Came
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk

KINDS = {"voice": "listen", "photo": "look at pictures", "video": "watch", "file": "open files"}


@pytest.mark.parametrize("file", KINDS)
def test_what_cannot_be_read_is_said_so_with_the_emergency_sentence_and_passed_on_if_wanted(
    clinic: Clinics, file: str
):
    desk = Desk(clinic, "ben")
    (patient,) = desk.has_many("Cellist")
    before, known = len(desk.read()), len(clinic.notices())
    assert [kind for kind, _ in patient.does(Came.OTHER, file=file, message_id="77")] == ["file"]
    assert KINDS[file] in patient.last()
    assert "Call 112" in patient.last()
    assert (len(desk.read()), len(clinic.notices())) == (before, known), "nothing goes on by itself"

    assert patient.taps_label("Pass it on") == ["file.passed"]
    line, copied = next((shown.text, shown.copied) for shown in desk.read()[before:] if shown.copied)
    assert "Cellist" in line
    assert "09:00" in line
    assert copied == (patient.address, "77")
    assert any("(sent " in shown.text for shown in desk.read()[before:])

    told = len(desk.read())
    assert patient.taps_label("Pass it on") == ["file.passed"]
    assert len(desk.read()) == told, "once is enough"


def test_words_under_a_picture_are_read_first_and_the_picture_is_not_hushed_up(clinic: Clinics, patient: Patient):
    clinic.live_to(0, "19:05")
    assert patient.types("4, did all", file="photo") == ["evening.outcome", "file"]
    assert patient.check_in(0).pain == 4
    assert patient.types("my hand is numb and weak", file="photo")[0] == "danger"


def test_nothing_is_offered_where_nobody_would_get_it_nor_passed_on_for_who_is_no_patient(clinic: Clinics):
    alone = Patient(clinic).enrols()
    assert [kind for kind, _ in alone.does(Came.OTHER, file="voice", message_id="5")] == ["file"]
    assert not alone.read()[-1].buttons
    assert "Pass" not in alone.last()

    desk = Desk(clinic, "ben")
    stranger = Patient(clinic, "nobody")
    before = len(desk.read())
    assert [kind for kind, _ in stranger.does(Came.OTHER, file="voice", message_id="5")] == ["stranger.way_in"]
    stranger.taps("1.x.voice.5.1772442000")
    assert len(desk.read()) == before
    (patient,) = desk.has_many("Cellist")
    desk.taps(f"1.t.k.{patient.person().id}")
    desk.types("done")
    desk.taps(next(data for data in desk.buttons().values() if data.startswith("1.t.y.")))
    patient.does(Came.OTHER, file="voice", message_id="9")
    assert "Pass it on" not in [button.label for row in patient.read()[-1].buttons for button in row]
    assert patient.taps("1.x.voice.9.1772442000") == ["button.old"]
    assert not any(shown.copied for shown in desk.read())


@pytest.mark.parametrize("data", ["", "voice", "voice.x.1", "gif.1.1", "voice.1.", "voice.1.99999999999"])
def test_a_button_that_is_none_of_ours_passes_nothing_on(clinic: Clinics, data: str):
    desk = Desk(clinic, "ben")
    (patient,) = desk.has_many("Cellist")
    assert patient.taps(f"1.x.{data}") == ["button.old"]
    assert not any(shown.copied for shown in desk.read())
