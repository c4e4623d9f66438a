"""Links and codes of staff: one use, one week, one role, one inviter, and a person says who it was."""

import datetime as dt
from typing import Any

import pytest

from core.errors import RefusalError
from core.records import Dialogue, Person, Role, Staff, Status
from core.use_cases.joining import accept_any, confirm_patient, confirm_staff, invite, invite_as, role_of
from core.use_cases.staffing import discharge, leave_staff
from tests.builders import CLINIC, a_person
from tests.core.use_cases.world import World


def invited(world: World, staff: Staff, role: Role = Role.PATIENT, note: str = "the cellist") -> str:
    code = f"CODE{world.new_id()}"
    world.do(invite_as, staff, role, code, note)
    return code


def comes(world: World, code: str, **given: Any) -> Person | Staff | None:
    return world.do(accept_any, code, a_person(**{"status": Status.ENROLLING, "name": "Cello 🎻"} | given))


def test_a_patient_waits_until_the_inviter_has_said_that_it_is_the_right_person(world: World):
    ben = world.staff(id="ben")
    person = comes(world, invited(world, ben))
    assert isinstance(person, Person)
    assert (person.status, person.name, person.therapist_id) == (Status.UNCONFIRMED, "the cellist", "ben")
    world.deliver()
    (asked,) = (each for _, each in world.messages("ben"))
    assert (asked.kind, asked.about) == ("therapist.newcomer", person.id)
    assert {name: asked.facts[name] for name in ("called", "name", "role", "person")} == {
        "called": "Cello 🎻", "name": "the cellist", "role": "patient", "person": person.id,
    }  # fmt: skip
    world.do(confirm_patient, ben, person, True)
    world.deliver()
    assert world.person(person.id).status == Status.ENROLLING
    assert world.read(lambda uow: uow.dialogues.get(person.id)) == Dialogue(person.id, "enrol", "consent")
    assert [each.kind for _, each in world.messages(person.id)] == ["enrol.consent"]
    with pytest.raises(RefusalError):
        world.do(confirm_patient, ben, world.person(person.id), False)


def test_of_a_stranger_nothing_stays_but_a_polite_word_and_the_code_stays_used(world: World):
    ben = world.staff(id="ben")
    code = invited(world, ben)
    person = comes(world, code)
    assert isinstance(person, Person)
    world.do(confirm_patient, ben, person, False)
    assert world.read(lambda uow: (uow.people.get(person.id), uow.people.all())) == (None, ())
    world.deliver()
    (farewell,) = (each for _, each in world.sent)
    assert (farewell.kind, farewell.person_id, farewell.address) == ("stranger.not_confirmed", "", person.address)
    assert comes(world, code) is None


def test_a_therapist_waits_for_the_lead_and_then_has_a_digest_planned(world: World):
    lead, second = world.staff(id="lead", lead=True), world.staff(id="second", lead=True, therapist=False)
    world.staff(id="ben")
    code = invited(world, lead, Role.THERAPIST, "Mara")
    mara = comes(world, code)
    assert isinstance(mara, Staff)
    assert (mara.name, mara.lead, mara.therapist, mara.confirmed) == ("Mara", False, True, False)
    assert mara.next_digest is None
    world.deliver()
    assert sorted(each.person_id for _, each in world.sent) == ["lead", "second"]
    world.do(confirm_staff, second, mara, True)
    confirmed = world.read(lambda uow: uow.staff.get(mara.id))
    # 2026-03-02 is a Monday, nine in the morning: the next Monday at half past seven, Lisbon on UTC
    assert (confirmed.confirmed, confirmed.next_digest) == (True, dt.datetime(2026, 3, 9, 7, 30, tzinfo=dt.UTC))
    with pytest.raises(RefusalError):
        world.do(confirm_staff, lead, confirmed, False)


def test_a_stranger_with_a_therapists_code_is_let_go_and_may_come_again_as_somebody_else(world: World):
    lead = world.staff(lead=True)
    chat = {"channel": "terminal", "address": "chat-9"}
    stranger = comes(world, invited(world, lead, Role.THERAPIST, "Mara"), **chat)
    assert isinstance(stranger, Staff)
    gone = world.do(confirm_staff, lead, stranger, False)
    assert (gone.left_at, gone.name) == (world.now, "")
    back = comes(world, invited(world, lead, Role.THERAPIST, "Mara"), **chat)
    assert isinstance(back, Staff)
    assert (back.id, back.left_at, back.confirmed) == (stranger.id, None, False)
    world.do(confirm_staff, lead, back, False)
    assert isinstance(comes(world, invited(world, lead), **chat), Person)


def test_a_leads_code_comes_from_the_machine_alone_and_makes_lead_and_therapist_at_once(world: World):
    world.do(invite, CLINIC, "LEAD", "", 7, Role.LEAD)
    lead = comes(world, "lead", name="Anna")
    assert isinstance(lead, Staff)
    assert (lead.name, lead.lead, lead.therapist, lead.confirmed) == ("Anna", True, True, True)
    assert lead.next_digest
    assert comes(world, "LEAD") is None


@pytest.mark.parametrize("role", [Role.PATIENT, Role.THERAPIST])
@pytest.mark.parametrize(("hours", "works"), [(7 * 24 - 1, True), (7 * 24, False), (7 * 24 + 1, False)])
def test_a_code_of_staff_works_once_and_ends_after_a_week(small: World, role: Role, hours: int, works: bool):
    lead = small.staff(lead=True)
    code = invited(small, lead, role)
    small.now += dt.timedelta(hours=hours)
    assert (small.do(role_of, code) == role) is works
    assert (comes(small, code) is not None) is works
    assert small.do(role_of, code) is None
    assert comes(small, code) is None


def test_a_chat_is_of_staff_or_of_a_patient_never_both(small: World):
    lead = small.staff(lead=True, channel="terminal", address="desk")
    who = small.somebody(channel="terminal", address="sofa")
    for role in (Role.PATIENT, Role.THERAPIST):
        code = invited(small, lead, role)
        for address in ("desk", "sofa"):
            assert comes(small, code, channel="terminal", address=address) is None
        assert small.do(role_of, code) == role  # and it stays good for whom it was meant
    assert small.person(who).status == Status.ACTIVE


def test_codes_of_whoever_has_left_are_void(small: World):
    small.staff(lead=True)
    ben = small.staff()
    code = invited(small, ben)
    small.do(leave_staff, ben)
    assert small.do(role_of, code) is None
    assert comes(small, code) is None


@pytest.mark.parametrize(("therapists", "whose"), [(0, None), (1, "t0"), (2, None)])
def test_from_the_machine_a_patient_begins_at_once_with_the_only_therapist(
    small: World, therapists: int, whose: str | None
):
    for number in range(therapists):
        small.staff(id=f"t{number}")
    small.staff(lead=True, therapist=False), small.staff(confirmed=False)
    small.do(invite, CLINIC, "CODE", "the bricklayer")
    person = comes(small, "code")
    assert isinstance(person, Person)
    assert (person.status, person.therapist_id, person.name) == (Status.ENROLLING, whose, "the bricklayer")


@pytest.mark.parametrize("note", ["", "   ", "x" * 61])
def test_an_invitation_says_in_a_few_words_whom_it_is_for(small: World, note: str):
    with pytest.raises(RefusalError):
        small.do(invite_as, small.staff(), Role.PATIENT, "CODE", note)
    assert small.do(role_of, "CODE") is None


def test_a_discharged_person_is_asked_nothing_more_and_whatever_was_open_is_closed(world: World):
    ben = world.staff(id="ben")
    who = world.somebody(therapist_id="ben")
    world.live_to(0, "19:05")
    world.do(lambda work: work.uow.dialogues.save(Dialogue(who, "away")))
    world.on(who, lambda work, person: discharge(work, ben, person, "is well again"))
    world.live_to(3, "12:00")
    assert [each.kind for _, each in world.messages(who)] == ["evening.ask", "discharged"]
    assert world.read(lambda uow: (uow.diary.course_of(who), uow.dialogues.get(who).flow)) == (None, "")
    with pytest.raises(RefusalError):
        world.do(discharge, ben, world.person(who), "again")
