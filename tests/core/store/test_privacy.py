"""Texts are unreadable at rest, everything about a person can be handed over, and erasing leaves no bytes."""

import datetime as dt
import json
import re
import traceback
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa

from core.errors import StoreError
from core.records import Dialogue, OutboxState, Outgoing, Person, Priority, Staff, Worded
from core.store import SqlStore, open_store, tables
from core.store.sealed import new_key
from tests.builders import (
    NOW,
    a_check_in,
    a_course,
    a_dialogue,
    a_goal_review,
    a_guided_set,
    a_message,
    a_note,
    a_notice,
    a_person,
    a_staff,
    a_stored_decision,
    an_answer,
    an_audit,
    an_invitation,
    an_outcome,
    an_update,
)

WORDS = "the quiet upholsterer said so"


def to_staff(staff: Staff, **given: Any) -> Outgoing:
    fields = {"person_id": staff.id, "address": staff.address, "kind": "notice", "priority": Priority.NOTICE}
    return a_message(**fields | given)


def lived_in(store: SqlStore, **given: Any) -> tuple[Person, str]:
    """A person with a row in every table; the person and the hash of the invitation they used."""
    therapist = a_staff(name=WORDS)
    person = a_person(name=WORDS, next_due=NOW, therapist_id=therapist.id, **given)
    course = a_course(person)
    check_in = a_check_in(course)
    invitation = an_invitation(note=WORDS)
    with store.writing() as unit:
        unit.invitations.add(invitation)
        unit.invitations.use(invitation.code_hash, person.id, NOW)
        unit.people.save(person)
        unit.diary.save_course(course)
        unit.diary.add_check_in(check_in)
        unit.diary.add_answer(an_answer(check_in, message_id="41"))
        unit.sets.save(a_guided_set(course))
        unit.decisions.add(a_stored_decision(course, by=therapist.id, note=WORDS))
        unit.people.save_outcome(an_outcome(course))
        unit.people.save_goals(a_goal_review(course, said={"goals": [WORDS]}))
        unit.staff.save(therapist)
        unit.audit.add(an_audit(person, detail=WORDS, staff_id=therapist.id))
        unit.people.add_note(a_note(person, text=WORDS))
        unit.outbox.put(to_staff(therapist, about=person.id, words=Worded(WORDS)))
        unit.notices.add(a_notice(person, text=WORDS, facts={"said": WORDS}))
        unit.dialogues.save(a_dialogue(person, facts={"said": WORDS}))
        unit.outbox.put(a_message(person, words=Worded(WORDS)))
        unit.inbox.put([an_update(channel=person.channel, address=person.address, payload=WORDS)])
        unit.commit()
    return person, invitation.code_hash


def raw_rows(store: SqlStore) -> Iterator[tuple[str, str]]:
    """Every row as the database keeps it, past our column types."""
    with store.reading() as unit:
        for table in tables.metadata.sorted_tables:
            for row in unit.connection.execute(sa.text(f"SELECT * FROM {table.name}")):
                yield table.name, repr(tuple(row))


def sealed_texts(store: SqlStore, *, but_for: str = "") -> list[str]:
    columns = [
        column
        for table in tables.metadata.sorted_tables
        if table.name != but_for
        for column in table.c
        if type(column.type).__name__.startswith("Sealed")
    ]
    with store.reading() as unit:
        run = unit.connection.execute
        return [
            row[0]
            for column in columns
            for row in run(sa.select(sa.type_coerce(column, sa.Text)).where(sa.type_coerce(column, sa.Text) != ""))
        ]


def test_names_notes_and_texts_are_unreadable_in_the_database(store: SqlStore) -> None:
    lived_in(store)

    assert not [row for _, row in raw_rows(store) if "upholsterer" in row]
    # both names, notes of invitation, decision and file, notice text and facts, dialogue, trail, goals, ratings, both
    # messages, inbox payload
    assert len(sealed_texts(store)) == 14


def test_one_text_is_sealed_differently_each_time(store: SqlStore) -> None:
    for _ in range(3):
        lived_in(store)

    texts = sealed_texts(store)
    assert len(set(texts)) == len(texts)


def test_after_a_change_of_keys_old_and_new_texts_open(store: SqlStore, store_url: str, key: bytes) -> None:
    open_store(store_url, key).close()  # which leaves the proof of the key
    old, _ = lived_in(store)
    newer = new_key()
    both = open_store(store_url, [newer, key])
    new, _ = lived_in(both)

    with both.reading() as unit:
        assert [person.name for person in unit.people.all()] == [old.name, new.name]
    assert both.reseal() == 14 + 1, "the older texts, and the proof of the key"
    assert both.reseal() == 0
    both.close()

    only_new = open_store(store_url, newer)
    with only_new.reading() as unit:
        assert unit.people.get(old.id) == old
        assert unit.notices.newest()[0].text == WORDS
    only_new.close()


def test_an_error_carries_nobodys_words_or_chat_into_a_log(store: SqlStore) -> None:
    person, _ = lived_in(store, address="a certain chat")
    twin = a_person(address=person.address, name=WORDS)

    with store.writing() as unit, pytest.raises(StoreError, match="breaks one of its rules") as failed:
        unit.people.save(twin)

    said = "".join(traceback.format_exception(failed.value))
    assert "IntegrityError" in said, "the cause is kept"
    assert not re.search(f"{WORDS}|{person.address}|{twin.id}", said)


def test_an_export_holds_everything_as_json(store: SqlStore) -> None:
    person, _ = lived_in(store)
    with store.reading() as unit:
        exported = json.loads(json.dumps(unit.people.export(person.id)))
        assert unit.people.export("nobody") == {}

    assert exported["person"]["name"] == WORDS
    assert exported["person"]["evening"] == "19:00:00"
    assert exported["person"]["created_at"] == "2026-03-02T19:00:00Z"
    assert exported["answers"][0]["pain"] == 4
    assert exported["decisions"][0]["decision"]["reasons"][0]["code"] == "stay_days"
    assert exported["notices"][0]["text"] == exported["messages_out"][0]["words"]["text"] == WORDS
    assert exported["decisions"][0]["note"] == WORDS
    assert exported["outcomes"][0]["total"] == 41.5
    assert (exported["goals"][0]["said"], exported["goals"][0]["rated"]) == ({"goals": [WORDS]}, {"ratings": [3]})
    assert len(exported["messages_out"]) == 1, "not what staff were told"
    assert not {"notes", "audits"} & set(exported), "the clinic's own file"
    assert exported["messages_in"][0]["payload"] == WORDS
    assert all(exported[name] for name in exported)


def test_erasing_removes_a_person_from_every_table_and_nobody_else(store: SqlStore) -> None:
    person, code_hash = lived_in(store, address="chat of the erased")
    other, _ = lived_in(store)
    with store.reading() as unit:
        kept = unit.people.export(other.id)

    with store.writing() as unit:
        unit.people.erase(person.id)
        unit.people.erase("nobody")
        unit.commit()

    assert not [row for row in raw_rows(store) if re.search(rf"\b{person.id}\b|{person.address}", row[1])]
    with store.writing() as unit:
        assert unit.people.export(other.id) == kept
        used = unit.invitations.get(code_hash)
        assert used is not None
        assert (used.used_by, used.note, used.used_at) == (None, "", NOW)
        assert not unit.invitations.use(code_hash, "somebody", NOW)


def test_erasing_takes_back_what_staff_have_of_a_person(store: SqlStore) -> None:
    person, other = a_person(name="the dental hygienist"), a_person(name="the pastry cook")
    therapist, colleague = a_staff(), a_staff()
    told = {key: to_staff(therapist, key=key, about=person.id) for key in ("danger", "silent")}
    told["digest"] = to_staff(therapist, words=Worded(f"1. {person.name}\n2. {other.name}"))
    told["other"] = to_staff(therapist, about=other.id, words=Worded(other.name))
    with store.writing() as unit:
        for anybody in (person, other):
            unit.people.save(anybody)
            unit.people.add_note(a_note(anybody))
            unit.audit.add(an_audit(anybody, staff_id=therapist.id))
        for member in (therapist, colleague):
            unit.staff.save(member)
        unit.dialogues.save(Dialogue(therapist.id, "writing", facts={"patient": person.id, "draft": WORDS}))
        unit.dialogues.save(Dialogue(colleague.id, "writing", facts={"patient": other.id}))
        for name in ("danger", "digest", "other"):
            unit.outbox.put(told[name])
            (item,) = unit.sending.claim(NOW, 1, "a sender", 30)
            unit.sending.sent(item.id, NOW, "71")
        unit.outbox.put(told["silent"])
        unit.commit()

    with store.writing() as unit:
        unit.people.erase(person.id)
        unit.commit()

    kept = " ".join(row for _, row in raw_rows(store))
    assert person.id not in kept
    assert not re.search(rf"\b{person.address}\b", kept), "the chat number neither"
    assert len(sealed_texts(store)) == 7, "two names of staff; name, note, line, draft, message of the other"
    with store.writing() as unit:
        assert not unit.people.notes(person.id)
        assert not unit.audit.latest(person.id)
        assert len(unit.people.notes(other.id)) == len(unit.audit.latest(other.id)) == 1
        assert unit.audit.latest()[1] == an_audit(staff_id=therapist.id, detail=""), "that something was done stays"
        assert unit.dialogues.get(therapist.id) == Dialogue(therapist.id, "")
        assert unit.dialogues.get(colleague.id).flow == "writing"
        states = [unit.outbox.state(told[name].key) for name in ("danger", "silent", "digest", "other")]
        assert states == [OutboxState.SENT, None, OutboxState.SENT, OutboxState.SENT]
        assert not unit.outbox.put(told["danger"]), "told once, never again"


def test_an_invitation_that_nobody_used_names_nobody_for_ever(store: SqlStore) -> None:
    unused, used = an_invitation(), an_invitation()
    with store.writing() as unit:
        unit.invitations.add(unused)
        unit.invitations.add(used)
        unit.invitations.use(used.code_hash, "somebody", NOW)
        assert unit.invitations.forget(unused.expires_at) == 0
        assert unit.invitations.forget(unused.expires_at + dt.timedelta(seconds=1)) == 1
        assert unit.invitations.get(unused.code_hash) is None
        assert unit.invitations.get(used.code_hash), "used stays used"


def test_undone_erasing_erases_nothing(store: SqlStore) -> None:
    person, _ = lived_in(store)

    with store.writing() as unit:
        unit.people.erase(person.id)

    with store.reading() as unit:
        assert unit.people.get(person.id) == person


@pytest.mark.parametrize("a_reader_is_in_the_way", [False, True])
def test_erased_bytes_leave_the_file_and_its_log(
    sqlite_store: SqlStore, tmp_path: Path, a_reader_is_in_the_way: bool
) -> None:
    person, _ = lived_in(sqlite_store, address="chat-of-the-erased")
    traces = [person.address.encode(), *map(str.encode, sealed_texts(sqlite_store, but_for="staff"))]

    def found() -> list[bytes]:
        held = b"".join(path.read_bytes() for path in tmp_path.glob("store.db*"))
        return [trace for trace in traces if trace in held]

    assert found() == traces, "so that their absence means something"

    reader = sqlite_store.reading()
    if a_reader_is_in_the_way:
        reader.__enter__().people.all()
    with sqlite_store.writing() as unit:
        unit.people.erase(person.id)
        unit.commit()
    if a_reader_is_in_the_way:
        assert found() != []
        reader.__exit__(None, None, None)
        with sqlite_store.writing() as unit:
            unit.commit()  # any later one

    assert found() == []


def test_a_finished_update_keeps_its_number_and_loses_its_text(sqlite_store: SqlStore) -> None:
    update = an_update(payload=WORDS)
    with sqlite_store.writing() as unit:
        unit.inbox.put([update])
        (item,) = unit.inbox.claim(NOW, 1)
        unit.inbox.done(item.id, NOW)
        unit.commit()

    assert sealed_texts(sqlite_store) == []
    with sqlite_store.writing() as unit:
        assert unit.inbox.put([update]) == 0


def test_a_forgotten_message_says_neither_what_nor_to_whom(store: SqlStore) -> None:
    message = a_message(words=Worded(WORDS), address="a certain chat")
    with store.writing() as unit:
        unit.outbox.put(message)
        (item,) = unit.sending.claim(NOW, 1, "a sender", 30)
        unit.sending.sent(item.id, NOW, "71")
        unit.outbox.forget(NOW.replace(year=2027))
        unit.commit()

    assert sealed_texts(store) == []
    assert not [row for _, row in raw_rows(store) if message.address in row]
