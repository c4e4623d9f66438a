"""What processes on one database share: one pace of sending, messages by kind, people in one order."""

import datetime as dt
import itertools
import time

import pytest
import sqlalchemy as sa

from core.errors import StoreError
from core.records import Due, OutboxState, Priority, Turns
from core.store import SqlStore, engine, open_store
from core.store import tables as t
from tests.builders import NOW, a_check_in, a_course, a_message, a_person, an_update

SECOND = dt.timedelta(seconds=1)


def turns(store: SqlStore, count: int, gap_s: float = 0.04, ahead_s: float = 0.25) -> Turns:
    with store.writing() as unit:
        given = unit.pace.take(count, gap_s, ahead_s)
        unit.commit()
    return given


def test_turns_are_one_gap_apart_whoever_takes_them(store: SqlStore) -> None:
    """Arithmetic: four owners take three turns of 40 ms each; the last of twelve is 11 gaps after the first."""
    turns(store, 0)  # so that none of them has to connect first
    began = time.monotonic()
    starts = [time.monotonic() - began + turns(store, 3, ahead_s=4).first_s for _ in range(4)]

    assert [later - sooner for sooner, later in itertools.pairwise(starts)] == pytest.approx([0.12] * 3, abs=0.03)


def test_no_turn_is_given_far_ahead_and_the_wait_is_said(store: SqlStore) -> None:
    first, second = turns(store, 100), turns(store, 100)

    assert first.given == 7, "at 0, 40, ... 240 ms"
    assert second.given == 0
    assert 0.1 < second.first_s <= 0.28


def test_a_halt_holds_for_all_and_to_its_latest_end(store: SqlStore) -> None:
    with store.writing() as unit:
        unit.pace.halt(30)
        unit.pace.halt(3)
        unit.commit()

    refused = turns(store, 1)
    assert refused.given == 0
    assert 29 < refused.first_s <= 30


def test_a_server_clock_that_was_set_back_does_not_stop_all_sending(store: SqlStore) -> None:
    turns(store, 1)
    with store.writing() as unit:
        unit.connection.execute(t.pace.update().values(next_at=t.pace.c.next_at + 3600 * 1_000_000))
        unit.commit()

    assert turns(store, 1).given == 1


def test_what_takes_long_to_make_has_a_lane_of_its_own_and_no_chat_gets_two_at_once(store: SqlStore) -> None:
    plain, drawn = a_message(), a_message(priority=Priority.DRAWN)
    behind = a_message(address=drawn.address, channel=drawn.channel)
    with store.writing() as unit:
        unit.outbox.put(drawn)
        unit.outbox.put(plain)

        def claimed(drawn: bool) -> list[str]:
            return [item.message.key for item in unit.sending.claim(NOW, 5, "s", 30, drawn=drawn)]

        assert claimed(False) == [plain.key]
        assert claimed(True) == [drawn.key]
        unit.outbox.put(behind)
        assert claimed(False) == []


def test_a_chat_that_just_had_a_message_waits_whoever_sent_it(store: SqlStore) -> None:
    first, other = a_message(), a_message()
    second = a_message(address=first.address, channel=first.channel)
    with store.writing() as unit:
        for message in (first, second, other):
            unit.outbox.put(message)
        (item,) = unit.sending.claim(NOW, 1, "one", 30, apart_s=1)
        unit.sending.sent(item.id, NOW, "71")

        soon = unit.sending.claim(NOW + 0.9 * SECOND, 5, "two", 30, apart_s=1)
        assert [each.message.key for each in soon] == [other.key]
        (later,) = unit.sending.claim(NOW + SECOND, 5, "two", 30, apart_s=1)
        assert later.message.key == second.key


def test_a_lease_on_a_message_is_renewed_by_its_owner_only(store: SqlStore) -> None:
    message = a_message()
    with store.writing() as unit:
        unit.outbox.put(message)
        (item,) = unit.sending.claim(NOW, 1, "one", 15)
        unit.sending.leaves([item.id], "one")
        assert unit.sending.renew([item.id], "two", NOW + 60 * SECOND) == 0
        assert unit.sending.renew([], "one", NOW + 60 * SECOND) == 0
        assert unit.sending.renew([item.id], "one", NOW + 25 * SECOND) == 1
        assert unit.sending.recover(NOW + 24 * SECOND) == 0
        assert unit.sending.recover(NOW + 25 * SECOND) == 1
        assert unit.sending.renew([item.id], "one", NOW + 60 * SECOND) == 0, "it is in nobody's hand now"
        assert unit.outbox.state(message.key) is OutboxState.UNKNOWN


def test_a_message_leased_by_a_clock_since_set_back_is_taken_back(store: SqlStore) -> None:
    with store.writing() as unit:
        unit.outbox.put(a_message())
        (item,) = unit.sending.claim(NOW + dt.timedelta(hours=2), 1, "one", 15)
        unit.sending.leaves([item.id], "one")

        assert unit.sending.recover(NOW) == 1


def test_what_waits_for_its_first_try_is_known(store: SqlStore) -> None:
    with store.writing() as unit:
        assert not unit.inbox.untouched(NOW)
        unit.inbox.put([an_update(received_at=NOW)])
        assert not unit.inbox.untouched(NOW - SECOND)
        assert unit.inbox.untouched(NOW)
        (item,) = unit.inbox.claim(NOW, 1)
        unit.inbox.failed(item.id, NOW, "a broken pipe", dead=False)
        assert not unit.inbox.untouched(NOW)


@pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
@pytest.mark.parametrize("due", [Due.REMIND, Due.CLOSE])
def test_a_clock_s_work_leaves_alone_whoever_is_answering_and_sees_what_they_answered(
    store: SqlStore, due: Due
) -> None:
    person = a_person()
    course = a_course(person)
    check_in = a_check_in(course, remind_at=NOW, close_at=NOW)
    with store.writing() as unit:
        unit.people.save(person)
        unit.diary.save_course(course)
        unit.diary.add_check_in(check_in)
        unit.commit()

    with store.writing() as answering, store.writing() as clock:
        answering.people.get(person.id, lock=True)
        assert clock.due.ids(due, NOW, 5) == ()
    with store.writing() as clock:
        assert clock.due.ids(due, NOW, 5) == (check_in.id,)


@pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
def test_a_frozen_process_loses_its_update_and_its_transaction(
    store_url: str, key: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A stopped process holds its locks until the server ends its idle transaction; here after 0.5 s instead of 20."""
    assert "idle_in_transaction_session_timeout=20s" in engine._SESSION
    monkeypatch.setattr(engine, "_SESSION", engine._SESSION.replace("=20s", "=500ms"))
    frozen, alive = open_store(store_url, key), open_store(store_url, key)
    with alive.writing() as unit:
        unit.inbox.put([an_update()])
        unit.commit()

    with frozen.writing() as held:
        (item,) = held.inbox.claim(NOW, 1)
        with alive.writing() as unit:
            assert unit.inbox.claim(NOW, 1) == ()
        time.sleep(0.7)
        with alive.writing() as unit:
            assert [again.id for again in unit.inbox.claim(NOW, 1)] == [item.id]
            unit.inbox.done(item.id, NOW)
            unit.commit()
        with pytest.raises(StoreError, match="run this unit of work again"):
            held.inbox.done(item.id, NOW)
    frozen.close()
    alive.close()


@pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
def test_options_of_the_url_are_kept_beside_ours(store_url: str) -> None:
    ours = engine.make_engine(store_url + "&options=-c%20lock_timeout%3D7s")
    with ours.connect() as connection:
        shown = [connection.execute(sa.text(f"SHOW {name}")).scalar() for name in (
            "lock_timeout", "idle_in_transaction_session_timeout",
        )]  # fmt: skip
    ours.dispose()

    assert shown == ["7s", "20s"]
