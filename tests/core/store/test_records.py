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
    unit.save_person(person)
    unit.save_course(course)
    return person, course


def test_a_clinic_and_its_programmes_come_back(store: SqlStore) -> None:
    with store.writing() as unit:
        unit.save_clinic(a_clinic())
        unit.save_clinic(a_clinic(emergency="Call 112."))
        unit.save_programme("1", "first text", NOW)
        unit.save_programme("1", "a known version is left alone", NOW)

        assert unit.clinic("clinic") == a_clinic(emergency="Call 112.")
        assert unit.programme_text("1") == "first text"
        assert unit.programme_text("2") is None


def test_a_person_comes_back_and_is_replaced_as_a_whole(store: SqlStore) -> None:
    full = a_person(
        name="Ünï ☂", next_due=NOW, next_date=TODAY, away_since=TODAY, away_until=TODAY + DAY,
        evening=dt.time(21, 5), status=Status.AWAY,
    )  # fmt: skip
    with store.writing() as unit:
        unit.save_person(full)
        assert unit.person(full.id, lock=True) == full

        plain = replace(full, name="", next_due=None, next_date=None, away_since=None, away_until=None)
        unit.save_person(plain)
        assert unit.person_at(full.channel, full.address) == plain
        assert unit.people("clinic") == (plain,)


def test_two_people_cannot_share_one_chat(store: SqlStore) -> None:
    with store.writing() as unit:
        unit.save_person(a_person(address="same"))
        with pytest.raises(StoreError, match="breaks one of its rules"):
            unit.save_person(a_person(address="same"))


def test_a_person_has_one_open_course_and_any_number_of_ended_ones(store: SqlStore) -> None:
    with store.writing() as unit:
        person, first = enrolled(unit)
        unit.save_course(replace(first, ended_at=NOW))
        second = a_course(person, episode=an_episode(step=3, told=frozenset({"silent"})))
        unit.save_course(second)

        assert unit.course_of(person.id) == second
        with pytest.raises(StoreError, match="breaks one of its rules"):
            unit.save_course(a_course(person))


def test_a_course_of_nobody_is_refused(store: SqlStore) -> None:
    with store.writing() as unit, pytest.raises(StoreError, match="breaks one of its rules"):
        unit.save_course(a_course())


def test_one_check_in_a_course_and_date(store: SqlStore) -> None:
    with store.writing() as unit:
        _, course = enrolled(unit)
        first = a_check_in(course)

        assert unit.add_check_in(first)
        assert not unit.add_check_in(a_check_in(course))
        assert unit.add_check_in(a_check_in(course, date=TODAY + DAY))

        assert unit.check_in_on(course.id, TODAY) == unit.check_in(first.id) == first
        latest = unit.latest_check_in(course.id)
        assert latest is not None
        assert latest.date == TODAY + DAY


def test_the_diary_holds_both_ends_by_date_and_tells_asked_from_not_asked(store: SqlStore) -> None:
    with store.writing() as unit:
        _, course = enrolled(unit)
        states = [CheckInState.SILENT, CheckInState.NOT_ASKED, CheckInState.ANSWERED, CheckInState.ASKED]
        for number, state in reversed(list(enumerate(states))):
            unit.add_check_in(a_check_in(course, date=TODAY + number * DAY, state=state))
        answered = unit.check_in_on(course.id, TODAY + 2 * DAY)
        assert answered is not None
        unit.save_check_in(replace(answered, pain=0, sets_done=3, flag=Flag.CLINICAL_QUESTION, answered_at=NOW))

        assert unit.diary(course.id, TODAY + DAY, TODAY + 3 * DAY) == (
            Evening(TODAY + DAY, asked=False, sets_asked=4),
            Evening(TODAY + 2 * DAY, pain=0, sets_done=3, sets_asked=4, flag=Flag.CLINICAL_QUESTION),
            Evening(TODAY + 3 * DAY, sets_asked=4),
        )


def test_answers_are_a_log_and_know_their_message(store: SqlStore) -> None:
    with store.writing() as unit:
        person, course = enrolled(unit)
        check_in = a_check_in(course)
        unit.add_check_in(check_in)
        first = an_answer(check_in, message_id="41")
        edited = an_answer(check_in, message_id="41", pain=6, source="edited", flag=Flag.RED_FLAG)
        for answer in (first, edited):
            unit.add_answer(answer)

        assert unit.answers(person.id) == (first, edited)
        assert unit.answered_by(person.id, "41") == check_in.id
        assert unit.answered_by(person.id, "42") is None
        assert unit.answered_by("somebody else", "41") is None


def test_one_evening_decision_a_date_counts_and_superseded_ones_stay(store: SqlStore) -> None:
    with store.writing() as unit:
        person, course = enrolled(unit)
        first, second = a_stored_decision(course), a_stored_decision(course, date=TODAY + DAY)
        unit.add_decision(first)
        unit.add_decision(second)

        assert unit.supersede_decisions(course.id, TODAY + DAY) == 1
        again = a_stored_decision(course, date=TODAY + DAY, decision=a_decision(move=Move.REGRESS))
        cleared = a_stored_decision(course, date=TODAY + DAY, kind="clear")
        unit.add_decision(again)
        unit.add_decision(cleared)

        assert unit.decisions(course.id) == (first, again, cleared)
        assert unit.decisions(course.id, since=TODAY + DAY) == (again, cleared)
        assert unit.decision_on(course.id, TODAY) == first
        assert unit.latest_decision(course.id) == cleared
        assert len(unit.export(person.id)["decisions"]) == 4
        with pytest.raises(StoreError, match="breaks one of its rules"):
            unit.add_decision(a_stored_decision(course, date=TODAY + DAY))


def test_no_matter_is_noticed_twice_and_the_newest_comes_first(store: SqlStore) -> None:
    with store.writing() as unit:
        person, _ = enrolled(unit)
        old, new = a_notice(person, facts={"days": 2, "means": [4.5, None]}), a_notice(person, at=NOW + DAY, text="")

        assert unit.add_notice(old)
        assert unit.add_notice(new)
        assert not unit.add_notice(a_notice(person, key=old.key))

        assert unit.notices("clinic") == (new, old)
        assert unit.notices("clinic", limit=1) == (new,)


def test_an_invitation_lets_one_person_in_before_it_expires(store: SqlStore) -> None:
    good, late = an_invitation(), an_invitation(expires_at=NOW)
    with store.writing() as unit:
        unit.add_invitation(good)
        unit.add_invitation(late)
        assert unit.invitation(good.code_hash, lock=True) == good

        assert unit.use_invitation(good.code_hash, "first", NOW)
        assert not unit.use_invitation(good.code_hash, "second", NOW)
        assert not unit.use_invitation(late.code_hash, "first", NOW)
        assert not unit.use_invitation("unknown", "first", NOW)

        assert unit.invitation(good.code_hash) == replace(good, used_by="first", used_at=NOW)


def test_a_dialogue_is_empty_until_it_is_saved(store: SqlStore) -> None:
    with store.writing() as unit:
        person, _ = enrolled(unit)
        assert unit.dialogue(person.id) == Dialogue(person.id, "")

        dialogue = a_dialogue(person, step="sets", check_in_id="c", facts={"pain": 4, "list": [1, {"a": None}]})
        unit.save_dialogue(a_dialogue(person))
        unit.save_dialogue(dialogue)

        assert unit.dialogue(person.id) == dialogue


def test_a_time_without_a_zone_is_refused_wherever_it_comes(store: SqlStore) -> None:
    naive = NOW.replace(tzinfo=None)
    with store.writing() as unit:
        for refused in (
            lambda: unit.save_person(a_person(created_at=naive)),
            lambda: unit.due(Due.ASK, naive, 5),
            lambda: unit.save_programme("1", "text", naive),
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
