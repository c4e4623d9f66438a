"""Nudges by day: only if wanted, only while sets of a day are left that are spread over it, never out of hours."""

import datetime as dt

import pytest

from bot.ports import Came
from bot.run.ticks import tick
from core.records import Due
from core.use_cases.guiding import count
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import Desk


def nudged(clinic: Clinics, patient: Patient, day: int) -> list[str]:
    """The times of that day at which a nudge came, lived to its end."""
    before = len(clinic.delivered)
    clinic.live_to(day, "23:00")
    kinds = clinic.delivered[before:]
    return [f"{at:%H:%M}" for at, each, _ in kinds if each.address == patient.address and each.kind == "nudge"]


def wants(patient: Patient, hours: str) -> Patient:
    patient.sends("nudges")
    assert patient.types(hours) == ["nudges.set"]
    return patient


def test_nobody_is_nudged_who_did_not_ask_for_it(clinic: Clinics, patient: Patient):
    assert [nudged(clinic, patient, day) for day in range(3)] == [[], [], []]


def test_they_come_at_the_hours_picked_without_a_sound_and_end_as_easily(clinic: Clinics, patient: Patient):
    wants(patient, "10, 1:30 pm and 5")
    assert "10:00, 13:30, 17:00" in patient.last()
    assert [nudged(clinic, patient, day) for day in range(2)] == [["10:00", "13:30", "17:00"]] * 2
    (shown, *_) = (shown for _, each, shown in clinic.delivered if each.kind == "nudge")
    assert shown.silent
    assert shown.text.startswith("Today has 4 sets, spread over the day. Is now a good time")
    assert not any(shown.silent for _, each, shown in clinic.delivered if each.kind != "nudge")

    patient.sends("nudges")
    patient.taps_label("No nudges")
    assert (patient.last(), nudged(clinic, patient, 2)) == ("That is fine. No nudges by day.", [])


@pytest.mark.parametrize("typed", ["7:30 am", "21:00", "22", "10, 11, 12, 13", "soon", "10, soon", "25", "4, did all"])
def test_hours_that_cannot_be_are_asked_again(patient: Patient, typed: str):
    patient.sends("nudges")
    assert patient.types(typed) == ["nudges.again"]
    assert patient.person().nudges == ()


def test_the_evening_question_ends_the_day_and_what_is_counted_ends_it_too(clinic: Clinics, patient: Patient):
    patient.sends("nudges")
    assert patient.types("20:00") == ["nudges.again"], "it is asked at seven"
    patient.types("10, 12, 18")
    clinic.live_to(0, "11:00")
    assert patient.types("5") == ["evening.sets"], "who speaks of the day already needs no nudge"
    assert nudged(clinic, patient, 0) == []

    clinic.live_to(1, "10:30")
    for number in range(1, 5):
        if number == 3:
            clinic.live_to(1, "12:01")
            assert "4 sets, spread over the day. I have counted 2 so far." in patient.last()
        patient.sends("set")
        with clinic.store.writing() as uow:
            (guided,) = [each for each in uow.sets.on(patient.course().id, dt.date(2026, 3, 3)) if not each.counted]
            work = clinic.app.work(uow)
            count(work, patient.person(), patient.course(), guided)
            uow.commit()
        patient.types("done")
    assert nudged(clinic, patient, 1) == [], "four of four are counted"


def test_what_is_left_is_told_and_the_rest_of_a_day_may_be_let_off(clinic: Clinics, patient: Patient):
    wants(patient, "10, 12, 15")
    clinic.live_to(0, "10:05")
    old = patient.buttons()["Not today"]
    assert patient.taps(old) == ["nudges.not_today"]
    assert nudged(clinic, patient, 0) == []
    assert patient.taps(old) == ["nudges.not_today"]
    assert nudged(clinic, patient, 1) == ["10:00", "12:00", "15:00"]
    assert patient.taps(old) == ["button.old"], "yesterday's says nothing of today"


@pytest.mark.parametrize("said", [["pause"], ["stop"], []])
def test_not_while_away_or_gone_and_again_from_the_return_on(clinic: Clinics, patient: Patient, said: list[str]):
    wants(patient, "10, 12")
    clinic.live_to(0, "11:00")
    if said:
        patient.sends(*said)
    else:
        patient.does(Came.BLOCKED)
    assert [nudged(clinic, patient, day) for day in range(3)] == [[], [], []]
    clinic.live_to(3, "11:00")
    if said:
        patient.sends("resume")
    else:
        patient.does(Came.UNBLOCKED)
    assert nudged(clinic, patient, 3) == ["12:00"]


def test_not_on_a_rest_day_nor_while_stopped_for_danger(clinic: Clinics):
    desk = Desk(clinic, "ben")
    patient = desk.has_many("Cellist")[0]
    wants(patient, "10")
    clinic.live_to(0, "19:05")
    patient.types("9, did all")
    patient.types("no")
    assert nudged(clinic, patient, 1) == [], "a day of rest follows a severe evening"
    clinic.live_to(2, "19:05")
    patient.types("4, did all, my hand is numb")
    assert nudged(clinic, patient, 3) == []


def test_late_is_not_at_all_and_done_twice_is_once(clinic: Clinics, patient: Patient):
    wants(patient, "10, 13")
    clinic.clock.move_to(clinic.clock() + dt.timedelta(hours=2, minutes=1))  # 11:01, an hour after the first
    tick(clinic.app)
    clinic.deliver()
    assert nudged(clinic, patient, 0) == ["13:00"]
    planned = patient.person().next_nudge
    assert planned == dt.datetime(2026, 3, 3, 10, tzinfo=dt.UTC)
    clinic.live_to(1, "10:30")
    with clinic.store.writing() as uow:  # as after a copy that is older by an hour: the same moment once more
        uow.due.put_off(Due.NUDGE, patient.person().id, planned)
        uow.commit()
    tick(clinic.app)
    clinic.deliver()
    assert nudged(clinic, patient, 1) == ["13:00"]


def test_two_sides_are_nudged_about_in_one_message(clinic: Clinics):
    both = Patient(clinic).enrols("yes", "yes", "no", "no", "no", "no", "both", "3", "5", "yes", "19:00")
    wants(both, "10, 13")
    assert nudged(clinic, both, 0) == ["10:00", "13:00"]
