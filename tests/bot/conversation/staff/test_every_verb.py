"""Every command and every button, by every kind of person, in every state of a patient: one clear answer, no crash.

Drawn at random from a fixed seed, beside the full table of verbs and roles.
"""

import random

import pytest

from bot.conversation.staff.acts import VERBS
from bot.conversation.staff.router import COMMANDS, OF_A_PATIENT, TAPS
from bot.ports import Came
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk, days, whole

pytestmark = pytest.mark.long

MOST_REPLIES = 3  # an invitation, with what to do with it and the sheet
ABOUT_ONE = sorted({*VERBS, *TAPS, *OF_A_PATIENT} - {"i", "j", "t", "a", "h", "zone", "end", "gone"})
TYPED = ("4", "yes", "no", "10 days", "20:00", "55", "because of the new job", "monday 8:00", "Lisbon", "Cellist", "\n")
ARGS = ("", "3", "1900", "id-1", "2026-03-20", "staff-ben", "patient", "monday")


def roles(clinic: Clinics) -> dict[str, Patient]:
    """One chat of each kind; the patient of the tests is Ben's."""
    found: dict[str, Patient] = {
        "lead": Desk(clinic, "anna", lead=True),
        "therapist": Desk(clinic, "ben"),
        "colleague": Desk(clinic, "cleo"),
        "only lead": Desk(clinic, "edda", lead=True, therapist=False),
        "unconfirmed": Desk(clinic, "dora", confirmed=False),
    }
    found["another patient"] = found["colleague"].has_many("Bricklayer")[0]  # type: ignore[attr-defined]
    return found


def in_state(clinic: Clinics, ben: Desk, state: str) -> Patient:
    """Ben's patient as far as the state says."""
    if state == "unconfirmed":
        patient = Patient(clinic, "drummer")
        patient.sends("start", ben.code("Drummer"))
        return patient
    if state in ("enrolling", "screened out"):
        patient = in_state(clinic, ben, "unconfirmed")
        ben.tap_about("c", patient)
        for answer in ("yes", "yes") if state == "screened out" else ():
            patient.types(answer)
        return patient
    patient = ben.has_many("Pastry cook")[0]
    if state == "not begun":
        return patient
    days(clinic, {patient: ["4, all", "4, all"]})
    if state == "stopped":
        patient.types("my hand has gone numb")
    elif state in ("away", "left"):
        patient.sends({"away": "pause", "left": "stop"}[state])
    elif state in ("paused", "discharged"):
        ben.tap_about({"paused": "z", "discharged": "k"}[state], patient)
        ben.types("agreed")
        ben.says_yes()
    return patient


OUTSIDE = ("another patient", "unconfirmed", "colleague")
STATES = ("unconfirmed", "enrolling", "screened out", "not begun", "begun", "stopped", "away", "left", "paused",
          "discharged")  # fmt: skip


def check_answered(clinic: Clinics, who: Patient, came: Came, **fields: str) -> None:
    """One to three messages come back to them, each with buttons that fit."""
    queued = clinic.answers(who.address, [{"came": came} | fields], keep=True)
    own = [clinic.worded(each) for each in queued if each.address == who.address]
    assert 1 <= len(own) <= MOST_REPLIES, [each.kind for each in queued]
    for shown in own:
        assert shown.text.strip()
        assert len(shown.text) <= 1500
        assert all(len(button.data.encode()) <= 64 for row in shown.buttons for button in row)


@pytest.mark.parametrize("state", STATES)
def test_every_button_about_a_patient_is_answered_whoever_taps_it(clinic: Clinics, state: str):
    people = roles(clinic)
    ben = people["therapist"]
    assert isinstance(ben, Desk)
    about = in_state(clinic, ben, state).person().id
    # who may: whatever they choose first, a question or a refusal, alters nothing yet; newcomers are settled at once
    for role in (*OUTSIDE, "lead", "therapist", "only lead"):
        before = whole(clinic)
        for verb in ABOUT_ONE if role in OUTSIDE else sorted({*ABOUT_ONE} - {"c", "s"}):
            check_answered(clinic, people[role], Came.TAP, data=f"1.t.{verb}.{about}")
        assert whole(clinic) == before, role


def test_every_command_is_answered_whoever_sends_it(clinic: Clinics):
    people = roles(clinic)
    ben = people["therapist"]
    assert isinstance(ben, Desk)
    in_state(clinic, ben, "begun")
    for command in sorted({*COMMANDS} - {"digest"}):  # it has tests of its own
        for one in people.values():
            for rest in ("", "Cellist", "x" * 10_000):
                check_answered(clinic, one, Came.COMMAND, command=command, text=rest)


@pytest.mark.parametrize("seed", range(6))
def test_whatever_staff_tap_and_type_in_whatever_order_they_are_answered(clinic: Clinics, seed: int):
    dice = random.Random(seed)
    people = roles(clinic)
    ben = people["therapist"]
    assert isinstance(ben, Desk)
    patients = [in_state(clinic, ben, dice.choice(STATES[3:]))]
    patients.append(ben.has_many("Upholsterer")[0])
    ids = [patient.person().id for patient in patients]
    mine = people["another patient"].person().id
    for _ in range(90):
        one = people[dice.choice(("lead", "therapist", "therapist", "colleague"))]
        sent = len(clinic.delivered)
        deed = dice.random()
        if deed < 0.25:
            one.sends(dice.choice(sorted({*COMMANDS} - {"digest"})), dice.choice(("", "Cellist", "8")))
        elif deed < 0.5 and (buttons := [b.data for shown in one.read()[-2:] for row in shown.buttons for b in row]):
            one.taps(dice.choice(buttons))
        elif deed < 0.8:
            verb = dice.choice(sorted({*TAPS, *OF_A_PATIENT, *VERBS} - {"s", "gone"}))
            arg = dice.choice(ARGS)
            one.taps(f"1.t.{verb}.{dice.choice([*ids, mine])}" + (f".{arg}" if arg else ""))
        else:
            one.types(dice.choice(TYPED))
        own = [message.kind for _, message, _ in clinic.delivered[sent:] if message.address == one.address]
        assert 1 <= len(own) <= MOST_REPLIES, own
        assert "chat.broken" not in own
