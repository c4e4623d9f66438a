"""The way in, by taps and by typing, with nonsense at every step and every answer of the screening."""

import datetime as dt

import pytest

from bot.ports import Came
from core.records import Status
from core.use_cases.coming_back import clear
from tests.bot.conversation.chat import MORNING, Clinics, Patient
from tests.bot.conversation.staff.desk import Desk

STEPS = ("consent", "fit", "signs", "past", "injection", "heart", "side", "rating", "zone", "evening")
TYPED = ("yes", "yes", "No", "no.", "nope", "none", "The left one", "6", "YES!", "19:30")
TAPPED = ("Yes", "Yes, all of it", "None of these", "None of these", "No", "None of these", "Left", "6", "Yes", "20:00")
NONSENSE = ("", "bla", "perhaps tomorrow", "42", "🦆", "yes and no", "4 or 5", "x" * 4000, "/", "None of your business")


def stranger_with_code(clinic: Clinics, address: str = "cellist") -> Patient:
    patient = Patient(clinic, address)
    assert patient.sends("start", clinic.invite("the cellist")) == ["enrol.consent"]
    return patient


def clear_now(clinic: Clinics, patient: Patient) -> None:
    with clinic.store.writing() as uow:
        clear(clinic.app.work(uow), patient.person(), "looked at")
        uow.commit()
    clinic.deliver()


def test_enrolling_by_taps_alone_ends_in_the_first_dose(clinic: Clinics):
    patient = stranger_with_code(clinic)
    for label in TAPPED:
        kinds = patient.taps_label(label)
    assert kinds == ["enrol.done", "learn", "goals.offer"]
    person, course = patient.person(), patient.course()
    assert (person.status, person.evening, person.zone) == (Status.ACTIVE, dt.time(20), "Europe/Lisbon")
    assert (course.side, course.episode.start_rating) == ("left", 6)
    assert person.name == "the cellist"
    clinic.live_to(0, "20:00")
    assert "How much did your elbow hurt today" in patient.last()


def test_enrolling_by_typing_alone_ends_in_the_first_dose(clinic: Clinics):
    patient = stranger_with_code(clinic)
    for text in TYPED:
        kinds = patient.types(text)
    assert kinds == ["enrol.done", "learn", "goals.offer"]
    assert patient.person().evening == dt.time(19, 30)
    assert patient.dialogue().flow == ""


@pytest.mark.parametrize("step", range(len(STEPS)), ids=STEPS)
def test_nonsense_asks_the_same_question_again_and_loses_nothing(clinic: Clinics, step: int):
    patient = stranger_with_code(clinic)
    for answer in TYPED[:step]:
        patient.types(answer)
    before = patient.dialogue()
    assert before.step == STEPS[step]
    for nonsense in NONSENSE:
        assert len(patient.types(nonsense)) in (1, 2), nonsense
        assert patient.person().status == Status.ENROLLING, nonsense
        assert patient.dialogue().step in (STEPS[step], "city"), nonsense
    for came in (Came.OTHER, Came.UNBLOCKED):
        assert len(patient.does(came)) == 1
    assert patient.sends("today") == ["enrol.first", f"enrol.{patient.dialogue().step}"]
    assert dict(patient.dialogue().facts) | {"zones": None} == dict(before.facts) | {"zones": None}


@pytest.mark.parametrize(
    ("answers", "why"),
    [
        (("yes", "no"), "fit"),
        (("yes", "not sure"), "fit"),
        (("yes", "yes", "yes"), "signs"),
        (("yes", "yes", "not sure"), "signs"),
        (("yes", "yes", "no", "yes"), "past"),
        (("yes", "yes", "no", "i don't know"), "past"),
        (("yes", "yes", "no", "no", "no", "yes"), "heart"),
        (("yes", "yes", "no", "no", "no", "unsure", "unsure"), "heart"),
    ],
)
def test_every_worrying_answer_waits_for_a_person_and_then_goes_on_with_the_next_question(
    clinic: Clinics, answers: tuple[str, ...], why: str
):
    after = {"fit": "signs", "signs": "past", "past": "injection", "heart": "side"}[why]
    patient = stranger_with_code(clinic)
    for answer in answers:
        kinds = patient.types(answer)
    assert kinds == ["enrol.screened_out"]
    assert patient.person().status == Status.SCREENED_OUT
    assert clinic.notices() == ["screened_out"]
    assert patient.types("no") == ["screen.still"]
    assert patient.sends("start") == ["screen.still"]
    assert patient.taps("1.f.enrol.signs.no") == ["button.old"]
    clear_now(clinic, patient)
    assert patient.last().startswith("Your therapist says you can go on.")
    assert patient.dialogue().step == after
    for answer in TYPED[STEPS.index(after) :]:
        kinds = patient.types(answer)
    assert kinds == ["enrol.done", "learn", "goals.offer"]


@pytest.mark.parametrize("answer", ["yes", "not sure"])
def test_an_injection_waits_two_weeks_even_when_danger_comes_between(clinic: Clinics, answer: str):
    patient = stranger_with_code(clinic)
    for text in ("yes", "yes", "no", "no", answer, "no", "right"):
        patient.types(text)
    assert patient.types("my fingers went numb and the hand is weak") == ["danger"]
    assert patient.person().status == Status.SCREENED_OUT
    clear_now(clinic, patient)
    assert patient.dialogue().step == "rating"
    for text in ("3", "yes", "19:00"):
        patient.types(text)
    first = MORNING.date() + dt.timedelta(days=14)  # evidence row L6
    assert patient.course().episode.started == first
    assert "16 Mar" in patient.read()[-3].text
    # the wait is kept against whoever is eager
    clinic.live_to(3, "18:00")
    assert patient.types("3, did all") == ["today"]
    assert "16 Mar" in patient.last()
    assert patient.check_in(3) is None
    for command in ("start", "resume"):
        patient.sends(command)
        assert "I will ask you in the evening of Mon 16 Mar." in patient.last()
    patient.sends("pause")
    assert patient.sends("resume") == ["away.back"]
    assert "Your first day is Mon 16 Mar. Do no sets before that." in patient.last()
    assert "I will ask you in the evening of Mon 16 Mar." in patient.last()
    clinic.live_to(14, "09:00")
    patient.sends("start")
    assert "I will ask you this evening." in patient.last()
    clinic.live_to(14, "19:00")
    assert "How much did your elbow hurt" in patient.last()


def test_danger_before_consent_is_no_way_around_it(clinic: Clinics):
    patient = stranger_with_code(clinic)
    assert patient.types("I have chest pain and cannot breathe") == ["danger"]
    assert "112" in patient.last()
    clear_now(clinic, patient)
    assert patient.dialogue().step == "consent"


def test_a_sign_told_in_words_counts_as_the_answer_to_the_signs(clinic: Clinics):
    patient = stranger_with_code(clinic)
    patient.types("yes")
    patient.types("yes")
    patient.types("my hand is numb")
    clear_now(clinic, patient)
    assert patient.dialogue().step == "past"


def test_heart_trouble_with_a_doctors_word_goes_on(clinic: Clinics):
    patient = stranger_with_code(clinic)
    for answer in ("yes", "yes", "no", "no", "no", "not sure"):
        kinds = patient.types(answer)
    assert kinds == ["enrol.heart_ok"]
    assert patient.types("yes") == ["enrol.side"]


def test_without_consent_nothing_is_asked_and_consent_can_still_be_given(clinic: Clinics):
    patient = stranger_with_code(clinic)
    assert patient.taps_label("No") == ["enrol.no_consent"]
    clinic.live_to(5, "12:00")
    assert patient.sends("start") == ["enrol.consent"]
    assert patient.taps_label("Yes") == ["enrol.fit"]


@pytest.mark.parametrize(
    ("typed", "zone"),
    [("Berlin", "Europe/Berlin"), ("new york", "America/New_York"), ("Asia/Kathmandu", "Asia/Kathmandu")],
)
def test_a_town_sets_the_zone(clinic: Clinics, typed: str, zone: str):
    patient = stranger_with_code(clinic)
    for answer in (*TYPED[:8], "no"):
        patient.types(answer)
    assert patient.types(typed) == ["enrol.evening"]
    assert patient.person().zone == zone


def test_a_misspelled_town_offers_near_ones_as_buttons(clinic: Clinics):
    patient = stranger_with_code(clinic)
    for answer in TYPED[:8]:
        patient.types(answer)
    assert patient.types("Berlinn") == ["enrol.city"]
    assert patient.taps_label("Berlin") == ["enrol.evening"]


def test_a_problem_or_a_doubt_about_erasing_in_between_keeps_what_was_answered(clinic: Clinics):
    patient = stranger_with_code(clinic)
    for answer in TYPED[:7]:
        patient.types(answer)
    facts = dict(patient.dialogue().facts)
    patient.sends("problem")
    assert patient.types("The questions are too small to read") == ["problem.noted", "enrol.rating"]
    assert clinic.notices() == ["clinical_question"]
    patient.sends("erase")
    assert patient.taps_label("No, keep it") == ["erase.kept", "enrol.rating"]
    assert dict(patient.dialogue().facts) == facts
    patient.sends("erase")
    assert patient.sends("start") == ["enrol.rating"]
    assert patient.types("5") == ["enrol.zone"]


def test_stopping_while_enrolling_takes_the_consent_back(clinic: Clinics):
    patient = stranger_with_code(clinic)
    for answer in TYPED[:4]:
        patient.types(answer)
    assert patient.sends("stop") == ["left"]
    assert patient.types("hello") == ["left.still"]
    assert patient.sends("start") == ["enrol.consent"]
    for answer in TYPED:
        kinds = patient.types(answer)
    assert kinds == ["enrol.done", "learn", "goals.offer"]


def test_blocking_while_enrolling_goes_on_where_it_was(clinic: Clinics):
    patient = stranger_with_code(clinic)
    for answer in TYPED[:7]:
        patient.types(answer)
    assert patient.does(Came.BLOCKED) == []
    assert [kind for kind, _ in patient.does(Came.UNBLOCKED)] == ["enrol.rating"]
    assert patient.taps_label("6") == ["enrol.zone"]


def test_screened_out_people_stay_so_through_stop_and_start(clinic: Clinics):
    patient = stranger_with_code(clinic)
    for answer in ("yes", "yes", "yes"):
        patient.types(answer)
    assert patient.sends("stop") == ["left"]
    assert patient.sends("start") == ["screen.still"]
    patient.sends("problem")
    assert patient.types("please let me in") == ["problem.noted"]
    clear_now(clinic, patient)
    assert patient.dialogue().step == "past"


@pytest.mark.parametrize("text", ["hello", "CODE-999", "4, did all", "/start"])
def test_strangers_get_a_polite_way_in_and_nothing_is_kept(clinic: Clinics, text: str):
    stranger = Patient(clinic, "stranger")
    assert stranger.types(text) == ["stranger.way_in"]
    assert stranger.sends("start", "WRONG") == ["stranger.bad_code"]
    assert stranger.taps("1.p.id-1.4") == ["stranger.way_in"]
    assert stranger.does(Came.BLOCKED) == []
    assert clinic.snapshot() == {}


def test_a_code_works_once(clinic: Clinics):
    code = clinic.invite()
    assert Patient(clinic, "first").types(code.lower().replace("-", " ")) == ["enrol.consent"]
    assert Patient(clinic, "second").sends("start", code) == ["stranger.bad_code"]


@pytest.mark.parametrize(
    ("group", "label", "says", "therapist_reads"),
    [
        # README: adults, looked at by a clinician, pain on the outer side
        ("fit", "I am under 18", "18 and over", "under 18"),
        ("fit", "Nobody has looked at it", "look at your elbow first", "nobody has looked"),
        ("fit", "It hurts elsewhere", "outer side of the elbow", "not on the outer side"),
        # elbow red flags of NHS Gloucestershire; Javed 2015: today, or within days
        ("signs", "Hot red joint or a fever", "look at this today", "to be seen today"),
        ("signs", "A fall or a pop then swelling", "look at this today", "to be seen today"),
        ("signs", "Numb or tingling hand", "in the next few days", "to be seen within days"),
        ("signs", "Hand weak without pain", "in the next few days", "to be seen within days"),
        ("past", "Operation or break or tear", "a plan made for you", "within 12 months"),
        ("past", "Cancer now or before", "After cancer", "cancer"),
        ("past", "Weight loss not on purpose", "weight loss", "weight loss"),
        ("past", "Neck pain into the arm", "come from the neck", "neck pain"),
        ("past", "Several joints hurt", "several joints", "several joints"),
        # what bars the start
        ("heart", "Blood pressure as said above", "180 over 110", "not under control"),
        ("heart", "A weak blood vessel", "ask your doctor first", "aneurysm"),
        ("heart", "An eye operation not long ago", "eye doctor first", "eye operation"),
        ("heart", "Heart trouble not under control", "ask your doctor first", "not stable"),
    ],
)
def test_each_yes_of_the_screening_has_its_advice_reaches_the_therapist_and_leaves_the_rest_to_ask(
    clinic: Clinics, group: str, label: str, says: str, therapist_reads: str
):
    ben = Desk(clinic, "ben", lead=True)
    patient = stranger_with_code(clinic)
    for answer in TYPED[: STEPS.index(group)]:
        patient.types(answer)
    assert patient.taps_label(label) == ["enrol.screened_out"]
    assert says in patient.last()
    assert "Call 112" not in patient.last(), "the number to call stands in the text of an emergency alone"
    assert patient.person().status == Status.SCREENED_OUT
    assert therapist_reads in ben.last()
    clear_now(clinic, patient)
    assert patient.dialogue().step == group
    assert label not in patient.buttons()
    for answer in TYPED[STEPS.index(group) :]:
        kinds = patient.types(answer)
    assert kinds == ["enrol.done", "learn", "goals.offer"]


def test_the_whole_screening_is_six_taps_for_somebody_with_nothing_to_tell(clinic: Clinics):
    patient = stranger_with_code(clinic)
    for label in TAPPED[:6]:
        patient.taps_label(label)
    assert patient.dialogue().step == "side"


def test_high_pressure_under_control_does_not_bar_the_start(clinic: Clinics):
    patient = stranger_with_code(clinic)
    for answer in TYPED[:5]:
        patient.types(answer)
    assert "if it is not under control" in patient.last()
    assert patient.types("no") == ["enrol.side"]


def test_an_injection_before_the_start_is_told_and_nothing_moves_up_until_somebody_has_looked(clinic: Clinics):
    ben = Desk(clinic, "ben", lead=True)
    patient = stranger_with_code(clinic)
    for answer in ("yes", "yes", "no", "no", "yes", "no", "right", "4", "yes", "19:00"):
        patient.types(answer)
    assert "no sets for 14 days" in patient.read()[-3].text
    assert "no move up until you have looked" in ben.last()
    assert patient.course().episode.awaits_look
