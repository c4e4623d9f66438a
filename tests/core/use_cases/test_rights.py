"""Who may do what with whom: every act of the staff against every kind of staff. DESIGN section 5 says who may."""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from core.errors import RefusalError
from core.model import Flag
from core.ports import Store
from core.records import Person, Role, Staff, Status
from core.rule.override import Act, Override
from core.scores.prtee import score_of_total
from core.timetable import ONE_DAY
from core.use_cases.answering import Said
from core.use_cases.enrolling import add_side, end_side
from core.use_cases.joining import accept_any, confirm_patient, confirm_staff, invite_as, role_of
from core.use_cases.overriding import act, change_start, clear_stop, set_evening, undo, write_to
from core.use_cases.paper import type_in
from core.use_cases.patient_file import add_note, record_outcome
from core.use_cases.reporting import danger_told, injection_told
from core.use_cases.rights import acted, open_matters, require
from core.use_cases.staffing import discharge, hand_over, leave_staff
from core.use_cases.work import Work
from tests.builders import a_clinic, a_person, an_audit
from tests.core.use_cases.world import World

WHY = "agreed on the phone"
ACTORS: dict[str, dict[str, Any]] = {
    "their therapist": {},
    "the lead": {"lead": True, "therapist": False},
    "a therapist and lead": {"lead": True},
    "another therapist": {},
    "not confirmed": {"confirmed": False},
    "left": {"left_at": dt.datetime(2026, 3, 1, tzinfo=dt.UTC)},
    "a lead who left": {"lead": True, "left_at": dt.datetime(2026, 3, 1, tzinfo=dt.UTC)},
}
MAY = frozenset({"their therapist", "the lead", "a therapist and lead"})

Do = Callable[[Work, Staff, Person], object]


def _act(*given: Any) -> Do:
    return lambda work, staff, person: act(work, staff, person, Override(*given), WHY)


def _until(work: Work) -> dt.date:
    return work.now.date() + dt.timedelta(days=7)


def _confirmed(yes: bool) -> Do:
    return lambda work, staff, person: confirm_patient(work, staff, person, yes)


def _began_before(work: Work, staff: Staff, person: Person) -> None:
    """Their course began yesterday, so that an evening lies behind them."""
    course = work.uow.diary.course_of(person.id)
    assert course
    began = course.episode.started - ONE_DAY
    work.uow.diary.save_course(replace(course, episode=replace(course.episode, started=began, since=began)))


# What was done before by the person's therapist, and the act itself.
DEEDS: dict[str, tuple[Do | None, Do]] = {
    "look": (None, lambda work, staff, person: require(work, staff, person, "page")),
    "up": (None, _act(Act.UP)),
    "back": (None, _act(Act.BACK)),
    "to": (None, _act(Act.TO, 4)),
    "pin": (None, lambda work, staff, person: _act(Act.PIN, None, _until(work))(work, staff, person)),
    "unpin": (lambda work, staff, person: _act(Act.PIN, None, _until(work))(work, staff, person), _act(Act.UNPIN)),
    "looked": (lambda work, _, person: injection_told(work, person, work.now), _act(Act.LOOKED)),
    "gate": (None, _act(Act.GATE, 3, None, 2.5)),
    "ungate": (_act(Act.GATE, 3, None, 2.5), _act(Act.UNGATE, 3)),
    "stop": (None, _act(Act.STOP)),
    "go on": (_act(Act.STOP), _act(Act.GO_ON)),
    "undo": (_act(Act.UP), lambda work, staff, person: undo(work, staff, person, _latest(work, person))),
    "evening": (None, lambda work, staff, person: set_evening(work, staff, person, dt.time(20), WHY)),
    "clear": (
        lambda work, _, person: danger_told(work, person, Said(flag=Flag.RED_FLAG), work.now),
        lambda work, staff, person: clear_stop(work, staff, person, WHY),
    ),
    "write": (None, lambda work, staff, person: write_to(work, staff, person, "Well done.")),
    "note": (None, lambda work, staff, person: add_note(work, staff, person, "Grips a trowel all day.")),
    "score": (None, lambda work, staff, person: record_outcome(work, staff, person, score_of_total(42))),
    "diary": (_began_before, lambda work, staff, person: type_in(work, staff, person, "4/4")),
    "start": (None, lambda work, staff, person: change_start(work, staff, person, 1, WHY)),
    "hand over": (None, lambda work, staff, person: hand_over(work, staff, person, _colleague(work))),
    "discharge": (None, lambda work, staff, person: discharge(work, staff, person, WHY)),
    "add side": (None, lambda work, staff, person: add_side(work, staff, person, 5, WHY)),
    "end side": (
        lambda work, staff, person: add_side(work, staff, person, 5, WHY),
        lambda work, staff, person: end_side(work, staff, person, WHY, _side(work, person)),
    ),
    "confirm": (None, _confirmed(yes=True)),
    "stranger": (None, _confirmed(yes=False)),
}
NOT_YET_IN = ("confirm", "stranger")


def _side(work: Work, person: Person) -> str:
    return work.uow.diary.courses_of(person.id)[-1].side


def _latest(work: Work, person: Person) -> str:
    course = work.uow.diary.course_of(person.id)
    assert course
    latest = work.uow.decisions.latest(course.id)
    assert latest
    return latest.id


def _colleague(work: Work) -> Staff:
    found = work.uow.staff.get("colleague")
    assert found
    return found


def _patient(small: World, deed: str, therapist: Staff) -> str:
    if deed not in NOT_YET_IN:
        who = small.somebody(therapist_id=therapist.id)
        before = DEEDS[deed][0]
        if before:
            small.do(lambda work: before(work, therapist, small.person(who)))
        return who
    newcomer = small.do(lambda work: _used(work, therapist))
    return newcomer.id


def _used(work: Work, therapist: Staff) -> Person:
    invite_as(work, therapist, Role.PATIENT, "CODE", "the cellist")
    joined = accept_any(work, "CODE", a_person(status=Status.ENROLLING))
    assert isinstance(joined, Person)
    return joined


def _kept(small: World, who: str) -> object:
    return small.read(
        lambda uow: (uow.people.export(who), uow.people.notes(who), uow.dialogues.get(who), uow.people.all())
    )


def _tried(work: Work, do: Callable[..., object], *given: Any) -> str:
    """How a conversation runs an act: what is refused is told, and the transaction is committed all the same."""
    try:
        do(work, *given)
    except RefusalError as error:
        return error.problem
    return ""


@pytest.mark.parametrize("deed", DEEDS)
@pytest.mark.parametrize("actor", ACTORS)
def test_only_the_therapist_and_the_lead_act_on_a_patient_and_all_of_it_is_in_the_trail(
    small: World, actor: str, deed: str
):
    therapist = small.staff()
    small.staff(id="colleague")
    who = _patient(small, deed, therapist)
    staff = therapist if actor == "their therapist" else small.staff(**ACTORS[actor])
    before = _kept(small, who)
    small.now += dt.timedelta(minutes=1)

    problem = small.do(lambda work: _tried(work, DEEDS[deed][1], staff, small.person(who)))

    trail = small.read(lambda uow: [each for each in uow.audit.latest() if each.at == small.now])
    assert problem == ("" if actor in MAY else "not_yours")
    assert [(each.staff_id, each.action == "refused") for each in trail] == [(staff.id, bool(problem))]
    assert trail[0].person_id == (None if deed == "stranger" and not problem else who)
    assert (_kept(small, who) == before) is (bool(problem) or deed == "look")


INVITERS: dict[str, tuple[dict[str, Any], set[Role]]] = {
    "a therapist": ({}, {Role.PATIENT}),
    "a lead alone": ({"lead": True, "therapist": False}, {Role.THERAPIST}),
    "both in one": ({"lead": True}, {Role.THERAPIST, Role.PATIENT}),
    "not confirmed": ({"confirmed": False, "lead": True}, set()),
    "left": ({"left_at": dt.datetime(2026, 3, 1, tzinfo=dt.UTC), "lead": True}, set()),
}


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize("inviter", INVITERS)
def test_leads_invite_therapists_therapists_invite_patients_and_nobody_a_lead(small: World, inviter: str, role: Role):
    given, may = INVITERS[inviter]
    staff = small.staff(**given)
    problem = small.do(_tried, invite_as, staff, role, "CODE", "somebody")
    assert problem == ("" if role in may else f"invite_{role.value}")
    assert (small.do(role_of, "CODE") == role) is (role in may)


@pytest.mark.parametrize("actor", ["a therapist", "both in one", "not confirmed", "left"])
def test_only_a_lead_confirms_staff_or_ends_their_work(small: World, actor: str):
    newcomer, old = small.staff(confirmed=False), small.staff()
    staff = small.staff(**INVITERS[actor][0])
    expected = "" if actor == "both in one" else "lead_only"
    assert small.do(_tried, confirm_staff, staff, newcomer, True) == expected
    assert small.do(_tried, leave_staff, old, staff) == expected
    for each in (newcomer, old):
        assert (small.read(lambda uow, each=each: uow.staff.get(each.id)) == each) is bool(expected)


def test_nobody_leaves_their_patients_or_the_clinic_without_a_lead(small: World):
    lead, colleague = small.staff(lead=True), small.staff()
    who = small.somebody(therapist_id=lead.id)
    assert small.do(_tried, leave_staff, lead) == "has_patients"
    small.on(who, lambda work, person: hand_over(work, lead, person, colleague))
    assert small.do(_tried, leave_staff, lead) == "only_lead"
    small.staff(lead=True)
    assert small.do(_tried, leave_staff, lead) == ""
    gone = small.read(lambda uow: uow.staff.get(lead.id))
    assert gone.left_at == small.now


@pytest.mark.parametrize("reason", ["", " \n\t ", "x" * 501, "x" * 10_000])
@pytest.mark.parametrize("deed", ["up", "evening", "clear", "discharge", "start"])
def test_without_a_reason_or_with_an_endless_one_nothing_happens(small: World, deed: str, reason: str):
    deeds: dict[str, Callable[..., object]] = {
        "up": lambda work, staff, person: act(work, staff, person, Override(Act.UP), reason),
        "evening": lambda work, staff, person: set_evening(work, staff, person, dt.time(20), reason),
        "clear": lambda work, staff, person: clear_stop(work, staff, person, reason),
        "discharge": lambda work, staff, person: discharge(work, staff, person, reason),
        "start": lambda work, staff, person: change_start(work, staff, person, 1, reason),
    }
    therapist = small.staff()
    who = small.somebody(therapist_id=therapist.id)
    before = _kept(small, who)
    problem = small.do(lambda work: _tried(work, deeds[deed], therapist, small.person(who)))
    assert problem == ("text_long" if reason.strip() else "text_empty")
    assert _kept(small, who) == before


@pytest.mark.parametrize("looking", ["trail", "page", "decisions", "export", "letter", "a word that nobody knows yet"])
def test_whoever_only_looks_answers_no_notice(looking: str):
    """`holdlower audit --person` once did: the danger of that person was then told to nobody any more."""
    assert acted([an_audit(action=looking)]) is None
    note = an_audit(action="note")
    assert acted([an_audit(action=looking), note]) == note.at


@pytest.mark.parametrize(("line", "looked"), [
    ({"action": "page"}, True), ({"action": "clear", "staff_id": ""}, True),
    ({"action": "export"}, False), ({"action": "trail", "staff_id": ""}, False),
    ({"action": "decisions", "staff_id": ""}, False),
])  # fmt: skip
def test_reading_on_the_machine_itself_is_no_look_at_a_person(store: Store, line: dict[str, str], looked: bool):
    """Who was not looked at for four weeks would else be left out of the list by a command."""
    with store.writing() as uow:
        uow.clinics.save(a_clinic())
        person = a_person()
        uow.people.save(person)
        told = an_audit(person, **line)
        uow.audit.add(told)
        assert open_matters(uow, person, told.at + ONE_DAY).looked == (told.at if looked else None)


def test_an_act_that_was_taken_back_answers_no_notice():
    note, up, back = (an_audit(action=action) for action in ("note", "up", "undo"))
    assert acted([back, up]) is None
    assert acted([back, up, note]) == note.at
