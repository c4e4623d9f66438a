"""What is told beside the numbers: how soon somebody must be seen, an injection, a circumstance, a wish to stop."""

import re

import pytest

from core.model import Flag, Move
from core.records import Status
from core.understanding import Circumstance, Urgency, Wish
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.conftest import Ear
from tests.bot.conversation.staff.desk import Desk
from tests.bot.conversation.test_evening_talk import asked


@pytest.fixture
def ben(clinic: Clinics) -> Desk:
    return Desk(clinic, "ben", lead=True)


@pytest.mark.parametrize(
    ("flag", "urgency", "patient_reads", "therapist_reads"),
    [
        # elbow red flags of NHS Gloucestershire; Javed 2015: at once, on the same day, within days
        (Flag.URGENT, None, "Call 112 if your life may be in danger.", "POSSIBLE EMERGENCY"),
        (Flag.RED_FLAG, Urgency.NOW, "This may be an emergency.", "for help now"),
        (Flag.RED_FLAG, Urgency.TODAY, "a doctor look at this today", "to be seen today"),
        (Flag.RED_FLAG, Urgency.SOON, "within the next few days", "to be seen within days"),
        (Flag.RED_FLAG, None, "within the next few days", "to be seen within days"),
        (Flag.CIRCULATION, None, "look at this today", "blood pressure or dizziness"),
    ],
)
def test_each_urgency_has_its_own_advice_and_the_therapist_reads_it(
    clinic: Clinics, ben: Desk, patient: Patient, ear: Ear,
    flag: Flag, urgency: Urgency | None, patient_reads: str, therapist_reads: str,
):  # fmt: skip
    asked(patient)
    ear.hears("a sign", flag=flag, urgency=urgency)
    assert patient.types("4, did all, a sign") == ["danger"]
    assert patient_reads in patient.last()
    assert "Do no sets" in patient.last()
    now = flag is Flag.URGENT or urgency is Urgency.NOW
    # three urgencies, three texts: the number to call stands in that of an emergency alone
    assert ("Call 112" in patient.last()) == now
    assert ("suddenly gets worse" in patient.last()) == (not now)
    assert therapist_reads in ben.last()
    assert "4, did all, a sign" in ben.last()
    ben.taps_label("Page")
    assert therapist_reads in ben.last()
    assert patient.course().episode.paused_for == flag
    patient.sends("today")
    assert "holds of" not in patient.last()


@pytest.mark.parametrize(
    ("fields", "line"),
    [
        ({"flag": Flag.INJECTION}, "4, did all. had a shot in it"),
        ({"flag": Flag.CIRCUMSTANCE, "circumstance": Circumstance.PREGNANCY}, "4, did all. had a shot in it"),
        ({"flag": Flag.CIRCUMSTANCE, "circumstance": Circumstance.BLOOD_THINNER}, "had a shot in it"),
        ({"flag": Flag.CIRCUMSTANCE, "circumstance": Circumstance.OTHER_PERSON}, "had a shot in it"),
        ({"flag": Flag.CLINICAL_QUESTION}, "had a shot in it, what to take?"),
    ],
)
def test_nothing_is_said_to_be_passed_on_where_there_is_nobody_to_read_it(
    clinic: Clinics, patient: Patient, ear: Ear, fields: dict[str, object], line: str
):
    asked(patient)
    ear.hears("had a shot in it", **fields)
    patient.types(line)
    read = "\n".join(message.text for message in patient.read()[-2:])
    assert "I cannot reach your therapist right now" in read
    assert "passing this on" not in read
    Desk(clinic, "ben", lead=True)
    patient.types(line)
    read = "\n".join(message.text for message in patient.read()[-2:])
    assert "I am passing this on to your clinic." in read, "a lead is there, but no therapist of theirs"
    assert not re.search("(is|been|have) (told|passed)", read)


def test_an_injection_rests_the_elbow_until_the_programmes_days_are_over(
    clinic: Clinics, ben: Desk, patient: Patient, ear: Ear
):
    asked(patient)
    ear.hears("had a shot in it", flag=Flag.INJECTION)
    assert patient.types("4, did all. had a shot in it") == ["injection.told", "evening.outcome"]
    assert "no sets for 14 days" in patient.read()[-2].text
    assert "rest day, no sets" in patient.last()
    assert "holds of" not in patient.last()
    assert (patient.check_in(0).pain, patient.check_in(0).flag) == (4, Flag.INJECTION)
    assert clinic.notices() == ["injection"]
    for day in (1, 14):
        clinic.live_to(day, "19:05")
        assert patient.check_in(day).sets_asked == 0
    clinic.live_to(15, "19:05")
    assert patient.check_in(15).sets_asked == 4
    assert patient.course().episode.step == 1


def test_the_same_injection_told_twice_is_one_and_the_therapist_lets_it_move_up_again(
    clinic: Clinics, ben: Desk, patient: Patient, ear: Ear
):
    ear.hears("the shot", flag=Flag.INJECTION)
    assert patient.types("i had the shot") == ["injection.told"]
    until = patient.course().episode.unloaded_until
    clinic.live_to(3, "12:00")
    assert patient.types("is the shot a problem") == ["injection.known"]
    assert patient.course().episode.unloaded_until == until
    ben.tap_about("o", patient)
    assert "no load before" in ben.last()
    ben.taps_label("Injection looked at")
    ben.types("seen, tender but no more")
    ben.says_yes()
    assert not patient.course().episode.awaits_look
    assert patient.course().episode.unloaded_until == until
    ben.taps_label("Undo")
    assert patient.course().episode.awaits_look


@pytest.mark.parametrize("short", ["away", "time", "zone", "erase"])
def test_an_injection_told_at_a_short_question_rests_the_elbow_as_anywhere(patient: Patient, ear: Ear, short: str):
    ear.hears("had a shot", flag=Flag.INJECTION)
    patient.sends(short)
    assert patient.types("had a shot in it this morning") == ["injection.told"]
    assert patient.course().episode.unloaded_until is not None
    assert patient.clinic.notices() == ["injection"]


def test_a_corrected_evening_is_decided_anew_with_the_injection_where_it_stood(patient: Patient, ear: Ear):
    asked(patient)
    ear.hears("had a shot", flag=Flag.INJECTION)
    patient.types("4, did all. had a shot")
    patient.types("sorry, pain was 5")
    patient.taps_label("Yes, change it") if "Yes, change it" in patient.buttons() else None
    with patient.clinic.store.reading() as uow:
        made = uow.decisions.of(patient.course().id)
    assert [each.kind for each in made] == ["injection", "evening"]
    assert made[0].decision.move is Move.REGRESS
    assert all(each.decision.dose and each.decision.dose.asked == 0 for each in made)


@pytest.mark.parametrize("circumstance", [Circumstance.SURGERY, Circumstance.CAST, Circumstance.TENDON_MEDICINE])
def test_what_must_be_looked_at_first_leaves_no_sets(
    clinic: Clinics, ben: Desk, patient: Patient, ear: Ear, circumstance: Circumstance
):
    asked(patient)
    ear.hears("news", flag=Flag.CIRCUMSTANCE, circumstance=circumstance)
    assert patient.types("4, did all, news") == ["danger"]
    assert "Do no sets" in patient.last()
    assert (patient.check_in(0).pain, patient.check_in(0).sets_done) == (4, 4)
    assert clinic.notices() == ["circumstance"]
    patient.sends("today")
    assert "holds of" not in patient.last()
    ben.tap_about("l", patient)
    ben.types("seen, may go on")
    ben.says_yes()
    assert patient.course().episode.paused_for is None


def test_a_tendon_medicine_is_a_matter_for_the_prescriber_today(patient: Patient, ear: Ear):
    # MHRA 2019: contact the prescriber at once
    ear.hears("new pills", flag=Flag.CIRCUMSTANCE, circumstance=Circumstance.TENDON_MEDICINE)
    patient.types("new pills")
    assert "pharmacist, today" in patient.last()


@pytest.mark.parametrize("circumstance", [Circumstance.PREGNANCY, Circumstance.BLOOD_THINNER])
def test_what_is_only_to_be_weighed_stops_nothing(
    clinic: Clinics, patient: Patient, ear: Ear, circumstance: Circumstance
):
    asked(patient)
    ear.hears("news", flag=Flag.CIRCUMSTANCE, circumstance=circumstance)
    assert patient.types("4, did all, news") == [f"told.{circumstance.value}", "evening.outcome"]
    assert "4 holds" in patient.last()
    assert clinic.notices() == ["circumstance"]


def test_numbers_of_somebody_elses_elbow_are_not_recorded(clinic: Clinics, patient: Patient, ear: Ear):
    asked(patient)
    ear.hears("for my wife", flag=Flag.CIRCUMSTANCE, circumstance=Circumstance.OTHER_PERSON)
    assert patient.types("7, did all, for my wife") == ["told.other_person", "evening.again"]
    assert patient.check_in(0).pain is None
    assert clinic.notices() == ["circumstance"]


@pytest.mark.parametrize(("wish", "status"), [(Wish.STOP, Status.LEFT), (Wish.PAUSE, Status.AWAY)])
def test_a_wish_to_stop_beside_a_sign_is_obeyed_too(
    clinic: Clinics, patient: Patient, ear: Ear, wish: Wish, status: Status
):
    asked(patient)
    ear.hears("numb, no more of this", flag=Flag.RED_FLAG, wish=wish)
    kinds = patient.types("numb, no more of this")
    assert kinds[0] == "danger"
    assert patient.person().status == status
    assert "danger" in clinic.notices()


def test_a_wish_to_stop_beside_a_sign_is_obeyed_at_a_short_question_and_in_an_edited_line(
    clinic: Clinics, patient: Patient, ear: Ear
):
    ear.hears("numb, no more of this", flag=Flag.RED_FLAG, wish=Wish.STOP)
    patient.sends("problem")
    assert patient.types("numb, no more of this") == ["danger", "left"]
    assert patient.person().status == Status.LEFT


def test_a_stop_typed_in_real_words_beside_a_numb_hand_is_obeyed(clinic: Clinics, patient: Patient):
    assert patient.types("stop messaging me, my hand is numb") == ["danger", "left"]
    assert patient.person().status == Status.LEFT
    assert patient.course().episode.paused_for == Flag.RED_FLAG
