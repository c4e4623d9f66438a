"""Links of every role in the chat, and whoever is not a patient yet, or not any more."""

import pytest

from bot.conversation.commands import COMMANDS, THEIR_OWN
from bot.ports import Came
from core.records import Role, Status
from core.use_cases.joining import invite
from core.use_cases.staffing import discharge
from tests.bot.conversation.chat import CLINIC, Clinics, Patient
from tests.bot.conversation.staff.desk import Desk, whole

OUTSIDE = {Status.UNCONFIRMED: "newcomer.still", Status.DISCHARGED: "discharged.still"}
PATIENT_TAPS = ("1.f.enrol.consent.yes", "1.p.id-1.4", "1.f.away.7", "1.f.erase.yes", "1.m.stop", "1.m.resume", "junk")


@pytest.fixture(params=list(OUTSIDE), ids=lambda status: status.value)
def outsider(request: pytest.FixtureRequest, ben: Desk) -> Patient:
    """Somebody who waits to be confirmed, or was discharged."""
    if request.param == Status.UNCONFIRMED:
        newcomer = Patient(ben.clinic, "newcomer")
        newcomer.sends("start", ben.code("the cellist"))
        return newcomer
    patient = ben.has_many("Cellist")[0]
    with ben.clinic.store.writing() as uow:
        discharge(ben.clinic.app.work(uow), ben.me, patient.person(), "is well again")
        uow.commit()
    ben.clinic.deliver()
    return patient


def test_a_link_a_yes_and_the_enrolment_begins(clinic: Clinics, ben: Desk):
    newcomer = Patient(clinic, "newcomer")
    assert newcomer.sends("start", ben.code("the cellist")) == ["newcomer.wait"]
    assert "the cellist" in ben.last()
    before = len(clinic.delivered)
    ben.tap_about("c", newcomer)
    kinds = [message.kind for _, message, _ in clinic.delivered[before:] if message.address == "newcomer"]
    assert kinds == ["enrol.consent"]
    assert newcomer.types("yes") == ["enrol.fit"]


def test_a_stranger_is_told_politely_forgotten_and_gets_the_way_in_again(clinic: Clinics, ben: Desk):
    stranger = Patient(clinic, "stranger")
    code = ben.code("the cellist")
    stranger.sends("start", code)
    ben.tap_about("s", stranger)
    assert "did not know you" in stranger.last()
    assert clinic.snapshot() == {}
    assert stranger.types("hello") == ["stranger.way_in"]
    assert stranger.sends("start", code) == ["stranger.bad_code"]


def test_outside_the_programme_only_their_own_data_is_theirs_to_ask_for(clinic: Clinics, outsider: Patient):
    status = outsider.person().status
    before = whole(clinic)
    for command in [*COMMANDS, "start"]:
        answers = outsider.sends(command)
        if command in THEIR_OWN:
            assert answers == ["erase.ask" if command == "erase" else command]
        else:
            assert answers == [OUTSIDE[status]]
        assert whole(clinic) == before, command


def test_outside_the_programme_nothing_typed_tapped_or_left_open_changes_where_they_stand(
    clinic: Clinics, outsider: Patient
):
    status = outsider.person().status
    before = whole(clinic)
    for text in ("4, all", "yes", "stop", "resume", "I am back", "/away"):
        assert outsider.types(text) == [OUTSIDE[status]]
    for data in PATIENT_TAPS:
        assert outsider.taps(data) in (["button.old"], [OUTSIDE[status]])
    for came in (Came.OTHER, Came.EDIT, Came.BLOCKED, Came.UNBLOCKED):
        outsider.does(came, text="4")
    outsider.sends("erase")
    outsider.types("no")
    assert whole(clinic) == before
    clinic.live_to(3, "12:00")
    assert outsider.person().status == status


def test_danger_is_heard_outside_the_programme_told_to_the_therapist_and_opens_no_way_in(
    clinic: Clinics, ben: Desk, outsider: Patient
):
    status = outsider.person().status
    assert outsider.types("I have crushing chest pain and cannot breathe") == ["danger"]
    assert "112" in outsider.last()
    assert clinic.notices() == ["danger"]
    assert "crushing chest pain" in ben.last()
    assert outsider.person().status == status


def test_outside_the_programme_they_can_erase_themselves(clinic: Clinics, outsider: Patient):
    outsider.sends("erase")
    assert outsider.taps("1.f.erase.yes") == ["erase.done"]
    assert clinic.snapshot() == {}
    assert outsider.types("hello") == ["stranger.way_in"]


def test_a_link_opened_with_the_wrong_account_says_so_and_stays_good(
    clinic: Clinics, anna: Desk, ben: Desk, cook: Patient
):
    for role in (Role.PATIENT, Role.THERAPIST):
        code = (anna if role == Role.THERAPIST else ben).code("somebody", role)
        before = whole(clinic)
        assert ben.sends("start", code) == ["start.other_account"]
        assert cook.sends("start", code) == ["start.other_account"]
        assert whole(clinic) == before
        newcomer = Patient(clinic, f"new {role.value}")
        expected = "newcomer.wait" if role == Role.PATIENT else "therapist.unconfirmed"
        assert newcomer.sends("start", code) == [expected]
        assert cook.sends("start", code) == ["help.menu"]  # used up: a code means nothing any more
        assert ben.sends("start", code) == ["therapist.help"]


def test_a_therapist_is_let_in_by_the_lead_and_somebody_who_left_is_a_stranger(clinic: Clinics, anna: Desk):
    mara = Patient(clinic, "mara")
    assert mara.types(anna.code("Mara", Role.THERAPIST)) == ["therapist.unconfirmed"]
    assert mara.sends("caseload") == ["therapist.unconfirmed"]
    anna.taps_label(next(label for label in anna.buttons() if label.startswith("Yes")))
    assert "therapist.welcome" in [message.kind for _, message, _ in clinic.delivered]
    assert mara.sends("caseload") == ["therapist.caseload"]
    gone = Desk(clinic, "gone", left_at=clinic.clock())
    assert gone.sends("caseload") == ["stranger.way_in"]


def test_the_first_link_makes_a_lead_who_can_work_at_once(clinic: Clinics):
    with clinic.store.writing() as uow:
        invite(clinic.app.work(uow), CLINIC, "FIRST", "", 7, Role.LEAD)
        uow.commit()
    lead = Patient(clinic, "first")
    assert lead.sends("start", "FIRST") == ["therapist.welcome"]
    assert "lead of this clinic" in lead.last()
    assert lead.sends("team") == ["therapist.team"]
    assert lead.sends("invite", "the pastry cook") == ["therapist.invited", "invitation", "invitation.sheet"]
