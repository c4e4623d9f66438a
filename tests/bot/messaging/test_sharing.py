"""Several processes: one lock at a time, one pace for all, and no message from a hand that stood still."""

import asyncio
import time
from collections.abc import Callable

import pytest

from bot.messaging.claims import LEASE_S, Claims
from bot.messaging.pace import Bucket, SharedPace
from bot.ports import Rendered
from bot.run import parts as holding
from bot.run.app import utc_now
from bot.run.in_store import Told, in_thread
from bot.run.parts import while_ours
from core.errors import StoreError
from core.ports import Lock
from core.records import OutboxState, Outgoing
from core.store import SqlStore
from tests.bot.messaging.polling import until
from tests.bot.messaging.world import World
from tests.builders import a_message
from tests.standin import Person, StandIn, slow_down


@pytest.fixture(autouse=True)
def _quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(holding, "LOOK_S", 0.05)
    monkeypatch.setattr(holding, "STILL_S", 0.05)


def worker(did: list[str], name: str) -> Callable[[asyncio.Event], "asyncio.Future[None]"]:
    async def work(leave: asyncio.Event) -> None:
        did.append(f"{name} begins")
        await leave.wait()
        did.append(f"{name} ends")

    return lambda leave: asyncio.ensure_future(work(leave))


def begin(lock: Lock, stop: asyncio.Event, did: list[str], name: str) -> "asyncio.Task[None]":
    return asyncio.create_task(while_ours(lock, "polling", in_thread, stop, worker(did, name)))


async def test_one_works_and_the_other_follows_when_it_stops(store: SqlStore) -> None:
    did: list[str] = []
    stops = {name: asyncio.Event() for name in ("one", "two")}
    tasks = {name: begin(store.lock("polling"), stop, did, name) for name, stop in stops.items()}
    await until(lambda: len(did) == 1)
    first, second = ("one", "two") if did == ["one begins"] else ("two", "one")
    await asyncio.sleep(0.15)
    assert len(did) == 1

    stops[first].set()
    await tasks[first]
    await until(lambda: len(did) == 3)
    assert did[1:] == [f"{first} ends", f"{second} begins"], "given back at once"
    stops[second].set()
    await tasks[second]


async def test_who_lost_the_lock_leaves_and_begins_again_when_it_is_theirs_again() -> None:
    did: list[str] = []
    answers = iter([True, True, StoreError("the connection was lost"), False, True])

    class Cut:
        def take(self) -> bool:
            answer = next(answers, True)
            if isinstance(answer, StoreError):
                raise answer
            return bool(answer)

        def drop(self) -> None:
            did.append("dropped")

    stop = asyncio.Event()
    task = begin(Cut(), stop, did, "one")
    await until(lambda: len(did) == 3)
    assert did == ["one begins", "one ends", "one begins"]
    stop.set()
    await task
    assert did[3:] == ["one ends", "dropped"]


async def test_what_breaks_under_a_lock_is_passed_on_and_the_lock_given_back(sqlite_store: SqlStore) -> None:
    async def breaks(_: asyncio.Event) -> None:
        raise RuntimeError("a bug")

    with pytest.raises(RuntimeError, match="a bug"):
        await while_ours(sqlite_store.lock("polling"), "polling", in_thread, asyncio.Event(), breaks)
    assert not sqlite_store.held("polling")


@pytest.mark.parametrize("store_url", ["postgresql"], indirect=True)
async def test_what_a_dead_process_had_in_hand_goes_on_long_before_its_lease_ends(store: SqlStore) -> None:
    steady, told = 0.0, Told()
    told.locked = True
    dying, other = (
        Claims(store, in_thread, utc_now, name, told, monotonic=lambda: steady) for name in ("dying", "other")
    )
    lives = store.listen("locked dying", lambda *_: None)
    await until(lambda: store.held("locked dying"))
    with store.writing() as uow:
        uow.outbox.put(a_message(at=utc_now()))
        uow.commit()
    (item,) = await dying.take(1)
    for seconds in range(1, 5):
        steady = float(seconds)
        await other.recover()
        assert not await other.take(1), "it lives"

    lives()  # as the server ends its lock when it dies
    await until(lambda: not store.held("locked dying"))
    steady = 5.0
    await other.recover()
    assert not await other.take(1), "it may be about to connect anew"
    steady = 7.0
    await other.recover()
    assert await other.take(1)
    assert item.tries == 1


async def test_two_processes_together_keep_to_one_rate_and_use_it(store: SqlStore) -> None:
    """100 a second: 60 turns take 59 gaps of 10 ms by arithmetic, whoever takes them."""
    paces = [SharedPace(store, in_thread, 100) for _ in range(2)]
    left: list[float] = []

    async def send(pace: SharedPace) -> None:
        assert await pace.turn(longest_s=20) == 0.0
        left.append(time.monotonic())

    began = time.monotonic()
    await asyncio.gather(*(send(pace) for pace in paces for _ in range(30)))

    # none leaves before its turn; on a busy machine all may leave late
    assert all(at - began >= 0.01 * number - 0.001 for number, at in enumerate(sorted(left)))
    assert max(left) - began < 0.59 + 3


async def test_one_process_told_to_slow_down_halts_the_other(store: SqlStore) -> None:
    one, other = (SharedPace(store, in_thread, 100) for _ in range(2))
    await one.halt(30)

    assert await other.turn(longest_s=20) == pytest.approx(30, abs=1)
    await one.halt(0.3)  # of several halts the latest end holds
    assert await one.turn(longest_s=20) > 28


async def test_a_message_refused_by_a_halt_elsewhere_goes_back_and_is_tried_again(
    world: World, standin: StandIn, ines: Person
) -> None:
    shared = SharedPace(world.store, in_thread, 100)
    key = world.put(ines)
    world.put(standin.person("Rita"))
    standin.troubles.add("sendMessage", slow_down(60), slow_down(60))
    await world.delivery(Bucket(200), shared=shared, in_flight=1).drain_once()
    assert len(standin.sent("sendMessage")) == 2

    later = world.put(standin.person("Tomas"))
    await world.delivery(Bucket(200), owner="two", shared=SharedPace(world.store, in_thread, 100)).drain_once()

    assert len(standin.sent("sendMessage")) == 2
    assert {world.state(key), world.state(later)} == {OutboxState.PENDING}


async def test_a_hand_that_stood_still_lets_go_what_another_may_have_taken(world: World, ines: Person) -> None:
    stood_still = 0.0

    async def render(message: Outgoing) -> Rendered:
        nonlocal stood_still
        stood_still = LEASE_S
        world.clock.pass_by(LEASE_S)
        return Rendered("too late")

    key = world.put(ines)
    delivery = world.delivery(render=render, monotonic=lambda: time.monotonic() + stood_still)
    await delivery.drain_once()

    assert ines.got == []
    await world.delivery(owner="two")._claims.recover()
    assert world.state(key) is OutboxState.PENDING, "it never left, so nothing about it is unknown"
