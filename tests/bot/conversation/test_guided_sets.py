"""A set that is counted through, as the person lives it: counted once, stopped at a word, known in the evening."""

import datetime as dt
from dataclasses import replace

import pytest

from core.guided import Cue, PhaseKind
from core.records import CheckInState, GuidedSet, GuidedState
from core.use_cases.guiding import go_on
from tests.bot.conversation.chat import Clinics, Patient


@pytest.fixture
def cellist(clinic: Clinics) -> Patient:
    """On the second day, in the morning: four holds of 30 seconds, both arms, spread over the day."""
    patient = Patient(clinic).enrols()
    clinic.live_to(1, "10:00")
    return patient


def seconds_pass(patient: Patient, seconds: float, *, unseen: bool = False) -> list[str]:
    """Time goes by and the set is counted on, or nobody counts meanwhile; what its message said, one line each."""
    clinic, said = patient.clinic, []
    until = clinic.clock() + dt.timedelta(seconds=seconds)
    while not unseen:
        with clinic.store.writing() as uow:
            moment = uow.sets.next_at()
            if moment is None or moment > until:
                break
            clinic.clock.move_to(max(moment, clinic.clock()))
            which = uow.sets.due(clinic.clock())
            shown = go_on(clinic.app.work(uow), which or "")
            uow.commit()
        clinic.deliver()
        if shown:
            cue = shown.facts["cue"]
            said.append(f"{shown.guided.plan.phases[cue.phase].act} {cue.left}" if isinstance(cue, Cue) else "")
    clinic.clock.move_to(until)
    return said


def sets(patient: Patient) -> list[GuidedSet]:
    with patient.clinic.store.reading() as uow:
        return list(uow.sets.on(patient.course().id, patient.clinic.clock().date()))


def test_a_set_is_counted_arm_by_arm_and_counts_by_itself_once(cellist: Patient):
    cellist.sends("today")
    # how it looks before the very first, its tones before the first of a day
    assert cellist.taps_label("Start a set") == ["guided.look", "guided.clip", "guided.run"]
    assert "right arm" in cellist.last()
    assert "palm looks down" in cellist.last()  # which way the hand lies is said while it is done
    said = seconds_pass(cellist, 90)
    holds = [each for each in said if each.startswith("hold")]
    assert holds == [f"hold {left}" for left in (30, 20, 10, 5, 3, 2, 1)] * 2
    assert cellist.last().startswith("Set 1 of 4 is done. It counts.")
    (one,) = sets(cellist)
    assert (one.state, one.counted, one.number) == (GuidedState.DONE, True, 1)
    assert seconds_pass(cellist, 3600) == []
    assert cellist.sends("set") == ["guided.run"]


def test_the_evening_comes_half_answered_and_the_pain_alone_will_do(cellist: Patient, clinic: Clinics):
    for _ in range(2):
        cellist.sends("set")
        seconds_pass(cellist, 90)
    clinic.live_to(1, "19:00")
    assert "2 of 4 sets are counted already" in cellist.last()
    cellist.taps_label("3")
    check_in = cellist.check_in(1)
    assert (check_in.pain, check_in.sets_done, check_in.sets_guided) == (3, 2, 2)
    assert check_in.state is CheckInState.ANSWERED


def test_whoever_did_more_says_so_as_ever(cellist: Patient, clinic: Clinics):
    cellist.sends("set")
    seconds_pass(cellist, 90)
    clinic.live_to(1, "19:00")
    cellist.types("3, did 4")
    check_in = cellist.check_in(1)
    assert (check_in.pain, check_in.sets_done, check_in.sets_guided) == (3, 4, 1)


def test_the_button_for_other_sets_asks_for_both_again(cellist: Patient, clinic: Clinics):
    cellist.sends("set")
    seconds_pass(cellist, 90)
    clinic.live_to(1, "19:00")
    cellist.taps_label("I did more or fewer sets")
    cellist.taps_label("3")
    cellist.taps_label("4")
    assert (cellist.check_in(1).pain, cellist.check_in(1).sets_done) == (3, 4)


def test_a_silent_evening_keeps_the_sets_and_stays_silent(cellist: Patient, clinic: Clinics):
    cellist.sends("set")
    seconds_pass(cellist, 90)
    clinic.live_to(2, "08:00")
    check_in = cellist.check_in(1)
    assert (check_in.state, check_in.pain, check_in.sets_done) == (CheckInState.SILENT, None, 1)


def test_a_set_after_the_answer_is_added_to_it_but_never_beyond_what_was_told(cellist: Patient, clinic: Clinics):
    cellist.sends("set")
    seconds_pass(cellist, 90)
    clinic.live_to(1, "19:00")
    cellist.types("3, did 2")
    for expected in (2, 3):  # the second one may be what was meant already
        cellist.sends("set")
        seconds_pass(cellist, 90)
        assert cellist.check_in(1).sets_done == expected
    assert cellist.check_in(1).sets_guided == 3


def test_what_was_not_done_is_taken_back(cellist: Patient, clinic: Clinics):
    cellist.sends("set")
    seconds_pass(cellist, 90)
    undo = cellist.buttons()["I did not do it"]
    assert cellist.taps(undo) == ["guided.undone"]
    assert cellist.taps(undo) == ["button.old"]
    clinic.live_to(1, "19:00")
    assert cellist.check_in(1).sets_done is None
    cellist.sends("set")
    assert cellist.last().startswith("Set 1 of 4")  # it is still to be done


def test_a_second_start_is_refused_while_one_is_running(cellist: Patient):
    cellist.sends("set")
    seconds_pass(cellist, 20)
    assert cellist.sends("set") == ["guided.no.running"]
    seconds_pass(cellist, 90)
    assert [each.counted for each in sets(cellist)] == [True]


def test_a_word_to_the_set_stops_it_and_means_nothing_else(cellist: Patient):
    asked = {"stop": "guided.stopped", "It hurts!": "guided.hurts", "done": "guided.interrupted"}
    for says, asks in asked.items():
        cellist.sends("set")
        seconds_pass(cellist, 20)
        assert cellist.types(says) == [asks]
        assert cellist.person().status.value == "active"  # "stop" is said to the set, not to the messages
    seconds_pass(cellist, 200)
    assert [(each.state, each.counted) for each in sets(cellist)] == [(GuidedState.STOPPED, False)] * 3
    assert cellist.check_in(1) is None  # and "done" is not "all sets of today"


def test_another_message_stops_the_set_is_answered_and_asks_what_became_of_it(cellist: Patient):
    cellist.sends("set")
    seconds_pass(cellist, 20)
    assert cellist.sends("why") == ["why", "guided.interrupted"]
    assert cellist.taps_label("I did it: count it") == ["guided.counted"]
    assert [each.counted for each in sets(cellist)] == [True]


def test_danger_in_the_middle_of_a_set_is_heard_as_always_and_nothing_is_asked_of_the_set(cellist: Patient):
    cellist.sends("set")
    seconds_pass(cellist, 20)
    again = cellist.buttons()["It hurts"]
    assert cellist.types("I have a crushing pain in my chest and cannot breathe") == ["danger"]
    seconds_pass(cellist, 200)
    assert [(each.state, each.counted) for each in sets(cellist)] == [(GuidedState.STOPPED, False)]
    assert cellist.sends("set") == ["danger.still"]
    assert cellist.taps(again) == ["button.old"]


def test_it_hurts_is_asked_about_with_the_most_that_the_exercise_allows(cellist: Patient):
    leads_to = {
        "Up to 2 of 10": "guided.hurts.little",
        "More than 2": "guided.hurts.much",
        "Sharp, numb or weak": "sign.which",
    }
    for answer, asks in leads_to.items():
        cellist.sends("set")
        seconds_pass(cellist, 20)
        assert cellist.taps_label("It hurts") == ["guided.hurts"]
        assert cellist.taps_label(answer) == [asks]


def test_after_a_short_gap_it_goes_on_and_counts_at_the_right_second(cellist: Patient):
    cellist.sends("set")
    seconds_pass(cellist, 15)
    seconds_pass(cellist, 8, unseen=True)  # as a process takes that is started again
    seconds_pass(cellist, 56)
    assert [each.state for each in sets(cellist)] == [GuidedState.RUNNING]
    seconds_pass(cellist, 2)
    (one,) = sets(cellist)
    assert (one.state, one.counted) == (GuidedState.DONE, True)


def test_after_a_long_gap_it_says_so_and_asks_and_counts_nothing_by_itself(cellist: Patient):
    cellist.sends("set")
    seconds_pass(cellist, 15)
    seconds_pass(cellist, 60, unseen=True)
    seconds_pass(cellist, 1)
    assert "cut off in the middle" in cellist.last()
    assert [(each.state, each.counted) for each in sets(cellist)] == [(GuidedState.CUT, False)]
    count = cellist.buttons()["I did it: count it"]
    assert cellist.taps(count) == ["guided.counted"]
    assert cellist.taps(count) == ["button.old"]
    assert sum(each.counted for each in sets(cellist)) == 1


def test_a_set_whose_message_never_arrives_is_nobodys(cellist: Patient, clinic: Clinics, monkeypatch):
    monkeypatch.setattr(clinic, "deliver", lambda: None)
    cellist.sends("set")
    seconds_pass(cellist, 120)
    assert [(each.state, each.counted) for each in sets(cellist)] == [(GuidedState.LOST, False)]


def test_when_all_are_done_no_more_is_begun_and_a_rest_day_has_none(cellist: Patient, clinic: Clinics):
    for _ in range(4):
        cellist.sends("set")
        seconds_pass(cellist, 90)
    assert "all the sets for today" in cellist.last()
    assert cellist.sends("set") == ["guided.no.all_done"]
    clinic.live_to(1, "19:00")
    cellist.taps_label("9")  # then the next day is a rest day
    cellist.taps_label("No")
    clinic.live_to(2, "10:00")
    assert cellist.sends("set") == ["guided.no.rest_day"]


def test_lowering_is_told_in_words_and_rests_before_the_next(clinic: Clinics):
    patient = Patient(clinic).enrols()
    course = patient.course()
    with clinic.store.writing() as uow:
        uow.diary.save_course(replace(course, episode=replace(course.episode, step=4, load_g=500)))
        uow.commit()
    clinic.live_to(1, "10:00")
    patient.sends("today")
    patient.taps_label("Start a lowering set")
    assert "with 0.5 kg" in patient.last()
    assert "Your other hand brings the weight up" in patient.last()
    said = seconds_pass(patient, 75)
    assert said.count("lower 3") == 10  # five a side
    assert said[-1].startswith("rest")
    assert [each.counted for each in sets(patient)] == [True]  # while it rests already
    seconds_pass(patient, 60)
    assert "Your rest is over" in patient.last()
    patient.sends("today")
    patient.taps_label("Start a hold")
    assert patient.last().startswith("Set 4 of 5")
    assert any(each.act is PhaseKind.HOLD for each in sets(patient)[-1].plan.phases)
