"""What goes out: replies first, one a chat at a time, and never more than one repeat."""

import datetime as dt
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from core.records import OutboxItem, OutboxState, Outgoing, Priority
from core.store import SqlStore
from core.store.outbox import KEYS_KEPT
from tests.builders import NOW, a_message, a_person

SECOND = dt.timedelta(seconds=1)
LEASE_S = 30.0


def put(store: SqlStore, *messages: Outgoing) -> None:
    with store.writing() as unit:
        for message in messages:
            assert unit.outbox.put(message)
        unit.commit()


def claim(store: SqlStore, now: dt.datetime = NOW, limit: int = 10) -> tuple[OutboxItem, ...]:
    with store.writing() as unit:
        items = unit.sending.claim(now, limit, "a sender", LEASE_S)
        unit.commit()
    return items


def claimed(store: SqlStore, now: dt.datetime = NOW, limit: int = 10) -> list[Outgoing]:
    return [item.message for item in claim(store, now, limit)]


def to(chat: str, priority: Priority = Priority.REPLY, **given: Any) -> Outgoing:
    return a_message(address=chat, priority=priority, **given)


def test_a_key_is_taken_once_and_for_three_months(store: SqlStore) -> None:
    bulk, reply = to("a", Priority.BULK), to("b")
    put(store, bulk, reply)
    with store.writing() as unit:
        assert not unit.outbox.put(to("c", key=bulk.key))
        for item in unit.sending.claim(NOW, 5, "a sender", LEASE_S):
            unit.sending.sent(item.id, NOW, "71")

        assert unit.outbox.forget(NOW) == 0
        assert unit.outbox.forget(NOW + SECOND) == 2
        assert unit.outbox.forget(NOW + SECOND) == 0

        assert not unit.outbox.put(to("c", key=bulk.key))
        assert unit.outbox.state(bulk.key) is OutboxState.SENT
        assert unit.outbox.state(reply.key) is None, "replies go with their keys"

        assert unit.outbox.forget(NOW + KEYS_KEPT) == 0
        assert unit.outbox.forget(NOW + KEYS_KEPT + SECOND) == 1
        assert unit.outbox.state(bulk.key) is None, "nothing is kept for ever"


def test_replies_go_before_notices_and_prompts(store: SqlStore) -> None:
    bulk, notice, reply = to("a", Priority.BULK), to("b", Priority.NOTICE), to("c")
    put(store, bulk, notice, reply)

    assert claimed(store, limit=2) == [reply, notice]
    assert claimed(store) == [bulk]


def test_a_chat_gets_one_message_at_a_time_in_order(store: SqlStore) -> None:
    first, second, other = to("a"), to("a"), to("b")
    put(store, first, second, other)

    items = claim(store)
    assert [item.message for item in items] == [first, other]
    assert claimed(store) == []
    with store.writing() as unit:
        unit.sending.sent(items[0].id, NOW, "71")
        unit.commit()

    assert claimed(store) == [second]


def test_a_message_that_is_tried_again_keeps_its_place(store: SqlStore) -> None:
    first, second = to("a"), to("a")
    put(store, first, second)
    (item,) = claim(store)
    with store.writing() as unit:
        unit.sending.retry(item.id, NOW + 9 * SECOND)
        assert unit.due.next(NOW) == NOW, "the second is due, though it must wait"
        unit.commit()

    assert claimed(store, NOW + 8 * SECOND) == []
    (again,) = claim(store, NOW + 9 * SECOND)
    assert (again.message.key, again.tries, again.unknowns) == (first.key, 2, 0)


def test_a_reply_need_not_wait_for_a_prompt_that_is_tried_again(store: SqlStore) -> None:
    prompt, reply = to("a", Priority.BULK), to("a")
    put(store, prompt)
    (item,) = claim(store)
    put(store, reply)
    assert claimed(store) == []
    with store.writing() as unit:
        unit.sending.retry(item.id, NOW + 9 * SECOND)
        unit.commit()

    assert claimed(store) == [reply]


def test_a_message_planned_for_later_waits_and_holds_nobody_up(store: SqlStore) -> None:
    later, now = to("a", not_before=NOW + 60 * SECOND), to("a")
    put(store, later, now)

    assert claimed(store) == [now]
    assert claimed(store, NOW + 59 * SECOND) == []


def test_a_message_that_came_too_late_expires_unsent(store: SqlStore) -> None:
    stale, good = to("a", expires_at=NOW), to("a", expires_at=NOW + SECOND)
    put(store, stale, good)

    assert claimed(store) == [good]
    with store.reading() as unit:
        assert unit.outbox.state(stale.key) is OutboxState.EXPIRED


def leaving(store: SqlStore, now: dt.datetime = NOW) -> OutboxItem:
    """The one message that is claimed and on its way."""
    (item,) = claim(store, now)
    with store.writing() as unit:
        assert unit.sending.leaves([item.id], "a sender") == {item.id}
        unit.commit()
    return item


def test_an_unknown_delivery_is_repeated_until_its_sender_gives_it_up(store: SqlStore) -> None:
    message = to("a")
    put(store, message)

    for unknowns in range(4):
        item = leaving(store, NOW + SECOND)
        assert item.unknowns == unknowns
        with store.writing() as unit:
            unit.sending.unknown(item.id, NOW + SECOND)
            unit.commit()
        with store.reading() as unit:
            assert unit.outbox.state(message.key) is OutboxState.UNKNOWN


def test_a_lease_that_ran_out_gives_back_what_had_not_left_as_it_was(store: SqlStore) -> None:
    message = to("a")
    put(store, message)
    now = NOW

    for unknown in (0, 1, 0, 1):
        item = leaving(store, now) if unknown else claim(store, now)[0]
        with store.writing() as unit:
            assert unit.sending.recover(now + dt.timedelta(seconds=LEASE_S - 1)) == 0
            now += dt.timedelta(seconds=LEASE_S)
            assert unit.sending.recover(now) == unknown
            unit.commit()

    assert claim(store, now + 10 * SECOND)[0].unknowns == 2
    assert item.message.key == message.key


def test_what_left_alone_gives_back_at_a_start_is_due_at_once(store: SqlStore) -> None:
    put(store, to("a"))
    leaving(store)
    with store.writing() as unit:
        assert unit.sending.recover(NOW + SECOND, alone=True) == 1
        unit.commit()

    assert len(claim(store, NOW + SECOND)) == 1


def test_only_who_holds_a_message_may_let_it_leave_and_only_once(store: SqlStore) -> None:
    put(store, to("a"))
    (item,) = claim(store)
    with store.writing() as unit:
        assert unit.sending.leaves([item.id], "another") == frozenset()
        assert unit.sending.leaves([item.id], "a sender") == {item.id}
        assert unit.sending.leaves([item.id], "a sender") == frozenset()
        unit.sending.recover(NOW + dt.timedelta(minutes=5))
        assert unit.sending.leaves([item.id], "a sender") == frozenset()


def test_what_was_put_back_untried_does_not_count_as_a_try(store: SqlStore) -> None:
    first, urgent = to("a"), to("b", Priority.DANGER)
    put(store, first)
    (item,) = claim(store)
    with store.writing() as unit:
        unit.sending.put_back(item.id, NOW + SECOND)
        unit.commit()
    put(store, urgent)

    assert [(each.message.key, each.tries) for each in claim(store, NOW + SECOND)] == [(urgent.key, 1), (first.key, 1)]


def test_a_chat_that_rests_gets_nothing_and_holds_nobody_up(store: SqlStore) -> None:
    resting, other = to("a"), to("b")
    put(store, resting, other)
    with store.writing() as unit:
        items = unit.sending.claim(NOW, 1, "a sender", LEASE_S, resting=["a", "c"])

    assert [item.message for item in items] == [other]


def test_a_sender_that_reports_after_its_lease_prevents_the_repeat(store: SqlStore) -> None:
    put(store, to("a"))
    (item,) = claim(store)
    with store.writing() as unit:
        unit.sending.recover(NOW + dt.timedelta(minutes=5))
        unit.sending.sent(item.id, NOW + dt.timedelta(minutes=5), "71")
        unit.commit()

    assert claimed(store, NOW + dt.timedelta(hours=1)) == []


def test_a_refused_message_fails_and_the_next_goes_out(store: SqlStore) -> None:
    refused, following = to("a"), to("a")
    put(store, refused, following)
    (item,) = claim(store)
    with store.writing() as unit:
        unit.sending.failed(item.id, NOW, "chat not found")
        unit.commit()

    assert claimed(store) == [following]
    with store.reading() as unit:
        assert unit.outbox.state(refused.key) is OutboxState.FAILED


def test_cancelling_takes_back_only_what_nobody_began_to_send(store: SqlStore) -> None:
    person = a_person()
    sending, prompt, reminder = (
        a_message(person, kind=kind) for kind in ("evening.ask", "evening.ask", "evening.remind")
    )
    other = a_message(a_person())
    put(store, sending, prompt, reminder)
    (item,) = claim(store)
    put(store, other)
    with store.writing() as unit:
        assert unit.outbox.cancel(person.id, ["evening.ask", "evening.gap"]) == 1
        assert unit.outbox.cancel(person.id, []) == 0
        unit.sending.sent(item.id, NOW, None)
        assert not unit.outbox.put(prompt), "its key stays taken"
        unit.commit()

    assert claimed(store) == [reminder, other]


def test_four_senders_take_everything_once_and_never_two_of_a_chat(store: SqlStore) -> None:
    messages = [to(f"chat {n % 10}", key=f"k{n}") for n in range(100)]
    put(store, *messages)
    sent: list[str] = []
    mixed: list[list[str]] = []

    def work(_: int) -> None:
        while len(sent) < len(messages):
            items = claim(store, limit=4)
            chats = [item.message.address for item in items]
            if len(set(chats)) < len(chats):
                mixed.append(chats)
            with store.writing() as unit:
                for item in items:
                    sent.append(item.message.key)
                    unit.sending.sent(item.id, NOW, None)
                unit.commit()

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(work, range(4)))

    assert mixed == []
    assert Counter(sent) == Counter(message.key for message in messages)
    for chat in range(10):
        own = [int(key[1:]) for key in sent if int(key[1:]) % 10 == chat]
        assert own == sorted(own)


@pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
def test_a_second_sender_waits_for_the_first_claim_and_then_takes_the_rest(store: SqlStore) -> None:
    first, second, other = to("a"), to("a"), to("b")
    put(store, first, second, other)

    with store.writing() as one, ThreadPoolExecutor(1) as pool:
        assert [item.message for item in one.sending.claim(NOW, 1, "one", LEASE_S)] == [first]
        waiting = pool.submit(claimed, store)
        one.commit()

        assert waiting.result() == [other]


def test_what_dies_again_and_again_repeats_a_message_with_growing_pauses(store: SqlStore) -> None:
    """Each start sent it anew at once before: with a start every few seconds a chat had it every few seconds."""
    now = NOW
    with store.writing() as unit:
        unit.outbox.put(a_message())
        for pause in (0, 10, 60, 60):
            (item,) = unit.sending.claim(now, 1, "alone", LEASE_S)
            unit.sending.leaves([item.id], "alone")
            now += SECOND
            assert unit.sending.recover(now, alone=True) == 1
            if pause:
                assert unit.sending.claim(now + (pause - 1) * SECOND, 1, "alone", LEASE_S) == ()
            now += pause * SECOND
