"""Who is told what: once for each matter, the right therapist, and nothing of somebody who was erased."""

import datetime as dt
from dataclasses import replace

import pytest

from core.model import Flag, NoticeKind
from core.records import OutboxState, Priority
from core.rule.override import Act, Override
from core.use_cases.answering import Said, note_question
from core.use_cases.coming_back import clear
from core.use_cases.leaving import cannot_reach, leave
from core.use_cases.noticing import SETTLED_AFTER, tell_lost, tell_therapist
from core.use_cases.overriding import act, clear_stop
from core.use_cases.reporting import danger_told
from core.use_cases.staffing import hand_over
from tests.builders import a_message
from tests.core.use_cases.world import World

PAST = dt.datetime(2026, 3, 1, tzinfo=dt.UTC)


def told(world: World, staff_id: str) -> list[tuple[str, str]]:
    """Of which kind and about whom, once everything that may be sent now was sent."""
    world.deliver()
    notices = world.messages(staff_id, "therapist.notice")
    return [(each.facts["notice"]["kind"], each.facts["person"]) for _, each in notices]


def test_each_matter_is_told_once_to_the_patients_own_therapist_with_what_the_person_said(world: World):
    world.staff(id="ben"), world.staff(id="mara"), world.staff(id="lead", lead=True)
    who, other = world.somebody(therapist_id="ben", name="Pastry cook"), world.somebody(therapist_id="mara")
    world.live_to(0, "19:10")
    world.on(who, danger_told, Said(flag=Flag.URGENT, text="crushing pain in my chest"), world.now)
    world.on(who, note_question, "may I take ibuprofen?")
    world.on(other, cannot_reach)
    world.on(other, cannot_reach)
    assert told(world, "ben") == [("danger", who), ("clinical_question", who)]
    assert told(world, "mara") == [("unreachable", other)]
    assert told(world, "lead") == []
    danger = world.messages("ben", "therapist.notice")[0][1]
    assert (danger.facts["name"], danger.facts["words"]) == ("Pastry cook", "crushing pain in my chest")
    assert danger.facts["notice"]["facts"]["flag"] == "urgent"
    assert danger.about == who


@pytest.mark.parametrize("given", [None, {"confirmed": False}, {"left_at": PAST}])
def test_without_a_therapist_at_work_every_lead_is_told(small: World, given: dict[str, object] | None):
    if given:
        small.staff(id="ben", **given)
    small.staff(id="one", lead=True), small.staff(id="two", lead=True, therapist=False)
    small.staff(id="gone", lead=True, left_at=PAST), small.staff(id="other")
    who = small.somebody(therapist_id="ben" if given else None)
    small.on(who, leave)
    assert [told(small, each) for each in ("one", "two")] == [[("left", who)]] * 2
    assert [told(small, each) for each in ("ben", "gone", "other")] == [[], [], []]


def test_a_key_is_taken_once_and_for_ever(world: World):
    world.staff(id="ben")
    who = world.somebody(therapist_id="ben")
    again = [world.on(who, tell_therapist, NoticeKind.SEVERE_TWICE, "the same matter") for _ in range(3)]
    assert again == [True, False, False]
    assert told(world, "ben") == [("severe_twice", who)]


def test_deciding_again_after_corrections_tells_nothing_twice(world: World):
    world.staff(id="ben")
    who = world.somebody(therapist_id="ben")
    for day in range(3):
        world.live_to(day, "19:10")
        world.answer(who, 8, 99)
    for pain in (9, 8, 9):
        world.answer_for(who, world.now.date() - dt.timedelta(days=1), pain)
    severe = [each for each in told(world, "ben") if each[0] == "severe_twice"]
    assert severe == [("severe_twice", who)] * len(world.notices("severe_twice"))
    assert severe


def test_six_weeks_without_a_change_are_told_once_also_when_a_correction_moves_the_day(small: World):
    small.staff(id="ben")
    who = small.somebody(therapist_id="ben")
    for day in range(46):
        small.live_to(day, "19:10")
        small.answer(who, 4, 99)
    noticed = [each for each in told(small, "ben") if each[0] == "plateau_6_weeks"]
    assert noticed == [("plateau_6_weeks", who)]
    found = dt.date.fromisoformat(small.notices("plateau_6_weeks")[0].facts["date"])
    # too few ratings in the week before the look put it off to a later day
    course = small.course(who)
    for back in range(1, 6):
        missing = small.check_in(who, found - dt.timedelta(days=back))
        assert missing
        small.do(lambda work, missing=missing: work.uow.diary.save_check_in(replace(missing, pain=None)))
    small.answer_for(who, found - dt.timedelta(days=6), 5)
    looks = [each.date for each in small.decisions(who) if NoticeKind.PLATEAU_6_WEEKS in each.decision.notices]
    assert looks
    assert looks != [day]
    assert course.id == small.course(who).id
    assert [each for each in told(small, "ben") if each[0] == "plateau_6_weeks"] == noticed


def test_a_week_of_silence_waits_for_the_therapists_morning_and_danger_wakes_them(small: World):
    small.staff(id="ben", zone="Europe/Lisbon")
    who = small.somebody(therapist_id="ben")
    small.live_to(12, "12:00")
    news = small.messages("ben", "therapist.notice")
    assert [at.strftime("%H:%M") for at, each in news if each.facts["notice"]["kind"] == "silent"] == ["07:00"]
    small.at(12, "23:30")
    small.on(who, danger_told, Said(flag=Flag.DISTRESS), small.now)
    assert told(small, "ben")[-1] == ("danger", who)


def test_whoever_cleared_a_stop_is_not_told_of_their_own_deed_but_everybody_else_is(small: World):
    ben, lead = small.staff(id="ben"), small.staff(id="lead", lead=True)
    who = small.somebody(therapist_id="ben")
    for by in (ben, lead):
        small.on(who, danger_told, Said(flag=Flag.RED_FLAG), small.now)
        small.on(who, lambda work, person, by=by: clear_stop(work, by, person, "looked at it"))
    small.on(who, danger_told, Said(flag=Flag.RED_FLAG), small.now)
    small.on(who, clear, "from the command line")
    # danger goes first, whatever else waits
    assert [kind for kind, _ in told(small, "ben")] == ["danger", "danger", "danger", "cleared", "cleared"]
    assert len(small.notices("cleared")) == 3


def test_after_a_patient_was_handed_over_their_news_goes_to_the_colleague_alone(small: World):
    ben, mara = small.staff(id="ben"), small.staff(id="mara")
    who = small.somebody(therapist_id="ben")
    small.on(who, lambda work, person: hand_over(work, ben, person, mara))
    small.on(who, leave)
    assert told(small, "ben") == []
    assert told(small, "mara") == [("left", who)]
    assert small.messages("mara", "therapist.handed_over")


def test_erasing_a_patient_takes_back_what_waits_for_staff_and_empties_what_they_had(world: World):
    ben = world.staff(id="ben")
    who, other = world.somebody(therapist_id="ben", name="Quillon"), world.somebody(therapist_id="ben")
    world.on(who, note_question, "about Quillon")
    world.deliver()
    world.on(who, lambda work, person: act(work, ben, person, Override(Act.UP), "for Quillon"))
    world.on(who, leave)
    world.on(other, leave)
    waiting = [each.id for each in world.notices("left") if each.person_id == who]
    world.do(lambda work: work.uow.people.erase(who))
    assert [about for kind, about in told(world, "ben") if kind == "left"] == [other]
    assert all(world.read(lambda uow, key=f"notice:{each}:ben": uow.outbox.state(key)) is None for each in waiting)
    asked = world.messages("ben", "therapist.notice")[0][1]
    assert world.read(lambda uow: uow.outbox.state(asked.key)) == OutboxState.SENT
    assert [(each.action, each.person_id, each.detail) for each in world.read(lambda uow: uow.audit.latest())] == [
        ("up", None, "")
    ]


def test_what_was_given_up_is_told_to_every_lead_once_in_a_line(small: World):
    lead, ben = small.staff(id="lead", lead=True), small.staff(id="ben")
    for number in range(3):
        message = a_message(kind="evening.ask", priority=Priority.BULK, key=f"ask{number}", at=small.now)
        small.do(lambda work, message=message: work.uow.outbox.put(message))
    items = small.do(lambda work: work.uow.sending.claim(work.now, 9, "test", 60.0))
    for item in items:
        small.do(lambda work, item=item: work.uow.sending.failed(item.id, work.now, "not delivered for 24 hours"))

    assert small.do(tell_lost) == (), "not while more may follow"
    small.now += SETTLED_AFTER
    assert [each.kind for each in small.do(tell_lost)] == ["evening.ask"] * 3
    assert small.do(tell_lost) == ()
    small.deliver()

    ((_, line),) = small.messages(lead.id, "therapist.lost")
    assert line.facts["asked"] == 3
    assert small.messages(ben.id, "therapist.lost") == []
    times = [dt.datetime.fromisoformat(line.facts[name]) for name in ("since", "until")]
    assert times == [items[0].message.at] * 2
