"""The way in and the way out: invitations, screening, the first day, erasing."""

import datetime as dt

import pytest

from core.errors import HoldlowerError
from core.model import Flag
from core.records import Dialogue, Status
from core.use_cases.answering import Said
from core.use_cases.coming_back import clear, come_back
from core.use_cases.enrolling import begin_course, enrolment_of, put_before, screen_out
from core.use_cases.joining import accept_any, invite
from core.use_cases.leaving import leave
from core.use_cases.reporting import danger_told
from tests.builders import CLINIC, a_person
from tests.core.use_cases.world import MORNING, World

CODE = "HJ4K-9TXW-2RMB"


def newcomer(name: str = "Ilse"):
    return a_person(status=Status.ENROLLING, name=name)


@pytest.mark.parametrize("typed", ["HJ4K-9TXW-2RMB", "hj4k9txw2rmb", " hj4k 9txw 2rmb ", "HJ4K–9TXW–2RMB."])
def test_a_code_lets_one_person_in_however_it_is_spelled(world: World, typed: str):
    world.do(invite, CLINIC, CODE, "the upholsterer")
    first, second = newcomer(), newcomer()
    person = world.do(accept_any, typed, first)
    assert person
    assert person.name == "the upholsterer"
    assert world.do(accept_any, CODE, second) is None
    assert world.read(lambda uow: uow.people.get(second.id)) is None


@pytest.mark.parametrize(("days", "hours", "works"), [(7, -1, True), (7, 0, False), (1, 1, False), (2, -1, True)])
def test_an_invitation_ends_on_its_day(small: World, days: int, hours: int, works: bool):
    small.do(invite, CLINIC, CODE, days=days)
    small.now += dt.timedelta(days=days, hours=hours)
    assert (small.do(accept_any, CODE, newcomer()) is not None) is works


def test_only_a_hash_of_the_code_is_kept(small: World):
    invitation = small.do(invite, CLINIC, CODE)
    assert "HJ4K" not in repr(invitation).upper()
    assert small.do(accept_any, "", newcomer()) is None


def test_two_weeks_pass_after_an_injection_and_it_begins_gently(world: World):
    who = world.somebody(rating=1, wait_days=14)
    course = world.course(who)
    gentle = world.do(lambda work: work.programmes.current.numbered(work.programmes.current.rule.begin.gentle_step))
    assert course.episode.started == MORNING.date() + dt.timedelta(days=14)
    assert course.episode.step == gentle
    world.live_to(14, "18:59")
    assert world.messages(who) == []
    world.live_to(14, "19:00")
    assert len(world.messages(who, "evening.ask")) == 1


@pytest.mark.parametrize(("time", "first"), [("09:00", 0), ("18:00", 0), ("18:01", 1), ("23:30", 1)])
def test_the_first_day_leaves_an_hour_for_its_sets(small: World, time: str, first: int):
    small.at(0, time)
    who = small.somebody()
    assert small.course(who).episode.started == MORNING.date() + dt.timedelta(days=first)
    assert small.person(who).next_date == MORNING.date() + dt.timedelta(days=first)


def test_a_course_does_not_begin_without_a_rating(small: World):
    person = newcomer()
    small.do(lambda work: work.uow.people.save(person))
    with pytest.raises(HoldlowerError, match="whole number from 0 to 10"):
        small.do(begin_course, person, {"side": "left", "rating": "4"})
    assert small.read(lambda uow: uow.diary.course_of(person.id)) is None


def test_danger_before_a_course_screens_out_and_tells_the_therapist(world: World):
    person = newcomer()
    world.do(lambda work: work.uow.people.save(person))
    world.do(danger_told, person, Said(flag=Flag.URGENT, text="chest pain"), world.now)
    assert world.person(person.id).status == Status.SCREENED_OUT
    (notice,) = world.notices("screened_out")
    assert (notice.text, notice.facts["flag"]) == ("chest pain", "urgent")


def test_leaving_and_coming_back_is_no_way_around_the_screening(small: World):
    person = newcomer()
    small.do(lambda work: work.uow.people.save(person))
    screened = small.do(screen_out, person, "signs")
    small.do(leave, screened)
    assert small.person(person.id).status == Status.SCREENED_OUT
    assert [each.kind for each in small.notices("left")] == ["left"]


def test_who_left_before_a_course_began_comes_back_to_the_enrolment(small: World):
    person = newcomer()
    small.do(lambda work: work.uow.people.save(person))
    small.do(leave, person)
    back, decision = small.do(come_back, small.person(person.id))
    assert (back.status, decision) == (Status.ENROLLING, {})


@pytest.mark.parametrize("before", ["", "problem"])
def test_once_cleared_the_enrolment_goes_on_where_it_stood_with_all_that_was_answered(small: World, before: str):
    person = newcomer()
    place = Dialogue(person.id, "enrol", "heart", facts={"wait_days": 14})
    shown = put_before(place, before) if before else place
    small.do(lambda work: (work.uow.people.save(person), work.uow.dialogues.save(shown)))
    small.do(screen_out, person, "surgery")
    small.do(clear, small.person(person.id), "the surgeon agrees")
    assert small.person(person.id).status == Status.ENROLLING
    assert small.read(lambda uow: uow.dialogues.get(person.id)) == place
    small.deliver()
    assert [(each.kind, each.facts["step"]) for _, each in small.messages(person.id)] == [("enrol.cleared", "heart")]


def test_without_a_place_to_go_on_from_consent_comes_first(small: World):
    person = newcomer()
    small.do(lambda work: work.uow.people.save(person))
    small.do(screen_out, person, "signs")
    small.do(clear, small.person(person.id), "looked at")
    assert small.read(lambda uow: uow.dialogues.get(person.id)).step == "consent"


def test_a_question_put_before_another_still_keeps_the_enrolment():
    place = Dialogue("p", "enrol", "rating", facts={"side": "left"})
    assert enrolment_of(put_before(put_before(place, "problem"), "erase")) == place
    assert enrolment_of(Dialogue("p", "time")) is None


def test_erasing_leaves_nothing_of_the_person_and_the_code_stays_used(world: World):
    world.do(invite, CLINIC, CODE, "the cellist")
    person = world.do(accept_any, CODE, newcomer())
    assert person
    world.do(begin_course, person, {"side": "left", "rating": 4})
    world.live_to(0, "19:10")
    world.answer(person.id, 8, 99, message_id="7", text="")
    world.on(person.id, danger_told, Said(flag=Flag.RED_FLAG, text="numb"), world.now)
    course = world.course(person.id)
    world.do(lambda work: work.uow.people.erase(person.id))
    assert world.read(lambda uow: uow.people.export(person.id)) == {}
    assert world.read(lambda uow: uow.people.at(person.channel, person.address)) is None
    assert world.read(lambda uow: uow.decisions.of(course.id)) == ()
    assert world.notices() == []
    assert world.do(accept_any, CODE, newcomer()) is None
    world.live_to(5, "12:00")
    assert len(world.messages(person.id)) == 1
