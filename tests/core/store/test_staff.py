"""Who works here and whose patients are whose; the trail, the file and the overrides come back as they were kept."""

import datetime as dt
from dataclasses import replace

import pytest

from core.errors import StoreError
from core.model import NoticeKind
from core.records import Due, Role, Status
from core.store import SqlStore, open_store
from tests.builders import (
    NOW,
    TODAY,
    a_course,
    a_message,
    a_note,
    a_notice,
    a_person,
    a_staff,
    a_stored_decision,
    an_audit,
    an_invitation,
    an_outcome,
)

HOUR = dt.timedelta(hours=1)


def test_staff_come_back_by_id_and_chat_and_are_replaced_as_a_whole(store: SqlStore) -> None:
    full = a_staff(
        name="Dr Ünï ☂", lead=True, therapist=False, confirmed=False, digest_weekday=6, digest_time=dt.time(21, 5),
        next_digest=NOW, left_at=NOW,
    )  # fmt: skip
    later = a_staff(created_at=NOW + HOUR)
    with store.writing() as unit:
        unit.staff.save(later)
        unit.staff.save(full)
        assert unit.staff.get(full.id, lock=True) == full
        assert unit.staff.get("nobody") is None

        plain = replace(full, therapist=True, confirmed=True, next_digest=None, left_at=None)
        unit.staff.save(plain)
        assert unit.staff.at(full.channel, full.address, lock=True) == plain
        assert unit.staff.at("another channel", full.address) is None
        assert unit.staff.all() == (plain, later)


def test_two_members_of_staff_cannot_share_one_chat_but_one_may_be_a_patient_too(store: SqlStore) -> None:
    with store.writing() as unit:
        unit.staff.save(a_staff(address="same"))
        unit.people.save(a_person(address="same"))
        with pytest.raises(StoreError, match="breaks one of its rules"):
            unit.staff.save(a_staff(address="same"))


def test_a_therapist_has_their_own_patients_and_nobody_elses(store: SqlStore) -> None:
    one, two = a_staff(), a_staff()
    mine = [a_person(therapist_id=one.id, status=status) for status in Status]
    theirs = a_person(therapist_id=two.id)
    with store.writing() as unit:
        for person in (theirs, *mine, a_person()):
            unit.people.save(person)

        assert set(unit.people.of(one.id)) == set(mine)
        assert unit.people.of(two.id) == (theirs,)

        unit.people.save(replace(theirs, therapist_id=one.id))
        assert len(unit.people.of(one.id)) == len(mine) + 1
        assert unit.people.of(two.id) == unit.people.of("nobody") == ()


def test_digests_are_due_from_their_time_on_the_longest_first(store: SqlStore) -> None:
    early, late = a_staff(next_digest=NOW - HOUR), a_staff(next_digest=NOW)
    with store.writing() as unit:
        for member in (late, early, a_staff(next_digest=NOW + HOUR), a_staff()):
            unit.staff.save(member)

        assert unit.due.ids(Due.DIGEST, NOW, 10) == (early.id, late.id)
        assert unit.due.ids(Due.DIGEST, NOW, 1) == (early.id,)
        assert unit.due.next(NOW) == NOW - HOUR


@pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
def test_two_processes_share_the_digests_that_are_due(store: SqlStore) -> None:
    """On SQLite the second writer waits for the first, so that there is nothing to see."""
    members = [a_staff(next_digest=NOW + n * dt.timedelta(seconds=1)) for n in range(3)]
    with store.writing() as unit:
        for member in members:
            unit.staff.save(member)
        unit.commit()

    with store.writing() as one, store.writing() as two:
        assert one.due.ids(Due.DIGEST, NOW + HOUR, 2) == (members[0].id, members[1].id)
        assert two.due.ids(Due.DIGEST, NOW + HOUR, 2) == (members[2].id,)


def test_the_trail_is_only_added_to_and_read_newest_first(store: SqlStore) -> None:
    person = a_person()
    first, second, third = an_audit(person), an_audit(detail=""), an_audit(person, action="override")
    with store.writing() as unit:
        for line in (replace(first, at=NOW - HOUR), second, third):
            unit.audit.add(line)
        unit.audit.add(third)

        assert unit.audit.latest() == (third, third, second, replace(first, at=NOW - HOUR))
        assert unit.audit.latest(limit=1) == (third,)
        assert unit.audit.latest(person.id) == (third, third, replace(first, at=NOW - HOUR))
        assert unit.audit.latest("nobody") == ()


def test_notes_come_back_newest_first_and_only_about_people_who_are_here(store: SqlStore) -> None:
    person, other = a_person(), a_person()
    old, new = a_note(person), a_note(person, at=NOW + HOUR, text="a" * 10_000)
    with store.writing() as unit:
        for anybody in (person, other):
            unit.people.save(anybody)
        for note in (new, old, a_note(other)):
            unit.people.add_note(note)

        assert unit.people.notes(person.id) == (new, old)
        with pytest.raises(StoreError, match="breaks one of its rules"):
            unit.people.add_note(a_note())


def test_scores_come_back_exactly_oldest_first_and_can_be_put_right(store: SqlStore) -> None:
    person = a_person()
    course = a_course(person)
    start = an_outcome(course, week=0, total=100 / 3, pain=None, function=None, answered=None)
    six = an_outcome(course, at=NOW + HOUR)
    with store.writing() as unit:
        unit.people.save(person)
        unit.diary.save_course(course)
        for outcome in (six, start):
            unit.people.save_outcome(outcome)
        assert unit.people.outcomes(person.id) == (start, six)

        unit.people.save_outcome(replace(six, total=30.0, answered=14))
        assert unit.people.outcomes(person.id) == (start, replace(six, total=30.0, answered=14))
        with pytest.raises(StoreError, match="breaks one of its rules"):
            unit.people.save_outcome(an_outcome())


def test_notices_about_one_person_come_newest_first_from_an_instant_on(store: SqlStore) -> None:
    person, other = a_person(), a_person()
    old, new = a_notice(person), a_notice(person, at=NOW + HOUR, kind=NoticeKind.SILENT)
    with store.writing() as unit:
        for anybody in (person, other):
            unit.people.save(anybody)
        for notice in (old, new, a_notice(other)):
            unit.notices.add(notice)

        assert unit.notices.about(person.id) == (new, old)
        assert unit.notices.about(person.id, since=NOW) == (new, old)
        assert unit.notices.about(person.id, since=NOW + HOUR) == (new,)
        assert unit.notices.about("nobody") == ()


def test_an_override_keeps_who_and_why_and_is_undone_once(store: SqlStore) -> None:
    person = a_person()
    course = a_course(person)
    evening = a_stored_decision(course)
    override = a_stored_decision(course, kind="override", by="staff-1", note="sore after a long drive")
    with store.writing() as unit:
        unit.people.save(person)
        unit.diary.save_course(course)
        for decision in (evening, override):
            unit.decisions.add(decision)
        assert unit.decisions.latest(course.id) == override
        assert unit.decisions.on(course.id, TODAY) == evening

        assert unit.decisions.supersede(override.id)
        assert not unit.decisions.supersede(override.id)
        assert not unit.decisions.supersede("unknown")

        assert unit.decisions.of(course.id) == (evening,)
        exported = unit.people.export(person.id)["decisions"]
        assert [(one["by"], one["note"], one["superseded"]) for one in exported] == [
            ("", "", False), ("staff-1", "sore after a long drive", True),
        ]  # fmt: skip


def test_an_invitation_keeps_its_role_and_a_message_whom_it_is_about(store: SqlStore) -> None:
    invitation = an_invitation(role=Role.THERAPIST, inviter_id="staff-1")
    message = a_message(about="person-1")
    with store.writing() as unit:
        unit.invitations.add(invitation)
        unit.outbox.put(message)

        assert unit.invitations.get(invitation.code_hash) == invitation
        assert [item.message for item in unit.sending.claim(NOW, 1, "a sender", 30)] == [message]


def test_one_clinic_sees_nothing_of_another(store: SqlStore, store_url: str, key: bytes) -> None:
    person = a_person(clinic_id="elsewhere", therapist_id="staff-1")
    course = a_course(person, clinic_id="elsewhere")
    member = a_staff(clinic_id="elsewhere", next_digest=NOW)
    decision = a_stored_decision(course, clinic_id="elsewhere")
    other = open_store(store_url, key, clinic_id="elsewhere")
    with other.writing() as unit:
        unit.people.save(person)
        unit.diary.save_course(course)
        unit.staff.save(member)
        unit.decisions.add(decision)
        unit.audit.add(an_audit(person, clinic_id="elsewhere"))
        unit.people.add_note(a_note(person, clinic_id="elsewhere"))
        unit.people.save_outcome(an_outcome(course, clinic_id="elsewhere"))
        unit.notices.add(a_notice(person, clinic_id="elsewhere"))
        unit.commit()
    other.close()

    with store.writing() as unit:
        assert unit.staff.get(member.id) is unit.staff.at(member.channel, member.address) is None
        assert not unit.decisions.supersede(decision.id)
        for found in (
            unit.staff.all(), unit.due.ids(Due.DIGEST, NOW, 5), unit.people.of("staff-1"), unit.audit.latest(),
            unit.audit.latest(person.id), unit.people.notes(person.id), unit.people.outcomes(person.id),
            unit.notices.about(person.id),
        ):  # fmt: skip
            assert found == ()
        assert unit.due.next(NOW) is None
