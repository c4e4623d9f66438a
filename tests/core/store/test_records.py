"""Every record comes back as it was saved, and what must be unique is."""

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy.dialects.sqlite import dialect

from core.errors import NaiveTimeError, StoreError
from core.model import Evening, Flag, Move
from core.records import CheckInState, Course, Dialogue, Due, Person, Status
from core.store import SqlStore
from core.store.columns import UtcTime
from core.store.store import SqlUnit
from tests.builders import (
    NOW,
    TODAY,
    a_check_in,
    a_clinic,
    a_course,
    a_decision,
    a_dialogue,
    a_notice,
    a_person,
    a_stored_decision,
    an_answer,
    an_episode,
    an_invitation,
)

DAY = dt.timedelta(days=1)


def enrolled(unit: SqlUnit, **given: Any) -> tuple[Person, Course]:
    person = a_person(**given)
    course = a_course(person)
    unit.people.save(person)
    unit.diary.save_course(course)
    return person, course


def test_a_clinic_and_its_programmes_come_back(store: SqlStore) -> None:
    with store.writing() as unit:
        unit.clinics.save(a_clinic())
        unit.clinics.save(a_clinic(emergency="Call 112."))
        unit.clinics.save_programme("1", "first text", NOW)
        unit.clinics.save_programme("1", "a known version is left alone", NOW)

        assert unit.clinics.get() == a_clinic(emergency="Call 112.")
        assert unit.clinics.programme("1") == "first text"
        assert unit.clinics.programme("2") is None


def test_a_person_comes_back_and_is_replaced_as_a_whole(store: SqlStore) -> None:
    full = a_person(
        name="Ünï ☂", next_due=NOW, next_date=TODAY, away_since=TODAY, away_until=TODAY + DAY,
        evening=dt.time(21, 5), status=Status.AWAY,
    )  # fmt: skip
    with store.writing() as unit:
        unit.people.save(full)
        assert unit.people.get(full.id, lock=True) == full

        plain = replace(full, name="", next_due=None, next_date=None, away_since=None, away_until=None)
        unit.people.save(plain)
        assert unit.people.at(full.channel, full.address) == plain
        assert unit.people.all() == (plain,)


def test_two_people_cannot_share_one_chat(store: SqlStore) -> None:
    with store.writing() as unit:
        unit.people.save(a_person(address="same"))
        with pytest.raises(StoreError, match="breaks one of its rules"):
            unit.people.save(a_person(address="same"))


def test_a_person_has_one_open_course_a_side_and_any_number_of_ended_ones(store: SqlStore) -> None:
    with store.writing() as unit:
        person, first = enrolled(unit)
        unit.diary.save_course(replace(first, ended_at=NOW))
        second = a_course(person, episode=an_episode(step=3, told=frozenset({"silent"})))
        unit.diary.save_course(second)

        assert unit.diary.course_of(person.id) == second
        other = a_course(person, side="left" if second.side == "right" else "right")
        unit.diary.save_course(other)
        unit.dialogues.of_patient(person.id)  # which reads both along

        both = tuple(sorted((second, other), key=lambda each: each.side, reverse=True))
        assert unit.diary.courses_of(person.id) == both
        later = replace(other, episode=an_episode(silent_days=3))
        unit.diary.save_course(later)
        assert unit.diary.course_of(person.id, later.side) == later == unit.diary.course(later.id)
        with pytest.raises(StoreError, match="breaks one of its rules"):
            unit.diary.save_course(a_course(person, side=second.side))


def test_a_course_of_nobody_is_refused(store: SqlStore) -> None:
    with store.writing() as unit, pytest.raises(StoreError, match="breaks one of its rules"):
        unit.diary.save_course(a_course())


def test_one_check_in_a_course_and_date(store: SqlStore) -> None:
    with store.writing() as unit:
        _, course = enrolled(unit)
        first = a_check_in(course)

        assert unit.diary.add_check_in(first)
        assert not unit.diary.add_check_in(a_check_in(course))
        assert unit.diary.add_check_in(a_check_in(course, date=TODAY + DAY))

        assert unit.diary.check_in_on(course.id, TODAY) == unit.diary.check_in(first.id) == first
        latest = unit.diary.latest_check_in(course.id)
        assert latest is not None
        assert latest.date == TODAY + DAY


def test_the_diary_holds_both_ends_by_date_and_tells_asked_from_not_asked(store: SqlStore) -> None:
    with store.writing() as unit:
        _, course = enrolled(unit)
        states = [CheckInState.SILENT, CheckInState.NOT_ASKED, CheckInState.ANSWERED, CheckInState.ASKED]
        for number, state in reversed(list(enumerate(states))):
            unit.diary.add_check_in(a_check_in(course, date=TODAY + number * DAY, state=state))
        answered = unit.diary.check_in_on(course.id, TODAY + 2 * DAY)
        assert answered is not None
        unit.diary.save_check_in(replace(answered, pain=0, sets_done=3, flag=Flag.CLINICAL_QUESTION, answered_at=NOW))

        assert unit.diary.evenings(course.id, TODAY + DAY, TODAY + 3 * DAY) == (
            Evening(TODAY + DAY, asked=False, sets_asked=4),
            Evening(TODAY + 2 * DAY, pain=0, sets_done=3, sets_asked=4, flag=Flag.CLINICAL_QUESTION),
            Evening(TODAY + 3 * DAY, sets_asked=4),
        )


def test_answers_are_a_log_and_know_their_message(store: SqlStore) -> None:
    with store.writing() as unit:
        person, course = enrolled(unit)
        check_in = a_check_in(course)
        unit.diary.add_check_in(check_in)
        first = an_answer(check_in, message_id="41")
        edited = an_answer(check_in, message_id="41", pain=6, source="edited", flag=Flag.RED_FLAG)
        for answer in (first, edited):
            unit.diary.add_answer(answer)

        assert unit.diary.answers(person.id) == (first, edited)
        assert unit.diary.answered_by(person.id, "41") == check_in.id
        assert unit.diary.answered_by(person.id, "42") is None
        assert unit.diary.answered_by("somebody else", "41") is None


def test_one_evening_decision_a_date_counts_and_superseded_ones_stay(store: SqlStore) -> None:
    with store.writing() as unit:
        person, course = enrolled(unit)
        first, second = a_stored_decision(course), a_stored_decision(course, date=TODAY + DAY)
        unit.decisions.add(first)
        unit.decisions.add(second)

        assert unit.decisions.supersede_since(course.id, TODAY + DAY) == 1
        again = a_stored_decision(course, date=TODAY + DAY, decision=a_decision(move=Move.REGRESS))
        cleared = a_stored_decision(course, date=TODAY + DAY, kind="clear")
        unit.decisions.add(again)
        unit.decisions.add(cleared)

        assert unit.decisions.of(course.id) == (first, again, cleared)
        assert unit.decisions.of(course.id, since=TODAY + DAY) == (again, cleared)
        assert unit.decisions.on(course.id, TODAY) == first
        assert unit.decisions.latest(course.id) == cleared
        assert len(unit.people.export(person.id)["decisions"]) == 4
        with pytest.raises(StoreError, match="breaks one of its rules"):
            unit.decisions.add(a_stored_decision(course, date=TODAY + DAY))


def test_no_matter_is_noticed_twice_and_the_newest_comes_first(store: SqlStore) -> None:
    with store.writing() as unit:
        person, _ = enrolled(unit)
        old, new = a_notice(person, facts={"days": 2, "means": [4.5, None]}), a_notice(person, at=NOW + DAY, text="")

        assert unit.notices.add(old)
        assert unit.notices.add(new)
        assert not unit.notices.add(a_notice(person, key=old.key))

        assert unit.notices.newest() == (new, old)
        assert unit.notices.newest(limit=1) == (new,)


def test_an_invitation_lets_one_person_in_before_it_expires(store: SqlStore) -> None:
    good, late = an_invitation(), an_invitation(expires_at=NOW)
    with store.writing() as unit:
        unit.invitations.add(good)
        unit.invitations.add(late)
        assert unit.invitations.get(good.code_hash, lock=True) == good

        assert unit.invitations.use(good.code_hash, "first", NOW)
        assert not unit.invitations.use(good.code_hash, "second", NOW)
        assert not unit.invitations.use(late.code_hash, "first", NOW)
        assert not unit.invitations.use("unknown", "first", NOW)

        assert unit.invitations.get(good.code_hash) == replace(good, used_by="first", used_at=NOW)


def test_a_dialogue_is_empty_until_it_is_saved(store: SqlStore) -> None:
    with store.writing() as unit:
        person, _ = enrolled(unit)
        assert unit.dialogues.get(person.id) == Dialogue(person.id, "")

        dialogue = a_dialogue(person, step="sets", check_in_id="c", facts={"pain": 4, "list": [1, {"a": None}]})
        unit.dialogues.save(a_dialogue(person))
        unit.dialogues.save(dialogue)

        assert unit.dialogues.get(person.id) == dialogue


def test_a_time_without_a_zone_is_refused_wherever_it_comes(store: SqlStore) -> None:
    naive = NOW.replace(tzinfo=None)
    with store.writing() as unit:
        for refused in (
            lambda: unit.people.save(a_person(created_at=naive)),
            lambda: unit.due.ids(Due.ASK, naive, 5),
            lambda: unit.clinics.save_programme("1", "text", naive),
        ):
            with pytest.raises(NaiveTimeError, match="has no zone"):
                refused()


YEARS = (dt.datetime(1900, 1, 1), dt.datetime(2200, 1, 1))  # noqa: DTZ001 (Hypothesis wants the bounds naive)


@given(st.datetimes(*YEARS, timezones=st.timezones() | st.just(dt.UTC)))
def test_an_instant_keeps_its_microsecond_and_its_order(when: dt.datetime) -> None:
    column, sqlite = UtcTime(), dialect()
    stored = column.process_bind_param(when, sqlite)
    assert stored is not None

    back = column.process_result_value(stored, sqlite)

    assert back == when.astimezone(dt.UTC)  # a wall time inside a gap equals nothing, by Python's rules
    assert back.tzinfo is dt.UTC
    assert column.process_bind_param(when.astimezone(dt.UTC) - dt.timedelta(microseconds=1), sqlite) == stored - 1


def test_postgresql_counts_an_instant_alike(postgres: Any) -> None:
    """Reference: PostgreSQL's own timestamptz, in the hour that clocks turned back show twice."""
    import psycopg

    text = "2026-10-25 02:30:00.000001+02:00"
    with psycopg.connect(postgres.url("postgres")) as connection:
        theirs = connection.execute("SELECT (extract(epoch FROM %s::timestamptz) * 1000000)::bigint", [text]).fetchone()

    assert theirs == (UtcTime().process_bind_param(dt.datetime.fromisoformat(text), dialect()),)
