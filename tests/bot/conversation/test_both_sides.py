"""Somebody with both elbows: two courses in one chat, asked in one message, and what is said of which."""

import pytest

from bot.ports import Came
from core.model import Flag
from core.records import Course, GuidedState
from tests.bot.conversation.chat import CHANNEL, Clinics, Patient
from tests.bot.conversation.conftest import Ear

BOTH = ("yes", "yes", "no", "no", "no", "no", "both", "3", "5", "yes", "19:00")


@pytest.fixture
def patient(clinic: Clinics) -> Patient:
    return Patient(clinic).enrols(*BOTH)


def courses(patient: Patient) -> dict[str, Course]:
    with patient.clinic.store.reading() as uow:
        return {each.side: each for each in uow.diary.courses_of(patient.person().id)}


def told(patient: Patient, day: int = 0) -> dict[str, tuple[int | None, int | None]]:
    """Pain and sets that are kept of each side for that day."""
    found = {}
    with patient.clinic.store.reading() as uow:
        for side, course in courses(patient).items():
            latest = uow.diary.latest_check_in(course.id)
            assert latest
            found[side] = (latest.pain, latest.sets_done)
    return found


def questions(patient: Patient) -> list[str]:
    asks = ("evening.ask", "evening.remind")
    return [message.kind for _, message, _ in patient.clinic.delivered if message.kind in asks]


def test_each_side_is_rated_at_the_start_and_has_a_course_of_its_own(patient: Patient) -> None:
    found = courses(patient)
    assert {side: each.episode.start_rating for side, each in found.items()} == {"right": 3, "left": 5}
    assert patient.person().status == "active"


def test_one_message_asks_about_both_and_taps_answer_one_after_the_other(patient: Patient) -> None:
    patient.clinic.live_to(0, "19:05")
    assert questions(patient) == ["evening.ask"]
    assert patient.last().startswith("First your right elbow: how much did it hurt")
    assert patient.taps_label("3") == ["evening.sets"]
    assert patient.taps_label("4") == ["evening.outcome", "evening.both"]
    assert patient.last().startswith("Left elbow:")
    assert patient.taps_label("5") == ["evening.sets"]
    assert patient.taps_label("2") == ["evening.outcome"]
    assert told(patient) == {"right": (3, 4), "left": (5, 2)}


@pytest.mark.parametrize(
    ("line", "heard"),
    [  # made up for this: how people write of two sides
        ("right 3, left 5, did all", {"right": (3, 4), "left": (5, 4)}),
        ("r 3 l 4 all", {"right": (3, 4), "left": (4, 4)}),
        ("3 on the right, 5 on the left, all done", {"right": (3, 4), "left": (5, 4)}),
        ("right elbow was a three and the left one a five, did all", {"right": (3, 4), "left": (5, 4)}),
        ("left: 5/10 2 sets. right: 3/10 4 sets", {"right": (3, 4), "left": (5, 2)}),
        ("both 3, did all", {"right": (3, 4), "left": (3, 4)}),
        ("left 5, did all", {"right": (None, None), "left": (5, 4)}),
        ("4, did all", {"right": (4, 4), "left": (None, None)}),
        ("all right, 4, did 2, two sets left", {"right": (4, 2), "left": (None, None)}),
        ("did 2 on the right, all on the left, pain 3 and 5", {"right": (None, 2), "left": (None, None)}),
    ],
)
def test_a_line_is_read_side_by_side(patient: Patient, line: str, heard: dict[str, tuple[int, int]]) -> None:
    patient.clinic.live_to(0, "19:05")
    patient.types(line)
    assert told(patient) == heard


def test_two_numbers_alone_are_asked_about_and_the_tapped_side_comes_first(patient: Patient) -> None:
    patient.clinic.live_to(0, "19:05")
    assert patient.types("3 and 5") == ["which_side.numbers"]
    assert told(patient) == {"right": (None, None), "left": (None, None)}
    assert patient.taps_label("Left elbow") == ["evening.sets"]
    assert told(patient) == {"right": (5, None), "left": (3, None)}
    assert patient.types("all") == ["evening.outcome", "evening.sets"]
    assert patient.types("1") == ["evening.outcome"]
    assert told(patient) == {"left": (3, 4), "right": (5, 1)}


def test_the_reminder_comes_once_and_the_side_that_is_left_is_asked_about(patient: Patient) -> None:
    patient.clinic.live_to(0, "22:00")
    assert questions(patient) == ["evening.ask", "evening.remind"]
    assert patient.types("right 3, all") == ["evening.outcome", "evening.both"]
    patient.clinic.live_to(1, "18:00")  # the left one stays without an answer
    assert told(patient) == {"right": (3, 4), "left": (None, None)}
    assert [each for each in patient.clinic.notices() if each == "silent"] == []


def test_a_flare_eases_one_side_and_leaves_the_other(patient: Patient) -> None:
    for day in range(20):
        patient.clinic.live_to(day, "19:05")
        patient.types("right 3, left 3, did all")
    before = courses(patient)["left"].episode
    for day in range(20, 26):
        patient.clinic.live_to(day, "19:05")
        patient.types("right 6, left 3, did all")
    after = courses(patient)
    assert after["right"].episode.flared is not None
    assert after["left"].episode.flared is None
    assert after["left"].episode.step >= before.step
    patient.sends("today")
    said = [shown.text for shown in patient.read()[-2:]]
    assert said[0].startswith("Right elbow:")
    assert said[1].startswith("Left elbow:")
    assert "right arm only" in said[0]
    assert "left arm only" in said[1]


@pytest.mark.parametrize("line", ["my hand is numb", "right 3, left 5, and my left hand has gone numb"])
def test_danger_stops_both_once_and_a_look_lets_both_go_on(patient: Patient, line: str) -> None:
    patient.clinic.live_to(0, "19:05")
    kinds = patient.types(line)
    if "sign.which" in kinds:
        kinds = patient.taps_label("Numb or tingling")
    assert kinds.count("danger") == 1
    assert all(each.episode.paused_for for each in courses(patient).values())
    assert patient.clinic.notices().count("danger") == 1
    assert patient.person().next_due is None
    assert patient.sends("today") == ["danger.still"]


def test_an_injection_unloads_both(patient: Patient) -> None:
    patient.types("had a cortisone injection in my elbow today")
    assert all(each.episode.unloaded_until for each in courses(patient).values())
    assert patient.clinic.notices() == ["injection"]


def test_a_set_is_counted_for_the_arm_that_is_chosen_and_for_no_other(patient: Patient) -> None:
    assert patient.sends("set") == ["which_side.set"]
    patient.taps_label("Left elbow")
    with patient.clinic.store.reading() as uow:
        guided = uow.sets.open_of(patient.person().id)
    assert guided
    assert guided.course_id == courses(patient)["left"].id
    assert {each.side for each in guided.plan.phases if each.side} == {"left"}
    assert guided.state is GuidedState.STARTING


def test_a_change_is_asked_of_which_side(patient: Patient) -> None:
    patient.clinic.live_to(0, "19:05")
    patient.types("right 3, left 5, did all")
    assert patient.sends("change") == ["which_side.change"]
    assert patient.taps_label("Right elbow") == ["change.ask"]
    assert patient.types("4, did all") == ["evening.outcome"]
    assert told(patient) == {"right": (4, 4), "left": (5, 4)}
    patient.types("right 3, left 6, did all")  # who names the sides again changes both
    assert told(patient) == {"right": (3, 4), "left": (6, 4)}
    patient.clinic.live_to(1, "19:05")
    patient.sends("change")
    assert patient.taps_label("Left elbow") == ["change.ask"]  # of the evening before, as /change does


def test_an_edited_line_changes_both(patient: Patient) -> None:
    patient.clinic.live_to(0, "19:05")
    patient.types("right 3, left 5, did all")
    number = next(patient.clinic.numbers) - 1
    patient._kinds(Came.EDIT, text="right 2, left 4, did all", message_id=str(number))
    assert told(patient) == {"right": (2, 4), "left": (4, 4)}


def test_days_away_count_for_both(patient: Patient) -> None:
    patient.clinic.live_to(0, "19:05")
    patient.types("right 3, left 5, did all")
    patient.sends("pause")
    patient.clinic.live_to(12, "10:00")
    kinds = patient.sends("resume")
    assert kinds == ["away.back", "away.back", "meanwhile.ask"]
    assert [each.episode.idle_days for each in courses(patient).values()] == [11, 11]
    patient.clinic.live_to(12, "19:05")
    assert questions(patient) == ["evening.ask", "evening.ask"]


def test_everything_of_both_goes_when_it_is_erased(patient: Patient) -> None:
    patient.sends("erase")
    patient.types("erase")
    with patient.clinic.store.reading() as uow:
        assert uow.people.at(CHANNEL, patient.address) is None


def test_the_question_that_is_left_stands_last_and_once(patient: Patient) -> None:
    patient.clinic.live_to(0, "19:05")
    assert patient.types("left 5") == ["evening.sets"]
    assert patient.types("right 3, left did all") == ["evening.outcome", "evening.sets"]
    assert patient.last().startswith("Right elbow:")
    assert patient.types("2") == ["evening.outcome"]
    assert told(patient) == {"right": (3, 2), "left": (5, 4)}


def test_evenings_without_a_word_are_asked_about_and_told_once(patient: Patient) -> None:
    patient.clinic.live_to(0, "19:05")
    patient.types("right 3, left 5, did all")
    patient.clinic.live_to(9, "18:00")
    kinds = [message.kind for _, message, _ in patient.clinic.delivered]
    assert kinds.count("silence.ask") == kinds.count("silence.again") == 1
    assert patient.clinic.notices().count("silent") == 1
    patient.clinic.live_to(10, "19:05")
    assert {each.episode.silent_days for each in courses(patient).values()} == {9}


def test_who_speaks_first_of_one_side_is_asked_about_the_other_at_once_and_not_again(patient: Patient) -> None:
    patient.clinic.live_to(1, "12:00")
    assert patient.types("left 5, did all") == ["evening.outcome", "evening.both"]
    assert patient.last().startswith("Right elbow:")
    before = len(questions(patient))
    patient.clinic.live_to(1, "20:00")
    assert len(questions(patient)) == before
    assert patient.types("3, did 2") == ["evening.outcome"]
    assert told(patient) == {"right": (3, 2), "left": (5, 4)}


def test_signs_that_are_asked_about_stay_open_while_the_other_side_is_answered(patient: Patient) -> None:
    patient.clinic.live_to(0, "19:05")
    patient.types("right 9, did all")
    assert patient.dialogue().flow == "red_flags"
    patient.types("left 2, did all")
    assert patient.dialogue().flow == "red_flags"
    assert patient.types("no") == ["red_flags.none"]
    found = courses(patient)
    assert [each.episode.signs_asked for each in found.values()] == [None, None]
    patient.clinic.live_to(1, "19:05")
    patient.types("right 9, left 9, did all")
    assert patient.types("yes")[0] == "danger"
    assert all(each.episode.paused_for for each in courses(patient).values())


def test_a_sign_that_may_have_been_told_of_one_side_comes_before_either_evening(patient: Patient, ear: Ear) -> None:
    ear.hears("odd feeling", maybe=Flag.RED_FLAG)
    patient.clinic.live_to(0, "19:05")
    assert patient.types("r 3 l odd feeling")[-1] == "sign.which"
    assert "with either arm" in patient.last()
    kept = told(patient)
    for word in ("yes", "3"):
        assert patient.types(word) == ["sign.which"]
        assert "Do no sets until you have." in patient.last()
    assert told(patient) == kept
    patient.types("left 4, did all")
    assert told(patient)["left"] == (4, 4), "a whole line is kept"
    assert patient.types("no")[0] == "sign.none"


def test_signs_asked_about_for_one_side_give_no_sets_to_the_other(patient: Patient) -> None:
    patient.clinic.live_to(0, "19:05")
    assert patient.types("right 3, left 9, did all") == ["evening.outcome", "evening.outcome"]
    right, left = (each.text for each in patient.read()[-2:])
    assert "holds of" not in right
    assert "Do no sets with either arm until you have answered." in left
    patient.clinic.live_to(1, "12:00")
    patient.sends("today")
    assert "holds of" not in patient.last()
    assert patient.sends("set") == ["red_flags.once_more"]
    patient.clinic.live_to(1, "19:05")
    assert "rest day" in patient.last()
    assert patient.types("no")[0] == "red_flags.none"
    patient.sends("today")
    assert "holds of" in patient.read()[-1].text


def test_a_line_in_the_morning_is_taken_whole_for_the_evening_that_is_named(patient: Patient) -> None:
    patient.clinic.live_to(1, "08:00")
    assert patient.types("right 3, left 5, did all") == ["evening.which_day"]
    patient.taps_label("Last night")
    assert told(patient) == {"right": (3, 4), "left": (5, 4)}


def test_a_side_that_is_named_without_a_number_turns_no_question_to_it(patient: Patient) -> None:
    patient.clinic.live_to(0, "19:05")
    assert patient.types("my left elbow feels a bit stiff today")[-1] == "evening.again"
    assert patient.last().startswith("Right elbow:")
