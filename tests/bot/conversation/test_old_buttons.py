"""Every button ever shown, tapped again later and by somebody else: nothing about anybody changes."""

import pytest

from bot.ports import Rendered
from core.records import Status
from tests.bot.conversation.chat import Clinics, Patient

pytestmark = pytest.mark.long

COMMANDS_THAT_WRITE = (
    "1.m.change", "1.m.pause", "1.m.evening", "1.m.nudges", "1.m.zone", "1.m.problem", "1.m.erase", "1.m.resume",
    "1.m.set", "1.o.add",
)  # fmt: skip


def shown_buttons(messages: list[Rendered]) -> list[str]:
    return [button.data for shown in messages for row in shown.buttons for button in row]


def a_long_talk(clinic: Clinics) -> Patient:
    """Somebody who has seen every kind of button there is."""
    patient = Patient(clinic).enrols(
        "yes", "yes", "no", "no", "no", "not sure", "yes", "right", "4", "Berlinn", "Berlin", "18:00",
    )  # fmt: skip
    clinic.live_to(0, "18:05")
    for text in ("3", "all", "5", "yes"):
        patient.types(text)
    for command in ("help", "how", "why", "progress", "change", "evening", "zone", "privacy", "erase", "pause"):
        patient.sends(command)
    patient.types("2 days")
    clinic.live_to(3, "18:05")
    patient.types("9, did all")
    patient.types("no")
    clinic.live_to(5, "10:00")
    patient.types("4, did all, but my grip is weak")
    patient.types("because it hurts")
    patient.types("today")
    patient.sends("zone")
    patient.types("Lisbo")
    clinic.live_to(6, "20:30")
    return patient


def test_old_buttons_and_those_of_others_change_nothing(clinic: Clinics):
    patient = a_long_talk(clinic)
    other = Patient(clinic, "bricklayer").enrols()
    assert other.person().status == Status.ACTIVE
    tonight = patient.check_in(6)
    data = [each for each in dict.fromkeys(shown_buttons(patient.read())) if each not in COMMANDS_THAT_WRITE]
    assert {each.split(".")[1] for each in data} == {"f", "m", "p", "s", "c", "r", "y", "n", "w", "l", "o"}
    patient.sends("help")  # nothing is being asked beside the evening's own question
    state = clinic.snapshot()
    for each in data:
        said = other.taps(each)
        assert said, each
        assert len([kind for kind in said if kind != "how.look"]) <= 2, each  # a picture for each exercise
        assert clinic.snapshot() == state, each
    for each in data:
        late_sign = each.startswith("1.r.") and not each.endswith(".no")  # danger is heard however late
        if tonight.id in each or each.startswith("1.f.zone.") or late_sign:
            continue  # these are live
        said = patient.taps(each)
        assert said, each
        assert len([kind for kind in said if kind != "how.look"]) <= 2, each
        assert clinic.snapshot() == state, each


def test_a_late_yes_to_the_red_flags_stops_the_programme(clinic: Clinics):
    patient = a_long_talk(clinic)
    late = next(each for each in shown_buttons(patient.read()) if each.startswith("1.r.") and each.endswith(".yes"))

    patient.taps(late)

    assert "I have stopped your programme." in patient.last()
