"""My progress: what can be told from noise, what comes next, and nothing that the evidence does not carry."""

import re

from bot.drawn.course import ProgressFacts
from bot.messaging.rendering import read
from tests.bot.conversation.chat import Clinics, Patient

BLAME = re.compile(r"streak|score|in a row|missed|failed|only \d+ of|well done|great|keep it up", re.IGNORECASE)
WORKS = re.compile(r"because (of|you)|thanks to|it works|healed", re.IGNORECASE)


def lived(clinic: Clinics, patient: Patient, days: range, line: str) -> None:
    for day in days:
        clinic.live_to(day, "19:05")
        patient.types(line)


def test_a_fall_is_told_by_the_published_numbers_and_claims_no_cause(clinic: Clinics, patient: Patient):
    lived(clinic, patient, range(7), "6, did all")
    lived(clinic, patient, range(7, 14), "5, did all")
    patient.sends("progress")
    assert "5. In your first week it was 6." in patient.last()
    assert "too close to tell apart" in patient.last()
    assert "less than 1.4 may be chance" in patient.last()

    lived(clinic, patient, range(14, 21), "4, did all")
    patient.sends("progress")
    assert "come down by 2. That is more than chance" in patient.last()
    assert "mostly eases with time" in patient.last()

    lived(clinic, patient, range(21, 28), "3, did all")
    patient.sends("progress")
    assert "come down by 3. A fall of 2.3 or more matters to most people." in patient.last()
    assert "The 2.3 is from a study: Physiother Theory Pract 2025" in patient.last()
    for words in (each.text for each in patient.read()):
        assert not WORKS.search(words)
    assert not BLAME.search(patient.last())


def test_what_comes_next_is_of_made_up_people_and_said_so(clinic: Clinics, patient: Patient):
    lived(clinic, patient, range(3), "4, did all")
    patient.sends("progress")
    assert "Next comes step 3: long holds." in patient.last()
    assert "only on made-up people in a computer, not on real ones. Half of them took 19 days" in patient.last()
    patient.types("my hand is numb and weak")
    patient.sends("progress")
    assert "Next comes" not in patient.last(), "nothing is promised to who is stopped"


def test_the_picture_has_the_first_week_and_the_weight_as_they_were(clinic: Clinics, patient: Patient):
    lived(clinic, patient, range(30), "3, did all")
    patient.sends("progress")
    assert "Your weight is" in patient.last()
    (message,) = [each for _, each, _ in clinic.delivered[-1:]]
    drawn = read(ProgressFacts, message.words.to_draw)
    assert (drawn.first, drawn.apart) == (3.0, 1.4)
    assert drawn.loads
    assert f"Your weight is {drawn.loads[-1][1] / 1000:g} kg" in patient.last()
