"""Danger reaches somebody: whoever is responsible now, the leads when it takes too long, and loudly when nobody can."""

import datetime as dt
from dataclasses import replace

import pytest

from core.model import NoticeKind
from core.records import Due, Outgoing, Staff
from core.use_cases.due import do_due, plan_again
from core.use_cases.noticing import tell_therapist, telling
from core.use_cases.rights import DEALT_WITH, audit, open_notices
from core.use_cases.staffing import discharge, hand_over, leave_staff, shut_out, staff_back, staff_gone
from tests.builders import a_message
from tests.core.use_cases.world import Sent, World, tell_danger

HOUR = dt.timedelta(hours=1)


def a_clinic_of_two(small: World) -> tuple[Staff, Staff, str]:
    ben, lead = small.staff(id="ben"), small.staff(id="lead", lead=True)
    return ben, lead, small.somebody(therapist_id="ben", name="Pastry cook")


def got(small: World, staff_id: str) -> list[Sent]:
    """The notices of danger that have reached them."""
    small.deliver()
    told = (each for _, each in small.messages(staff_id, "therapist.notice"))
    return [each for each in told if each.facts["notice"]["kind"] == "danger"]


def look(small: World) -> None:
    small.do(do_due, Due.DANGER)


def test_a_therapist_whose_chat_is_gone_is_marked_and_the_leads_get_what_is_open(small: World):
    ben, _, who = a_clinic_of_two(small)
    small.on(who, tell_therapist, NoticeKind.CLINICAL_QUESTION, "a question")
    tell_danger(small, who)
    small.do(staff_gone, ben)

    assert len(got(small, "lead")) == 1
    kinds = [each.facts["notice"]["kind"] for _, each in small.messages("lead", "therapist.notice")]
    assert sorted(kinds) == ["clinical_question", "danger"]
    ((_, told),) = small.messages("lead", "therapist.gone")
    assert told.facts["count"] == 1
    assert small.messages("ben") == [], "what waited for the chat that is gone is cancelled"
    marked = small.read(lambda uow: uow.staff.get("ben"))
    assert marked
    assert marked.unreachable_since == small.now

    tell_danger(small, who)
    assert (len(got(small, "lead")), len(got(small, "ben"))) == (2, 0)
    small.do(staff_back, marked)
    tell_danger(small, who)
    assert (len(got(small, "lead")), len(got(small, "ben"))) == (2, 1)


def test_danger_that_reached_nobody_is_told_to_the_lead_after_the_clinic_s_hours(small: World):
    _, _, who = a_clinic_of_two(small)
    clinic = small.read(lambda uow: uow.clinics.get())
    assert clinic
    small.do(lambda work: work.uow.clinics.save(replace(clinic, undelivered_hours=3)))
    tell_danger(small, who)

    small.now += 3 * HOUR - dt.timedelta(minutes=1)
    look(small)
    assert len(small.read(lambda uow: uow.outbox.ways_of(small.notices("danger")[0].id))) == 1
    small.now += dt.timedelta(minutes=1)
    look(small)
    (late,) = got(small, "lead")
    assert (late.facts["late"], late.facts["hours"]) == ("undelivered", 3)
    look(small)
    assert len(got(small, "lead")) == 1


def test_danger_about_which_nothing_was_done_is_told_to_the_lead_once(small: World):
    _, _, who = a_clinic_of_two(small)
    tell_danger(small, who)
    assert len(got(small, "ben")) == 1
    for _ in range(12):
        small.now += HOUR
        look(small)
    (late,) = got(small, "lead")
    assert (late.facts["late"], late.facts["hours"]) == ("open", 4)
    assert len(got(small, "ben")) == 1


def test_danger_that_was_dealt_with_is_looked_at_no_more(small: World):
    ben, _, who = a_clinic_of_two(small)
    tell_danger(small, who)
    got(small, "ben")
    small.now += HOUR
    small.on(who, lambda work, person: audit(work, ben, DEALT_WITH, person))
    small.now += 4 * HOUR
    look(small)

    assert got(small, "lead") == []
    assert small.notices("danger")[0].look_at is None


def test_danger_that_nobody_can_be_told_is_kept_in_sight_until_somebody_comes(small: World):
    who = small.somebody(therapist_id=None)
    tell_danger(small, who)
    look(small)
    assert small.on(who, telling) == "nobody"
    untold = small.read(lambda uow: uow.figures.queues(small.now)).untold
    assert (untold.waiting, untold.since) == (1, small.now)

    small.staff(id="lead", lead=True)
    small.now += HOUR
    look(small)
    assert small.on(who, telling) == "clinic_being"
    assert len(got(small, "lead")) == 1
    assert small.on(who, telling) == "clinic_told"
    assert small.read(lambda uow: uow.figures.queues(small.now)).untold.waiting == 0


def test_whoever_is_shut_out_gets_nothing_more_and_their_open_danger_goes_to_the_leads(small: World):
    ben, _, who = a_clinic_of_two(small)
    tell_danger(small, who)
    small.do(lambda work: shut_out(work, ben))

    assert (len(got(small, "ben")), len(got(small, "lead"))) == (0, 1)


def test_a_handed_over_patient_s_open_danger_goes_to_the_colleague(small: World):
    _, lead, who = a_clinic_of_two(small)
    mara = small.staff(id="mara")
    tell_danger(small, who)
    small.now += dt.timedelta(minutes=1)
    small.on(who, lambda work, person: hand_over(work, lead, person, mara))

    assert (len(got(small, "ben")), len(got(small, "mara"))) == (0, 1)


def test_what_waits_for_a_chat_is_cancelled_when_its_owner_leaves_or_is_discharged(small: World):
    ben, _, who = a_clinic_of_two(small)
    small.on(who, lambda work, person: work.uow.outbox.put(_line(person.id, "a nudge")))
    small.on(who, lambda work, person: discharge(work, ben, person, "done"))
    small.do(lambda work: work.uow.outbox.put(_line("ben", "a digest")))
    small.do(leave_staff, ben)
    small.deliver()

    assert [each.kind for _, each in small.messages(who)] == ["discharged"]
    assert small.messages("ben") == []


@pytest.mark.parametrize("raised", ["before", "meanwhile"])
def test_a_clock_that_was_ahead_when_danger_was_told_or_looked_at_hides_and_settles_nothing(
    small: World, raised: str
):
    ahead = dt.timedelta(days=400)
    _, _, who = a_clinic_of_two(small)
    if raised == "before":
        tell_danger(small, who)
    small.now += ahead
    if raised == "meanwhile":
        tell_danger(small, who)
    look(small)
    small.now -= ahead
    assert small.on(who, open_notices), "shown, before anything is planned again"

    small.do(plan_again)
    look(small)
    assert len(got(small, "ben")) == 1
    assert got(small, "lead") == [], "as new as it is"
    small.now += 4 * HOUR
    look(small)
    (late,) = got(small, "lead")
    assert (late.facts["late"], late.facts["hours"]) == ("open", 4)


def test_what_was_done_under_a_clock_that_was_ahead_answers_no_danger_that_comes_afterwards(small: World):
    ben, _, who = a_clinic_of_two(small)
    small.now += dt.timedelta(days=400)
    small.on(who, lambda work, person: audit(work, ben, DEALT_WITH, person))
    small.now -= dt.timedelta(days=400)
    tell_danger(small, who)
    assert small.on(who, open_notices)
    small.now += 4 * HOUR
    look(small)
    assert len(got(small, "lead")) == 1


def _line(who: str, key: str) -> Outgoing:
    return a_message(person_id=who, key=key)
