import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.ports import Store
from core.programme.file import default_programme
from core.records import Due, OutboxState, OutcomeScore, Status
from core.rule import begin
from core.use_cases.digesting import gather, last_week, plan_digest
from core.use_cases.due import do_due
from core.use_cases.work import Programmes, Work
from tests.builders import a_clinic, a_course, a_person, a_staff, new_id
from tests.core.use_cases.world import unworded

MONDAY = dt.date(2026, 3, 2)
ZONES = ("UTC", "Europe/Berlin", "America/Santiago", "Africa/Cairo", "Pacific/Apia", "Australia/Lord_Howe")


@given(
    zone=st.sampled_from(ZONES),
    weekday=st.integers(0, 6),
    hour=st.integers(0, 23),
    start=st.integers(0, 730 * 24 * 60).map(lambda n: dt.datetime(2026, 1, 1, tzinfo=dt.UTC) + dt.timedelta(minutes=n)),
)
def test_a_digest_comes_once_a_week_at_the_same_wall_time(zone: str, weekday: int, hour: int, start: dt.datetime):
    staff = plan_digest(a_staff(zone=zone, digest_weekday=weekday, digest_time=dt.time(hour, 30)), start)

    for _ in range(60):
        following = plan_digest(staff, staff.next_digest)
        apart = following.next_digest - staff.next_digest
        assert abs(apart - dt.timedelta(days=7)) <= dt.timedelta(hours=1)
        local = following.next_digest.astimezone(ZoneInfo(zone))
        assert local.weekday() == weekday
        moved = local.replace(tzinfo=None) - local.replace(hour=hour, minute=30, tzinfo=None)
        assert dt.timedelta(0) <= moved <= dt.timedelta(hours=1)  # only a clock change moves it, forward
        staff = following


def test_a_monday_morning_looks_back_on_the_week_that_ended_the_evening_before():
    assert last_week(dt.datetime(2026, 3, 9, 7, 30, tzinfo=dt.UTC), "UTC") == MONDAY
    assert last_week(dt.datetime(2026, 3, 8, 23, 30, tzinfo=dt.UTC), "UTC") == MONDAY - dt.timedelta(days=7)
    assert last_week(dt.datetime(2026, 3, 8, 23, 30, tzinfo=dt.UTC), "Europe/Berlin") == MONDAY


@pytest.fixture
def clinic(store: Store):
    """Two therapists; the first with three patients, one of whom has not begun."""
    programme = default_programme()
    with store.writing() as uow:
        uow.clinics.save(a_clinic())
        uow.clinics.save_programme(programme.version, programme.text, dt.datetime(2026, 2, 1, tzinfo=dt.UTC))
        one = a_staff(zone="UTC", next_digest=dt.datetime(2026, 3, 9, 7, 30, tzinfo=dt.UTC))
        other = a_staff(zone="UTC", address="second", next_digest=None)
        for staff in (one, other):
            uow.staff.save(staff)
        for number, status in enumerate((Status.ACTIVE, Status.LEFT, Status.ENROLLING)):
            person = a_person(address=f"chat-{number}", status=status, therapist_id=one.id, name=f"Patient {number}")
            uow.people.save(person)
            if status != Status.ENROLLING:
                episode = begin(programme, MONDAY - dt.timedelta(days=3), 4)
                course = a_course(person_id=person.id, episode=episode, programme_version=programme.version)
                uow.diary.save_course(course)
        uow.commit()
    return one, other


def at(store: Store, moment: dt.datetime) -> int:
    with store.writing() as uow:
        done = do_due(Work(uow, moment, new_id, Programmes(default_programme()), unworded), Due.DIGEST)
        uow.commit()
    return done


def test_a_digest_is_queued_once_however_often_the_clock_asks(store: Store, clinic):
    one, _ = clinic
    morning = dt.datetime(2026, 3, 9, 7, 31, tzinfo=dt.UTC)

    assert [at(store, morning), at(store, morning), at(store, morning + dt.timedelta(hours=1))] == [1, 0, 0]

    with store.reading() as uow:
        assert uow.outbox.state(f"digest:{one.id}:2026-03-02") == OutboxState.PENDING
        assert uow.staff.get(one.id).next_digest == dt.datetime(2026, 3, 16, 7, 30, tzinfo=dt.UTC)


def test_a_week_missed_by_downtime_follows_when_we_are_back(store: Store, clinic):
    one, _ = clinic
    late = dt.datetime(2026, 3, 18, 12, 0, tzinfo=dt.UTC)

    assert [at(store, late), at(store, late), at(store, late)] == [1, 1, 0]

    with store.reading() as uow:
        for week in ("2026-03-02", "2026-03-09"):
            assert uow.outbox.state(f"digest:{one.id}:{week}") == OutboxState.PENDING


def test_a_digest_holds_the_therapists_own_patients_who_have_begun_and_nobody_else(store: Store, clinic):
    one, other = clinic
    with store.reading() as uow:
        own = gather(uow, Programmes(default_programme()), one, MONDAY)
        none = gather(uow, Programmes(default_programme()), other, MONDAY)

    assert sorted(week.who.name for week in own.patients) == ["Patient 0", "Patient 1"]
    assert own.counts.left == 1
    assert none.patients == ()


def test_the_digest_of_an_older_week_knows_no_score_of_a_later_one(store: Store, clinic):
    one, _ = clinic
    with store.writing() as uow:
        person = next(each for each in uow.people.of(one.id) if each.name == "Patient 0")
        course = uow.diary.course_of(person.id)
        for days, total in ((0, 52.0), (6, 44.0), (7, 30.0)):
            at = dt.datetime.combine(MONDAY, dt.time(9), dt.UTC) + dt.timedelta(days=days)
            uow.people.save_outcome(
                OutcomeScore(new_id(), person.clinic_id, person.id, course.id, at, week=days, total=total)
            )
        week, later = (
            next(each for each in gather(uow, Programmes(default_programme()), one, monday).patients
                 if each.who.id == person.id)
            for monday in (MONDAY, MONDAY + dt.timedelta(days=7))
        )  # fmt: skip

    assert [each.total for each in week.who.scores] == [52.0, 44.0]
    assert [each.total for each in later.who.scores] == [52.0, 44.0, 30.0]
