"""What staff see of somebody with both elbows, and what they do about one of them."""

from bot.conversation.staff.course_acts import COURSE_ACTS
from core.records import Course
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk


def courses(patient: Patient) -> dict[str, Course]:
    with patient.clinic.store.reading() as uow:
        return {each.side: each for each in uow.diary.courses_of(patient.person().id)}


def with_both(clinic: Clinics) -> tuple[Desk, Patient]:
    """A therapist who has added the left elbow of a patient whose right one has a course."""
    desk = Desk(clinic, "ben")
    patient = desk.has("A. B.")
    desk.tap_about("o", patient)
    desk.taps_label("Add other side")
    desk.taps_label("6")
    desk.types("the left one began to hurt")
    desk.taps_label("Yes")
    return desk, patient


def test_a_second_side_is_added_told_and_asked_about_the_same_evening(clinic: Clinics) -> None:
    desk, patient = with_both(clinic)
    assert {side: each.episode.start_rating for side, each in courses(patient).items()} == {"right": 4, "left": 6}
    told = next(shown.text for shown in reversed(patient.read()) if "has added this side" in shown.text)
    assert told.startswith("Left elbow:")
    assert "left arm only" in told
    assert "add_side" in desk.trail(patient)
    clinic.live_to(0, "19:05")
    assert patient.last().startswith("First your right elbow")
    assert patient.types("right 4, left 6, did all") == ["evening.outcome", "evening.outcome"]


def test_the_list_and_the_page_say_how_each_side_stands(clinic: Clinics) -> None:
    desk, patient = with_both(clinic)
    for day in range(6):
        clinic.live_to(day, "19:05")
        patient.types("right 2, left 6, did all")
    desk.sends("caseload")
    line = next(each for each in desk.last().splitlines() if "A. B." in each)
    assert "right: step 2 of 8, 7-day mean 2; left: step 1 of 8, 7-day mean 6" in line
    desk.tap_about("o", patient)
    page = desk.last()
    assert "left elbow" in page
    assert "Right elbow: " in page
    desk.taps_label("Right elbow")
    assert "right elbow" in desk.last()
    assert "Left elbow: " in desk.last()


def test_an_act_is_done_to_the_side_whose_page_it_is_and_asks_elsewhere(clinic: Clinics) -> None:
    desk, patient = with_both(clinic)
    clinic.live_to(0, "19:05")
    patient.types("right 4, left 6, did all")
    desk.tap_about("u", patient)  # as from a digest: no side is named
    assert desk.last() == "Which side is this about?"
    before = {side: each.episode.step for side, each in courses(patient).items()}
    desk.taps_label("Left elbow")
    assert desk.last().startswith("Left elbow:")
    desk.types("it was set too low")
    desk.taps_label("Yes")
    after = {side: each.episode.step for side, each in courses(patient).items()}
    assert after == before | {"left": before["left"] + 1}
    assert "has moved you up" in patient.last()
    assert patient.last().startswith("Left elbow:")
    desk.taps_label("Undo")
    assert {side: each.episode.step for side, each in courses(patient).items()} == before


def test_no_act_about_a_course_guesses_the_side(clinic: Clinics) -> None:
    desk, patient = with_both(clinic)
    codes = {"up": "u", "back": "b", "to": "g", "stay": "p", "pause": "z", "gate": "gate", "dose": "dose", "score": "q"}
    assert set(codes) - {"score"} <= set(COURSE_ACTS)
    for code in codes.values():
        desk.tap_about(code, patient)
        assert desk.last() == "Which side is this about?"


def test_the_week_has_the_person_once_and_both_sides(clinic: Clinics) -> None:
    desk, patient = with_both(clinic)
    for day in range(7):
        clinic.live_to(day, "19:05")
        patient.types("right 9, left 2, did all" if day in (3, 5) else "right 2, left 2, did all")
        if day in (3, 5):
            assert patient.types("no") == ["red_flags.none"]
    desk.sends("digest")
    digest = next(shown.text for shown in reversed(desk.read()) if "1 patient" in shown.text)
    assert digest.count("1. A. B., right elbow: two severe days") == 1
    assert "2. " not in digest


def test_one_side_ends_and_the_other_goes_on(clinic: Clinics) -> None:
    desk, patient = with_both(clinic)
    clinic.live_to(0, "19:05")
    patient.types("right 4, left 6, did all")
    desk.tap_about("ended", patient)
    desk.taps_label("Right elbow")
    desk.types("healed")
    desk.taps_label("Yes")
    assert list(courses(patient)) == ["left"]
    assert "end_side" in desk.trail(patient)
    clinic.live_to(1, "19:05")
    assert patient.last().startswith("How much did your elbow hurt today")
    assert patient.types("5, did all") == ["evening.outcome"]
    desk.tap_about("x", patient)
    table = next(shown for shown in reversed(desk.read()) if shown.document and shown.document[0].endswith("csv"))
    sides = [line.rsplit(b",", 1)[1] for line in table.document[1].splitlines()]
    assert sides == [b'"side"', b'"right"', b'"left"', b'"left"']


def test_a_clearance_lets_both_go_on_and_is_taken_back_for_both(clinic: Clinics) -> None:
    desk, patient = with_both(clinic)
    clinic.live_to(0, "19:05")
    patient.types("my hand has gone numb")
    if "Numb or tingling" in patient.buttons():
        patient.taps_label("Numb or tingling")
    assert all(each.episode.paused_for for each in courses(patient).values())
    desk.tap_about("l", patient)
    desk.types("looked at it, all well")
    desk.taps_label("Yes")
    assert not any(each.episode.paused_for for each in courses(patient).values())
    desk.taps_label("Undo")
    assert all(each.episode.paused_for for each in courses(patient).values())
    assert patient.person().next_due is None


def test_what_is_more_urgent_stands_first_in_the_list_with_its_side(clinic: Clinics) -> None:
    desk, patient = with_both(clinic)
    for day in range(6):
        clinic.live_to(day, "19:05")
        patient.types("right 9, left 2, did 1" if day in (3, 5) else "right 2, left 2, did 1")
        if day in (3, 5):
            patient.types("no")
    desk.sends("caseload")
    assert "A. B.: right: two severe days; " in desk.last()
    assert "severe days within a week" in " ".join(shown.text for shown in desk.read())  # the notice, at once
