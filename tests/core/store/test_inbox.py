"""What comes in is kept once, and handled once, in order within each chat."""

import datetime as dt
import subprocess
import sys
import threading
from collections import defaultdict
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from core.records import InboxItem, Update
from core.store import SqlStore
from tests.builders import NOW, an_update

SECOND = dt.timedelta(seconds=1)


def put(store: SqlStore, *updates: Update) -> None:
    with store.writing() as unit:
        unit.inbox.put(updates)
        unit.commit()


def handle_next(store: SqlStore, now: dt.datetime = NOW) -> Update | None:
    with store.writing() as unit:
        items = unit.inbox.claim(now, 1)
        if not items:
            return None
        unit.inbox.done(items[0].id, now)
        unit.commit()
        return items[0].update


def fail_next(store: SqlStore, now: dt.datetime = NOW, *, dead: bool = False) -> InboxItem:
    with store.writing() as unit:
        (item,) = unit.inbox.claim(now, 1)
    with store.writing() as unit:
        unit.inbox.failed(item.id, now, "a broken pipe", dead=dead)
        unit.commit()
    return item


def test_a_repeated_update_is_kept_once(store: SqlStore) -> None:
    update = an_update(update_id=2**52)
    with store.writing() as unit:
        assert unit.inbox.put([]) == 0
        assert unit.inbox.put([update, update]) == 1
        assert unit.inbox.put([update, an_update(update_id=2**52, channel="other")]) == 1


def test_an_update_is_handled_once_even_when_it_is_delivered_again(store: SqlStore) -> None:
    update = an_update()
    put(store, update)

    assert handle_next(store) == update
    put(store, update)

    assert handle_next(store) is None


def test_what_a_dying_process_had_claimed_is_handed_out_again(store: SqlStore) -> None:
    update = an_update()
    put(store, update)

    with store.writing() as unit:
        assert unit.inbox.claim(NOW, 1)[0].update == update  # and no commit

    assert handle_next(store) == update


def test_a_claim_takes_at_most_one_of_each_chat(store: SqlStore) -> None:
    first, other = an_update(address="a"), an_update(address="b")
    put(store, first, an_update(address="a"), other)

    with store.writing() as unit:
        assert [item.update for item in unit.inbox.claim(NOW, 10)] == [first, other]


def test_updates_that_overtook_each_other_are_put_in_order(store: SqlStore) -> None:
    second, first = an_update(address="a", update_id=8), an_update(address="a", update_id=7)
    put(store, second)
    put(store, first)

    assert [handle_next(store), handle_next(store)] == [first, second]


def test_a_failed_update_holds_back_its_chat_but_no_other_until_it_is_tried_again(store: SqlStore) -> None:
    first, second, other = an_update(address="a"), an_update(address="a"), an_update(address="b")
    put(store, first, second, other)

    fail_next(store)

    assert [handle_next(store), handle_next(store)] == [other, None]
    later = NOW + 2 * SECOND
    assert [handle_next(store, later), handle_next(store, later)] == [first, second]


def test_a_poisonous_update_is_given_up_and_its_chat_goes_on(store: SqlStore) -> None:
    poison, next_one = an_update(address="a"), an_update(address="a")
    put(store, poison, next_one)

    tries = [fail_next(store, NOW + 100 * n * SECOND, dead=n == 2).tries for n in range(3)]

    assert tries == [0, 1, 2]
    assert handle_next(store) == next_one
    assert handle_next(store, NOW + dt.timedelta(days=9)) is None


def test_finished_updates_are_forgotten_and_waiting_ones_never(store: SqlStore) -> None:
    done, waiting = an_update(address="a"), an_update(address="b")
    put(store, done, waiting)
    handle_next(store)

    with store.writing() as unit:
        assert unit.inbox.forget(NOW) == 0
        assert unit.inbox.forget(NOW + SECOND) == 1
        assert [item.update for item in unit.inbox.claim(NOW, 5)] == [waiting]


def test_four_threads_handle_everything_once_and_in_order(store: SqlStore) -> None:
    chats, each = 8, 12
    put(store, *(an_update(address=f"chat {n % chats}") for n in range(chats * each)))
    handled: dict[str, list[int]] = defaultdict(list)
    in_hand: set[str] = set()
    guard, together = threading.Lock(), []

    def work(_: int) -> None:
        while True:
            with store.writing() as unit:
                items = unit.inbox.claim(NOW, 1)
                if not items:
                    with guard:
                        if sum(map(len, handled.values())) == chats * each:
                            return
                    continue
                update = items[0].update
                with guard:
                    if update.address in in_hand:
                        together.append(update)
                    in_hand.add(update.address)
                    handled[update.address].append(update.update_id)
                unit.inbox.done(items[0].id, NOW)
                with guard:  # before the commit: afterwards the next of this chat may be in other hands
                    in_hand.discard(update.address)
                unit.commit()

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(work, range(4)))

    assert together == []
    assert len(handled) == chats
    assert all(numbers == sorted(set(numbers)) and len(numbers) == each for numbers in handled.values())


@pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
def test_two_processes_at_once_never_hold_the_same_chat(store: SqlStore) -> None:
    """On SQLite the second writer waits for the first, so that there is nothing to see."""
    first, second, other = an_update(address="a"), an_update(address="a"), an_update(address="b")
    put(store, first, second, other)

    with store.writing() as one, store.writing() as two, store.writing() as three:
        (held,) = one.inbox.claim(NOW, 1)
        assert held.update == first
        assert [item.update for item in two.inbox.claim(NOW, 5)] == [other]
        assert three.inbox.claim(NOW, 5) == ()

        one.inbox.done(held.id, NOW)
        one.commit()

        assert [item.update for item in three.inbox.claim(NOW, 5)] == [second]


KILLED = """
import itertools, sys
from core.store import open_store
from tests.builders import an_update
store = open_store(sys.argv[1], sys.argv[2].encode())
for number in itertools.count(1):
    with store.writing() as unit:
        unit.inbox.put([an_update(update_id=number, address="a")])
        unit.commit()
    print(number, flush=True)
"""


@pytest.mark.long
def test_what_was_confirmed_before_a_kill_is_there_afterwards(store: SqlStore, store_url: str, key: bytes) -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", KILLED, store_url, key.decode()], stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    with process:
        assert process.stdout is not None
        for _ in range(25):
            process.stdout.readline()
        process.kill()
        confirmed = 25 + len(process.stdout.read().splitlines())

    handled = []
    while update := handle_next(store):
        handled.append(update.update_id)
    # the last commit may have come through without the word of it
    assert handled in ([*range(1, confirmed + 1)], [*range(1, confirmed + 2)])


def test_an_update_without_a_chat_is_kept_too(store: SqlStore) -> None:
    update = replace(an_update(), address="")
    put(store, update)

    assert handle_next(store) == update


def test_a_chat_that_writes_a_lot_does_not_make_another_wait(store: SqlStore) -> None:
    """Sixty updates of one chat lay before the one of another, which waited for all of them."""
    flood = [an_update(address="flood") for _ in range(60)]
    with store.writing() as unit:
        unit.inbox.put([*flood, an_update(address="ines")])
        unit.commit()

    served = []
    with store.writing() as unit:
        while items := unit.inbox.claim(NOW, 1):
            served.append(items[0].update.address)
            unit.inbox.done(items[0].id, NOW)
    assert served.index("ines") <= 1
    assert len(served) == 61
