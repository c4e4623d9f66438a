"""The outbox on a real store, over the real channel, to the stand-in; time passes by moving the program's clock."""

import asyncio
import datetime as dt
import itertools
import random
import time
from collections import Counter
from collections.abc import Awaitable, Callable
from typing import Any

import pytest

from bot.bucket import Bucket
from bot.channels.telegram import TelegramChannel
from bot.delivery import Delivery
from bot.in_store import in_thread
from bot.ports import Button, Rendered
from core.errors import SettingsError, StoreError
from core.records import OutboxState, Outgoing, Priority
from core.store import SqlStore
from tests.bot.messaging.conftest import Clock
from tests.builders import a_message, a_person
from tests.standin import DropAfter, DropBefore, Late, Person, StandIn, forbidden, refusal, slow_down, trouble
from tests.standin.troubles import refused


async def in_words(message: Outgoing) -> Rendered:
    """Wording for these tests: the facts decide."""
    if message.facts.get("broken"):
        raise KeyError("a sentence with a person's words in it")
    return Rendered(f"{message.kind} {message.facts.get('n', '')}".strip(), ((Button("Ok", "ok"),),))


class World:
    """One clinic's outbox with everything around it."""

    def __init__(self, standin: StandIn, store: SqlStore, channel: TelegramChannel, clock: Clock) -> None:
        self.standin, self.store, self.channel, self.clock = standin, store, channel, clock
        self.gone: list[str] = []

    def delivery(self, bucket: Bucket | None = None, store: Any = None, **more: Any) -> Delivery:
        async def unreachable(person_id: str) -> None:
            self.gone.append(person_id)

        given: dict[str, Any] = {"owner": "one", "on_unreachable": unreachable, "dice": random.Random(1), **more}
        render: Callable[[Outgoing], Awaitable[Rendered]] = given.pop("render", in_words)
        channels = {"telegram": self.channel}
        bucket = bucket or Bucket.unlimited()
        return Delivery(store or self.store, channels, render, bucket, self.clock, in_thread, **given)

    def put(self, person: Person, kind: str = "evening.ask", **given: Any) -> str:
        """Put a message to this person into the outbox; returns its key."""
        owner = a_person(id=f"p{person.chat}", channel="telegram", address=str(person.chat))
        message = a_message(owner, kind=kind, **{"facts": {}, "at": self.clock(), **given})
        with self.store.writing() as unit:
            unit.enqueue(message)
            unit.commit()
        return message.key

    def state(self, key: str) -> OutboxState | None:
        with self.store.reading() as unit:
            return unit.message_state(key)


@pytest.fixture
def world(standin: StandIn, sqlite_store: SqlStore, channel: TelegramChannel, clock: Clock) -> World:
    return World(standin, sqlite_store, channel, clock)


@pytest.fixture
async def ines(standin: StandIn) -> Person:
    return standin.person("Ines")


async def test_everything_due_goes_out_once_and_in_order_within_a_chat(world: World, standin: StandIn) -> None:
    people = [standin.person(f"P{n}") for n in range(6)]
    keys = [world.put(person, facts={"n": n}) for n in range(5) for person in people]
    late = world.put(people[0], kind="later", not_before=world.clock() + dt.timedelta(hours=1))

    assert await world.delivery().drain_once() == 30

    assert all(person.texts == [f"evening.ask {n}" for n in range(5)] for person in people)
    assert {world.state(key) for key in keys} == {OutboxState.SENT}
    assert world.state(late) is OutboxState.PENDING


async def test_replies_go_before_notices_before_bulk(world: World, standin: StandIn) -> None:
    order = [Priority.BULK, Priority.NOTICE, Priority.REPLY] * 4
    for priority in order:
        world.put(standin.person("P"), kind=priority.value, priority=priority)

    await world.delivery(in_flight=1).drain_once()

    assert [call.values["text"] for call in standin.sent("sendMessage")] == sorted(order)


@pytest.mark.parametrize(("bucket", "allowed"), [(Bucket.unlimited(), 5), (Bucket(per_second=100), 4)])
async def test_never_more_in_flight_than_allowed_nor_prepared_than_can_leave_soon(
    world: World, standin: StandIn, bucket: Bucket, allowed: int
) -> None:
    now = most = 0

    async def render(message: Outgoing) -> Rendered:
        nonlocal now, most
        now, most = now + 1, max(most, now + 1)
        await asyncio.sleep(0.03)
        now -= 1
        return Rendered("x")

    for n in range(40):
        world.put(standin.person(f"P{n}"))
    await world.delivery(bucket, render=render, in_flight=5).drain_once()

    assert most == allowed


@pytest.mark.parametrize(
    ("met", "after", "got"),
    [
        (trouble(502), OutboxState.PENDING, 1),
        (slow_down(2), OutboxState.PENDING, 1),
        (DropBefore(), OutboxState.UNKNOWN, 1),
        (DropAfter(), OutboxState.UNKNOWN, 2),
        (refusal(), OutboxState.FAILED, 0),
        (forbidden(), OutboxState.FAILED, 0),
    ],
    ids=str,
)
async def test_one_failure_is_handled_by_its_meaning(
    world: World, ines: Person, met: Any, after: OutboxState, got: int
) -> None:
    key = world.put(ines)
    world.standin.troubles.add("sendMessage", met)
    delivery = world.delivery(monotonic=lambda: world.clock().timestamp())

    await delivery.drain_once()
    first = world.state(key)
    world.clock.pass_by(60)
    await delivery.drain_once()

    assert first is after
    assert len(ines.got) == got
    assert world.state(key) is (OutboxState.FAILED if after is OutboxState.FAILED else OutboxState.SENT)
    assert world.gone == ([f"p{ines.chat}"] if met == forbidden() else [])


async def test_unknown_twice_is_the_end_so_that_nobody_gets_a_third_copy(world: World, ines: Person) -> None:
    key = world.put(ines)
    world.standin.troubles.add("sendMessage", DropAfter(), DropAfter())
    delivery = world.delivery()

    for _ in range(5):
        await delivery.drain_once()
        world.clock.pass_by(600)

    assert world.state(key) is OutboxState.FAILED
    assert len(ines.got) == 2


async def test_retries_grow_further_apart_and_end_after_a_day(world: World, ines: Person) -> None:
    key, began = world.put(ines, at=world.clock() - dt.timedelta(hours=20)), world.clock()
    world.standin.troubles.add("sendMessage", *[trouble(500)] * 2000)
    delivery, times = world.delivery(), list[float]()

    while world.state(key) is not OutboxState.FAILED:
        assert await delivery.drain_once() == 1
        times.append((world.clock() - began).total_seconds())
        with world.store.reading() as unit:
            world.clock.now = unit.next_work(world.clock()) or world.clock()

    gaps = [after - before for before, after in itertools.pairwise(times)]
    assert 1 <= gaps[0] <= 2
    assert 150 <= gaps[-1] <= 300
    assert 4 * 3600 <= times[-1] <= 4 * 3600 + 300


async def test_a_message_that_cannot_be_worded_fails_alone(
    world: World, standin: StandIn, caplog: pytest.LogCaptureFixture
) -> None:
    ines, tomas = standin.person("Ines"), standin.person("Tomas")
    broken = world.put(ines, facts={"broken": True})
    stray = world.put(ines, channel="pigeon")
    world.put(ines), world.put(tomas)

    await world.delivery().drain_once()

    assert (ines.texts, tomas.texts) == (["evening.ask"], ["evening.ask"])
    assert {world.state(broken), world.state(stray)} == {OutboxState.FAILED}
    assert "a person's words" not in caplog.text


async def test_a_database_that_fails_while_wording_is_no_reason_to_give_up(world: World, ines: Person) -> None:
    failing = [True]

    async def render(message: Outgoing) -> Rendered:
        if failing.pop() if failing else False:
            raise StoreError("locked")
        return await in_words(message)

    world.put(ines)
    delivery = world.delivery(render=render)
    await delivery.drain_once()
    world.clock.pass_by(10)
    await delivery.drain_once()

    assert ines.texts == ["evening.ask"]


async def test_wording_that_hangs_does_not_outlive_its_claim(
    world: World, ines: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.delivery.LONGEST_WORDING_S", 0.05)
    hanging = [True]

    async def render(message: Outgoing) -> Rendered:
        if hanging:
            hanging.clear()
            await asyncio.sleep(30)
        return await in_words(message)

    key, delivery = world.put(ines), world.delivery(render=render)
    await delivery.drain_once()
    assert world.state(key) is OutboxState.PENDING
    world.clock.pass_by(10)
    await delivery.drain_once()

    assert world.state(key) is OutboxState.SENT


async def test_a_reply_does_not_wait_behind_bulk_messages_that_wait_for_their_turn(
    world: World, standin: StandIn
) -> None:
    for n in range(40):
        world.put(standin.person(f"P{n}"))
    tomas, stop, wake = standin.person("Tomas"), asyncio.Event(), asyncio.Event()
    task = asyncio.create_task(world.delivery(Bucket(per_second=50)).run(stop, wake))
    while not standin.sent("sendMessage"):
        await asyncio.sleep(0.005)

    world.put(tomas, kind="reply", priority=Priority.REPLY)
    wake.set()
    before = len(standin.sent("sendMessage"))
    while not tomas.got:
        await asyncio.sleep(0.002)
    passed = len(standin.sent("sendMessage")) - before
    stop.set()
    await task

    assert passed <= 7  # at most four were prepared already, one on the wire, and the reply itself


async def test_a_halt_holds_everybody_to_its_end_and_uses_up_no_claims(world: World, standin: StandIn) -> None:
    people = [standin.person(f"P{n}") for n in range(8)]
    keys = [world.put(person) for person in people]
    standin.troubles.add("sendMessage", slow_down(60))
    delivery = world.delivery(in_flight=1, monotonic=lambda: world.clock().timestamp())

    taken = [await delivery.drain_once()]
    for seconds in (0, 30, 29):
        world.clock.pass_by(seconds)
        taken.append(await delivery.drain_once())
    world.clock.pass_by(2)
    taken.append(await delivery.drain_once())

    assert taken == [1, 0, 0, 0, 8]
    assert {world.state(key) for key in keys} == {OutboxState.SENT}
    assert Counter(len(person.got) for person in people) == {1: 8}


async def test_what_is_prepared_already_waits_out_a_halt_in_real_time(world: World, standin: StandIn) -> None:
    for n in range(8):
        world.put(standin.person(f"P{n}"))
    standin.troubles.add("sendMessage", slow_down(1))

    delivery = world.delivery(Bucket(per_second=50))
    await delivery.drain_once()
    world.clock.pass_by(2)
    await delivery.drain_once()

    first, *others = [call.at for call in standin.sent("sendMessage")]
    assert len(others) == 8
    assert [at for at in others if first + 0.1 < at < first + 1.0] == []


async def test_the_rate_holds_on_the_wire(world: World, standin: StandIn) -> None:
    """50 chats, 25 a second and no burst: arithmetic gives 49 gaps of 40 ms."""
    for n in range(50):
        world.put(standin.person(f"P{n}"))
    stop, wake = asyncio.Event(), asyncio.Event()
    task = asyncio.create_task(world.delivery(Bucket()).run(stop, wake))
    while len(standin.sent("sendMessage")) < 50:
        await asyncio.sleep(0.02)
    stop.set()
    await task

    times = [call.at for call in standin.sent("sendMessage")]
    assert 0.98 * 49 / 25 <= times[-1] - times[0] <= 1.5 * 49 / 25  # the upper end for a busy machine
    assert max(sum(start <= at < start + 1 for at in times) for start in times) <= 27


async def test_a_wake_up_sends_at_once_and_a_stop_lets_what_is_under_way_arrive(world: World, ines: Person) -> None:
    stop, wake = asyncio.Event(), asyncio.Event()
    task = asyncio.create_task(world.delivery(idle_s=30).run(stop, wake))
    await asyncio.sleep(0.05)
    began, key = time.monotonic(), world.put(ines)
    world.standin.troubles.add("sendMessage", Late(0.2))

    wake.set()
    while not ines.got:
        await asyncio.sleep(0.005)
    waited = time.monotonic() - began
    stop.set()
    await task

    assert waited < 5  # and not the 30 s after which it looks by itself
    assert world.state(key) is OutboxState.SENT


async def test_a_sender_that_died_leaves_its_message_unknown_and_another_sends_it_once_more(
    world: World, ines: Person
) -> None:
    key = world.put(ines)
    with world.store.writing() as unit:  # claimed, and then the process is gone
        unit.claim_outbox(world.clock(), 5, "dead", 60)
        unit.commit()
    world.clock.pass_by(61)
    stop, wake = asyncio.Event(), asyncio.Event()
    task = asyncio.create_task(world.delivery().run(stop, wake))
    while world.state(key) is not OutboxState.SENT:
        await asyncio.sleep(0.01)
    stop.set()
    await task

    assert len(ines.got) == 1


class Stubborn:
    """The real store whose writes fail for a while after a message has been sent."""

    def __init__(self, store: SqlStore, standin: StandIn, failures: int) -> None:
        self.store, self.standin, self.failures = store, standin, failures

    def writing(self) -> Any:
        if self.failures and self.standin.sent("sendMessage"):
            self.failures -= 1
            raise StoreError("the database cannot be reached")
        return self.store.writing()


async def test_an_outcome_that_cannot_be_stored_is_tried_again_instead_of_sending_twice(
    world: World, ines: Person
) -> None:
    key = world.put(ines)
    stop = asyncio.Event()
    store = Stubborn(world.store, world.standin, 3)
    task = asyncio.create_task(world.delivery(store=store, idle_s=0.01).run(stop, asyncio.Event()))
    while world.state(key) is not OutboxState.SENT:
        await asyncio.sleep(0.01)
    stop.set()
    await task

    assert len(ines.got) == 1


async def test_a_database_that_is_away_is_waited_for(world: World, ines: Person) -> None:
    class Away(Stubborn):
        def writing(self) -> Any:
            self.failures -= 1
            if self.failures >= 0:
                raise StoreError("the database cannot be reached")
            return self.store.writing()

    world.put(ines)
    stop, wake = asyncio.Event(), asyncio.Event()
    store = Away(world.store, world.standin, 3)
    task = asyncio.create_task(world.delivery(store=store, idle_s=0.01).run(stop, wake))
    while not ines.got:
        await asyncio.sleep(0.01)
    stop.set()
    await task


async def test_a_refused_token_stops_delivery_and_keeps_the_messages(world: World, standin: StandIn) -> None:
    keys = [world.put(standin.person(f"P{n}")) for n in range(3)]
    standin.troubles.add("sendMessage", *[refused(401, "Unauthorized")] * 3)

    with pytest.raises(SettingsError, match="token"):
        await world.delivery(in_flight=1).run(asyncio.Event(), asyncio.Event())

    assert {world.state(key) for key in keys} == {OutboxState.PENDING}


async def test_a_person_who_cannot_be_noted_as_gone_does_not_stop_the_rest(world: World, standin: StandIn) -> None:
    ines, tomas = standin.person("Ines"), standin.person("Tomas")
    ines.blocks()
    key = world.put(ines)
    world.put(tomas)

    async def failing(person_id: str) -> None:
        raise RuntimeError("no")

    await world.delivery(on_unreachable=failing).drain_once()

    assert world.state(key) is OutboxState.FAILED
    assert len(tomas.got) == 1
