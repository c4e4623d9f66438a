"""Whoever left or was discharged begins anew by a new invitation; until it is confirmed nothing of them moves."""

import pytest

from core.records import Role, Status
from core.use_cases.staffing import shut_out
from tests.bot.conversation.chat import Clinics, Patient
from tests.bot.conversation.staff.desk import FIRST_ANSWERS, Desk, days, whole

DISCHARGED, LEFT = Status.DISCHARGED, Status.LEFT


@pytest.fixture(params=[DISCHARGED, LEFT])
def former(request: pytest.FixtureRequest, clinic: Clinics, ben: Desk, cook: Patient) -> Patient:
    """Ben's patient of two evenings, who has left or was discharged."""
    days(clinic, {cook: ["4, all", "3, all"]})
    if request.param == LEFT:
        cook.sends("stop")
    else:
        ben.tap_about("k", cook)
        ben.types("is well again")
        ben.says_yes()
    assert cook.person().status == request.param
    return cook


def diary_length(clinic: Clinics, patient: Patient) -> int:
    with clinic.store.reading() as uow:
        return len(uow.diary.answers(patient.person().id))


@pytest.mark.parametrize("typed", [False, True])
def test_a_new_code_of_the_same_therapist_leads_through_consent_and_screening_to_a_new_course(
    clinic: Clinics, ben: Desk, former: Patient, typed: bool
):
    before, code = whole(clinic), ben.code("the pastry cook, right")
    assert (former.types(code) if typed else former.sends("start", code)) == ["newcomer.wait"]
    assert whole(clinic) == before, "nothing moves before somebody has said who it is"
    assert "the pastry cook, right" in ben.last()

    with clinic.store.reading() as uow:
        old = uow.diary.courses(former.person().id)
    answered = diary_length(clinic, former)
    confirm = next(data for data in ben.buttons().values() if data.startswith("1.t.c."))
    assert ben.taps(confirm) == ["therapist.confirmed"]
    assert former.last().count("Do you agree") == 1
    assert (former.person().status, former.person().name) == (Status.ENROLLING, "the pastry cook, right")
    for answer in FIRST_ANSWERS:
        former.types(answer)
    assert former.course().id not in {course.id for course in old}
    assert former.course().episode.started > old[-1].episode.started
    assert diary_length(clinic, former) == answered, "the old diary stays beside it"
    with clinic.store.reading() as uow:
        assert [course.ended_at is None for course in uow.diary.courses(former.person().id)] == [False, True]
    assert former.types("4, all") in (["evening.outcome"], ["today"])


def test_who_is_not_the_one_stays_as_they_were_and_keeps_their_diary(clinic: Clinics, ben: Desk, former: Patient):
    before = whole(clinic)
    former.sends("start", code := ben.code("somebody else"))
    assert ben.tap_about("s", former) == ["therapist.not_returned"]
    assert "nothing has changed" in former.last()
    assert whole(clinic) == before
    assert ben.tap_about("c", former) == ["therapist.refused"], "settled once"
    assert former.sends("start", code) != ["newcomer.wait"], "used up"


def test_a_colleague_sees_nothing_of_the_old_diary_before_they_have_confirmed(
    clinic: Clinics, ben: Desk, former: Patient
):
    cleo = Desk(clinic, "cleo")
    former.sends("start", cleo.code("Cook"))
    for verb in "odfxn":
        assert cleo.tap_about(verb, former) == ["therapist.refused"]
    dora = Desk(clinic, "dora")
    assert dora.tap_about("c", former) == ["therapist.refused"]
    assert former.person().therapist_id == ben.me.id

    assert cleo.tap_about("c", former) == ["therapist.confirmed"]
    assert former.person().therapist_id == cleo.me.id
    assert ben.tap_about("o", former) == ["therapist.refused"]


def test_the_lead_may_say_who_it_is(anna: Desk, ben: Desk, former: Patient):
    former.sends("start", ben.code("Cook"))
    assert anna.tap_about("c", former) == ["therapist.confirmed"]
    assert former.person().therapist_id == ben.me.id


def test_where_the_inviter_has_left_meanwhile_they_come_to_the_leads(
    clinic: Clinics, anna: Desk, ben: Desk, former: Patient
):
    former.sends("start", ben.code("Cook"))
    with clinic.store.writing() as uow:
        shut_out(clinic.app.work(uow), ben.me)
        uow.commit()
    clinic.deliver()
    assert anna.tap_about("c", former) == ["therapist.confirmed"]
    assert former.person().therapist_id is None
    anna.sends("caseload")
    assert "Cook" in anna.last()


def test_an_invitation_of_the_command_line_lets_them_in_at_once(clinic: Clinics, ben: Desk, former: Patient):
    assert former.sends("start", clinic.invite()) == ["enrol.consent"]
    person = former.person()
    assert (person.status, person.therapist_id, person.name) == (Status.ENROLLING, ben.me.id, "Pastry cook")
    assert former.types("yes") == ["enrol.fit"]


def test_a_code_for_staff_or_a_stale_one_brings_nobody_back(
    clinic: Clinics, anna: Desk, ben: Desk, former: Patient
):
    before = whole(clinic)
    assert former.sends("start", anna.code("somebody", Role.THERAPIST)) == ["start.other_account"]
    stale = ben.code("Cook")
    clinic.clock.move_to(clinic.clock().replace(day=20))
    former.sends("start", stale)
    assert former.person().status in (before["people"][former.person().id]["person"]["status"], Status.ACTIVE)
    with clinic.store.reading() as uow:
        assert len(uow.diary.courses(former.person().id)) == 1
        assert len(uow.people.all()) == 1


def test_leaving_once_more_needs_one_more_invitation(ben: Desk, former: Patient):
    former.sends("start", ben.code("Cook"))
    ben.tap_about("c", former)
    ben.tap_about("k", former)
    ben.types("moved away")
    ben.says_yes()
    assert former.person().status == DISCHARGED
    assert ben.tap_about("c", former) == ["therapist.refused"], "the older invitation counts no more"
    former.sends("start", ben.code("Cook"))
    assert ben.tap_about("c", former) == ["therapist.confirmed"]


@pytest.mark.parametrize("status", [DISCHARGED, LEFT])
def test_the_button_of_their_first_coming_brings_nobody_back(clinic: Clinics, ben: Desk, status: Status):
    cellist = ben.has("Cellist")
    days(clinic, {cellist: ["4, all"]})
    if status == LEFT:
        cellist.sends("stop")
    else:
        ben.tap_about("k", cellist)
        ben.types("is well again")
        ben.says_yes()
    before = whole(clinic)
    for verb in "cs":
        assert ben.tap_about(verb, cellist) == ["therapist.refused"]
    assert whole(clinic) == before
