"""What was told in full once is told shorter after that; what matters for safety stays in it."""

import pytest

from tests.bot.conversation.chat import Clinics, Patient


def lines(patient: Patient) -> list[str]:
    return patient.last().split("\n\n")


def evening(patient: Patient, day: int, line: str = "4, did all") -> str:
    patient.clinic.live_to(day, "19:05")
    patient.types(line)
    return lines(patient)[-1]


def test_a_reason_that_repeats_is_said_shorter_and_differently(patient: Patient):
    first, second, third = (evening(patient, day) for day in range(3))
    assert first.startswith("Stay here for now")
    assert not second.startswith("Stay here for now")
    assert len(second) < len(first)
    assert "2" in second  # the number that has changed is still there
    assert "3" in third


def test_a_new_reason_is_said_in_full(patient: Patient):
    evening(patient, 0)
    evening(patient, 1)
    assert "7 is above 5" in evening(patient, 2, "7, did all")


@pytest.mark.parametrize("sent", ["/today", "hello"])
def test_a_stop_is_told_in_full_once_then_in_a_line(clinic: Clinics, patient: Patient, sent: str):
    patient.clinic.live_to(0, "19:05")
    patient.types("my hand has gone numb and cold")
    assert len(lines(patient)) > 1
    kinds = patient.sends(sent[1:]) if sent.startswith("/") else patient.types(sent)
    assert kinds == ["danger.still"]
    assert len(lines(patient)) == 1
    assert "do not wait" in patient.last()
    assert "112" in patient.last()  # the clinic's own emergency sentence
