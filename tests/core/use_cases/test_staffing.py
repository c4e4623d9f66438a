"""A closed course lives its time out: months pass, staff are told two weeks before, then it is anonymous or gone."""

import datetime as dt
import json
from dataclasses import replace

import pytest
from cryptography.fernet import Fernet

from core.records import Note, Status
from core.store import SqlStore
from core.use_cases.staffing import retain
from tests.builders import CLINIC, a_clinic
from tests.core.store.test_privacy import raw_rows, sealed_texts
from tests.core.use_cases.world import World, tell_danger

NAME, WORDS = "the quiet upholsterer", "my boss Quillon says hurry"


def lived(store: SqlStore, after: str, **given: object) -> tuple[World, str]:
    """Two evenings, words, a note; then the person leaves, and nobody writes any more."""
    world = World(store)
    world.do(lambda work: work.uow.clinics.save(a_clinic(keep_months=6, after_keeping=after, **given)))
    world.staff(id="rowan", name="Rowan", address="901")
    who = world.somebody(name=NAME, address="4711004", therapist_id="rowan")
    for day in (0, 1):
        world.live_to(day, "19:05")
        world.answer(who, 4, 4, text=WORDS)
    tell_danger(world, who)
    world.do(lambda work: work.uow.people.add_note(Note("n1", CLINIC, who, "rowan", work.now, f"{WORDS} again")))
    world.live_to(3, "12:00")
    left = replace(world.person(who), status=Status.LEFT, next_due=None, next_date=None)
    world.do(lambda work: work.uow.people.save(left))
    return world, who


def months(world: World, days: int, every: int = 1) -> None:
    """A look a day, or every few days; the service takes one each hour."""
    for _ in range(0, days, every):
        world.now += dt.timedelta(days=every)
        world.do(retain)
        world.deliver()


def told(world: World) -> list[list[str]]:
    return [list(each.facts["names"]) for _, each in world.sent if each.kind == "therapist.fading"]


def test_it_is_announced_once_and_made_anonymous_two_weeks_later(store: SqlStore, key: bytes):
    world, who = lived(store, "anonymous")
    course, before = world.course(who), world.decisions(who)
    ratings = [each.pain for each in world.read(lambda uow: uow.diary.evenings(course.id, dt.date.min, dt.date.max))]

    months(world, 165, every=5)
    assert told(world) == []
    months(world, 8)
    assert told(world) == [[NAME]]
    assert world.person(who).name == NAME
    months(world, 20)

    nobody = world.person(who)
    assert (nobody.name, nobody.channel, nobody.status) == ("", "", Status.DISCHARGED)
    assert told(world) == [[NAME]]
    kept = json.dumps([row for _, row in raw_rows(store)])
    assert "4711004" not in kept
    opened = [Fernet(key).decrypt(token.encode()).decode() for token in sealed_texts(store)]
    assert [each for each in opened if NAME in each or "Quillon" in each] == []
    exported = json.dumps(dict(world.read(lambda uow: uow.people.export(who))))
    assert NAME not in exported
    assert "Quillon" not in exported
    assert world.read(lambda uow: uow.people.notes(who)) == ()
    assert [each.decision for each in world.decisions(who)] == [each.decision for each in before]
    again = world.read(lambda uow: uow.diary.evenings(course.id, dt.date.min, dt.date.max))
    assert [each.pain for each in again] == ratings == [4, 4]
    assert "anonymous" in [each.action for each in world.read(lambda uow: uow.audit.latest(who))]


def test_or_erased_where_the_clinic_says_so(store: SqlStore):
    world, who = lived(store, "erase")
    months(world, 195, every=5)
    assert told(world) == [[NAME]]
    assert world.read(lambda uow: uow.people.get(who)) is None
    assert not [row for _, row in raw_rows(store) if who in row]


def test_a_note_written_in_the_two_weeks_keeps_it_for_another_period(sqlite_store: SqlStore):
    world, who = lived(sqlite_store, "erase")
    months(world, 175, every=5)
    assert told(world) == [[NAME]]
    world.do(lambda work: work.uow.people.add_note(Note("n2", CLINIC, who, "rowan", work.now, "insurer asks; keep")))
    months(world, 100, every=5)
    assert world.person(who).name == NAME
    months(world, 95, every=5)
    assert told(world) == [[NAME], [NAME]]
    assert world.read(lambda uow: uow.people.get(who)) is None


@pytest.mark.parametrize("status", [Status.ACTIVE, Status.AWAY, Status.COMPLETED, Status.ENROLLING])
def test_nobody_whose_course_is_open_is_touched_however_long_silent(sqlite_store: SqlStore, status: Status):
    world, who = lived(sqlite_store, "erase")
    world.do(lambda work: work.uow.people.save(replace(world.person(who), status=status)))
    months(world, 400, every=20)
    assert (told(world), world.person(who).name) == ([], NAME)


def test_without_a_period_everything_is_kept(sqlite_store: SqlStore):
    world, who = lived(sqlite_store, "erase")
    world.do(lambda work: work.uow.clinics.save(a_clinic()))
    months(world, 400, every=20)
    assert (told(world), world.person(who).name) == ([], NAME)
