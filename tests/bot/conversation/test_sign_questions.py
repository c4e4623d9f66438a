"""Heard by one ear only, or a complaint: asked by button at once, asked once more, told; nothing stops meanwhile."""

import pytest

from bot.wording.catalogue import text_in
from bot.wording.digest_page import page
from core.export.fhir import fhir_bundle
from core.model import Flag
from core.records import SignQuestion, Status
from core.use_cases.digesting import line_of, weeks_of
from core.use_cases.exporting import rows_of, subjects_of
from tests.bot.conversation.chat import MORNING, Clinics, Patient
from tests.bot.conversation.conftest import Ear
from tests.bot.conversation.staff.desk import Desk
from tests.bot.conversation.test_evening_talk import asked

ODD = "my arm feels quite strange"


@pytest.fixture
def ben(clinic: Clinics) -> Desk:
    return Desk(clinic, "ben", lead=True)


@pytest.fixture
def heard(ear: Ear) -> Ear:
    ear.hears(ODD, maybe=Flag.RED_FLAG)
    ear.hears("dropped a cup", complaint=True)
    return ear


def wondered(patient: Patient, text: str = f"4, did all. {ODD}") -> None:
    asked(patient)
    patient.types(text)


def test_the_evening_is_recorded_the_question_comes_at_once_and_no_sets_are_given_until_it_is_answered(
    clinic: Clinics, patient: Patient, heard: Ear
):
    asked(patient)
    assert patient.types(f"4, did all. {ODD}") == ["evening.outcome", "sign.which"]
    assert (patient.check_in(0).pain, patient.check_in(0).sets_done) == (4, 4)
    assert "no sets: 1 to 2 minutes of gentle moves" in patient.read()[-2].text
    assert "Call 112" in patient.last()
    assert patient.course().episode.paused_for is None
    assert clinic.notices() == []
    clinic.live_to(1, "19:05")
    assert patient.check_in(1).sets_asked == 0


@pytest.mark.parametrize(
    ("label", "flag", "says"),
    [
        ("Numb or tingling", Flag.RED_FLAG, "within the next few days"),
        ("Weak without pain", Flag.RED_FLAG, "today"),
        ("Hot or swollen joint", Flag.RED_FLAG, "today"),
        ("Chest or breath", Flag.URGENT, "This may be an emergency"),
        ("Very low", Flag.DISTRESS, "do not stay alone"),
        ("Something else", Flag.RED_FLAG, "within the next few days"),
    ],
)
@pytest.mark.parametrize("typed", [True, False])
def test_a_choice_leads_to_the_same_stop_and_help_as_a_typed_sign(
    clinic: Clinics, ben: Desk, patient: Patient, heard: Ear, label: str, flag: Flag, says: str, typed: bool
):
    wondered(patient)
    assert (patient.types(label) if typed else patient.taps_label(label)) == ["danger"]
    assert says in patient.last()
    assert patient.course().episode.paused_for == flag
    assert ODD in ben.last()
    assert patient.check_in(0).sign is None


@pytest.mark.parametrize("answer", ["None of these", "no", "nothing", "None"])
def test_none_of_these_clears_it(clinic: Clinics, patient: Patient, heard: Ear, answer: str):
    wondered(patient)
    none = patient.buttons()["None of these"]
    assert patient.types(answer) == ["sign.none"]
    assert patient.check_in(0).sign is None
    assert patient.taps(none) == ["button.old"]
    clinic.live_to(1, "12:00")
    assert clinic.notices() == []


def test_unanswered_it_is_asked_once_more_and_the_therapist_told_with_the_words(
    clinic: Clinics, ben: Desk, patient: Patient, heard: Ear
):
    wondered(patient)
    clinic.live_to(0, "21:10")
    kinds = [message.kind for _, message, _ in clinic.delivered]
    assert kinds.count("sign.which") == 2
    assert "not told me this yet" in patient.last()
    assert clinic.notices() == ["unsure"]
    assert ODD in ben.last()
    clinic.live_to(2, "12:00")
    assert [message.kind for _, message, _ in clinic.delivered].count("sign.which") == 3, "with the next evening, too"
    assert clinic.notices() == ["unsure"]
    # late is not too late, also from the first keyboard
    assert patient.check_in(1).sign is SignQuestion.WHICH
    assert patient.taps(f"1.w.{patient.check_in(0).id}.hot") == ["danger"]
    assert patient.course().episode.paused_for == Flag.RED_FLAG


def test_who_leaves_with_it_open_is_not_forgotten(clinic: Clinics, ben: Desk, patient: Patient, heard: Ear):
    wondered(patient)
    patient.sends("stop")
    clinic.live_to(1, "12:00")
    assert "unsure" in clinic.notices()
    assert [message.kind for _, message, _ in clinic.delivered].count("sign.which") == 1


def test_half_an_answer_waits_for_both_and_the_reminder_is_not_lost(clinic: Clinics, patient: Patient, heard: Ear):
    asked(patient)
    assert patient.types(f"4. {ODD}") == ["evening.sets", "sign.which"]
    clinic.live_to(0, "21:10")
    assert [message.kind for _, message, _ in clinic.delivered][-2:] == ["sign.which", "evening.remind"]
    assert patient.types("3") == ["sign.which"], "a bare number answers nothing while it is open"
    assert patient.types("4, did 3") == ["evening.outcome"]
    assert patient.check_in(0).sets_done == 3
    assert patient.check_in(0).sign is SignQuestion.WHICH


def test_without_numbers_the_question_comes_alone_and_the_evenings_own_after_it(patient: Patient, heard: Ear):
    asked(patient)
    assert patient.types(ODD) == ["sign.which"]
    assert patient.types("hm") == ["sign.which"]
    assert patient.taps_label("None of these") == ["sign.none", "evening.both"]
    assert patient.types("4, did all") == ["evening.outcome"]


def test_an_evening_that_closes_with_it_open_still_asks_again_in_the_morning(
    clinic: Clinics, ben: Desk, patient: Patient, heard: Ear
):
    clinic.live_to(0, "22:00")
    assert patient.types(f"4. {ODD}") == ["evening.sets", "sign.which"]
    clinic.live_to(1, "09:30")
    assert clinic.notices() == ["unsure"]
    assert patient.read()[-1].text.endswith("Do no sets until you have told me.")


def test_no_sets_are_given_until_it_is_answered_and_it_is_put_with_each_evening(
    clinic: Clinics, patient: Patient, heard: Ear
):
    wondered(patient)
    for day in (1, 2, 3):
        clinic.live_to(day, "19:05")
        assert [message.kind for _, message, _ in clinic.delivered][-2:] == ["sign.which", "evening.ask"]
        assert "rest day" in patient.last()
        assert patient.types("3, did all") == ["evening.outcome"]
        assert "No sets until you have" in patient.last()
        assert patient.sends("today") == ["today", "sign.which"]
        assert "no sets" in patient.read()[-2].text
        assert patient.sends("set") == ["sign.which"]
    assert clinic.notices() == ["unsure"]
    assert patient.types("None of these") == ["sign.none"]
    patient.sends("today")
    assert "4 holds of" in patient.last()


def test_a_sign_typed_instead_of_a_tap_settles_it(clinic: Clinics, patient: Patient, heard: Ear):
    wondered(patient)
    assert patient.types("my hand has gone numb") == ["danger"]
    assert patient.check_in(0).sign is None
    clinic.live_to(1, "12:00")
    assert clinic.notices() == ["danger"]


def test_a_complaint_is_asked_about_and_because_it_hurts_stops_nothing(clinic: Clinics, patient: Patient, heard: Ear):
    asked(patient)
    assert patient.types("4, did all, dropped a cup") == ["evening.outcome", "sign.weak"]
    assert patient.taps_label("Because it hurts") == ["sign.hurts"]
    assert "part of this trouble" in patient.last()
    assert patient.course().episode.paused_for is None
    assert clinic.notices() == []


@pytest.mark.parametrize("answer", ["Without pain", "no pain", "weak without pain"])
def test_a_complaint_without_pain_is_a_red_flag_within_days(clinic: Clinics, patient: Patient, heard: Ear, answer: str):
    asked(patient)
    patient.types("4, did all, dropped a cup")
    assert patient.types(answer) == ["danger"]
    assert "within the next few days" in patient.last()
    assert patient.course().episode.paused_for == Flag.RED_FLAG
    assert patient.check_in(0).pain == 4


def test_before_a_course_the_question_stands_before_the_enrolment_and_the_therapist_hears_of_it(
    clinic: Clinics, heard: Ear
):
    patient = Patient(clinic, "newcomer").enrols("yes")
    assert patient.types(f"well {ODD}") == ["sign.which"]
    assert clinic.notices() == ["unsure"]
    assert patient.taps_label("None of these")[0] == "sign.none"
    assert patient.person().status == Status.ENROLLING
    assert patient.types("dropped a cup") == ["sign.weak"]
    assert patient.taps_label("Without pain") == ["danger"]
    assert patient.person().status == Status.SCREENED_OUT
    assert patient.taps("1.f.sign.hurts") == ["button.old"]


def test_a_town_is_a_town_whatever_an_ear_makes_of_it(patient: Patient, ear: Ear):
    ear.hears("London", maybe=Flag.DISTRESS)
    patient.sends("zone")
    assert patient.types("London") == ["zone.set"]


def test_a_problem_told_reaches_the_therapist_and_is_asked_about(clinic: Clinics, patient: Patient, heard: Ear):
    patient.sends("problem")
    assert patient.types(ODD) == ["problem.noted", "sign.which"]
    assert clinic.notices() == ["clinical_question"]


def test_words_not_read_are_kept_with_the_evening(clinic: Clinics, patient: Patient, ear: Ear):
    ear.hears("zither practice", unread="zither practice")
    asked(patient)
    patient.types("4, did all, zither practice")
    assert patient.check_in(0).unread == "zither practice"
    patient.types("zither practice")
    assert patient.check_in(0).unread == "zither practice\nzither practice"
    kept = next(iter(clinic.snapshot().values()))
    assert "zither practice" in kept["check_ins"][0]["unread"]


def test_a_language_that_cannot_be_read_is_told_once_asked_about_by_button_and_kept(
    clinic: Clinics, patient: Patient, ear: Ear
):
    ear.hears("le bras me fait mal", unreadable=True)
    asked(patient)
    assert patient.types("4 3 le bras me fait mal") == ["evening.outcome", "chat.language", "sign.which"]
    assert (patient.check_in(0).pain, patient.check_in(0).sets_done) == (4, 3)
    assert patient.check_in(0).unread == "4 3 le bras me fait mal"
    assert patient.taps_label("None of these") == ["sign.none"]
    asked(patient, 1)
    assert "chat.language" not in patient.types("5 4 le bras me fait mal")


def test_words_not_read_are_on_the_page_in_the_week_and_in_every_export(
    clinic: Clinics, ben: Desk, patient: Patient, ear: Ear
):
    ear.hears("zither practice", unread="zither practice")
    ear.hears("wore the old splint", unread="wore the old splint")
    asked(patient)
    patient.types("4, did all, zither practice")
    ben.tap_about("o", patient)
    assert "zither" not in ben.last(), "chatter is for the record alone"
    patient.types("wore the old splint")
    clinic.live_to(1, "09:00")
    ben.tap_about("o", patient)
    assert "Words not read" in ben.last()
    assert "wore the old splint" in ben.last()
    assert "zither" not in ben.last()
    with clinic.store.reading() as uow:
        work = clinic.app.work(uow)
        rows = rows_of(work, patient.person())
        (subject,) = subjects_of(work, patient.person())
        (week,) = weeks_of(uow, work.programmes, patient.person(), MORNING.date(), "UTC")
        assert week
        course = line_of(uow, patient.person().id, week.sunday)
        on_page = page(text_in("en"), week, course)
    assert [row.unread for row in rows] == ["zither practice\nwore the old splint"]
    bundle = fhir_bundle("b", clinic.clock(), [subject])
    # HL7 FHIR R4, Observation.note: an Annotation with its text
    assert bundle["entry"][1]["resource"]["note"] == [{"text": "zither practice\nwore the old splint"}]
    assert any("wore the old splint" in words for _, words in on_page.facts)
    assert not any("zither" in words for _, words in on_page.facts)


def test_where_everything_was_read_nothing_is_said_of_it(clinic: Clinics, ben: Desk, patient: Patient):
    asked(patient)
    patient.types("4, did all")
    ben.tap_about("o", patient)
    assert "Words not read" not in ben.last()


def test_weak_because_it_hurts_is_asked_once_then_taken_as_before_until_it_is_told_for_the_worse(
    clinic: Clinics, ben: Desk, patient: Patient
):
    asked(patient)
    assert patient.types("4, did all. dropped a cup") == ["evening.outcome", "sign.weak"]
    assert patient.taps_label("Because it hurts") == ["sign.hurts"]
    assert patient.check_in(0).unread == "4, did all. dropped a cup"
    clinic.live_to(1, "19:05")
    assert patient.types("4, did all, dropped a cup again") == ["evening.outcome", "sign.as_before"]
    clinic.live_to(2, "19:05")
    assert patient.types("my grip is weak") == ["sign.as_before", "evening.both"]
    assert patient.check_in(2).sign is None
    assert patient.types("4, did all") == ["evening.outcome"]
    assert "my grip is weak" in ben.opened(patient)
    clinic.live_to(3, "19:05")
    assert patient.types("4, did all. my grip is weaker") == ["evening.outcome", "sign.weak"]
    patient.taps_label("Because it hurts")
    clinic.live_to(3 + 21, "19:05")
    assert patient.types("4, did all. dropped a cup")[-1] == "sign.weak", "three weeks later it is asked again"


def test_the_answer_beside_the_question_asks_for_no_sets_and_none_of_these_leads_back_to_them(
    clinic: Clinics, patient: Patient
):
    clinic.live_to(0, "19:05")
    patient.types("4, all, tingles")
    told = [shown.text for shown in patient.read()[-2:]]
    assert "no sets: 1 to 2 minutes of gentle moves" in told[0], told
    assert not any("4 holds" in each for each in told), told
    patient.taps_label("None of these")
    assert patient.taps_label("Today's dose") == ["today"]
    assert "4 holds" in patient.last()
