"""Order, pace and stopping of the outbox, on a real store and over the real channel to the stand-in."""

import asyncio
import datetime as dt
import itertools
import time
from collections import Counter

import pytest

from bot.messaging.pace import Bucket
from bot.ports import Rendered
from core.records import OutboxState, Outgoing, Priority, Worded
from tests.bot.messaging.world import OK, World
from tests.standin import Late, Person, StandIn, slow_down


async def test_everything_due_goes_out_once_and_in_order_within_a_chat(world: World, standin: StandIn) -> None:
    people = [standin.person(f"P{n}") for n in range(6)]
    keys = [world.put(person, words=Worded(f"evening.ask {n}", OK)) for n in range(5) for person in people]
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
    standin.troubles.add("sendMessage", slow_down(60), slow_down(60))
    delivery = world.delivery(in_flight=1, monotonic=lambda: world.clock().timestamp())

    taken = [await delivery.drain_once()]
    for seconds in (0, 30, 29):
        world.clock.pass_by(seconds)
        taken.append(await delivery.drain_once())
    world.clock.pass_by(2)
    taken.append(await delivery.drain_once())

    assert taken == [2, 0, 0, 0, 8]
    assert {world.state(key) for key in keys} == {OutboxState.SENT}
    assert Counter(len(person.got) for person in people) == {1: 8}


async def test_what_is_prepared_already_waits_out_a_halt_in_real_time(world: World, standin: StandIn) -> None:
    for n in range(8):
        world.put(standin.person(f"P{n}"))
    standin.troubles.add("sendMessage", slow_down(1), slow_down(1))

    delivery = world.delivery(Bucket(per_second=50))
    while len(standin.sent("sendMessage")) < 10:  # the two halted ones again, and the six others
        await delivery.drain_once()
        world.clock.pass_by(2)
        await asyncio.sleep(0.05)

    _, first, *others = [call.at for call in standin.sent("sendMessage")]
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
    with world.store.writing() as unit:  # claimed and leaving, and then the process is gone
        (item,) = unit.sending.claim(world.clock(), 5, "dead", 60)
        unit.sending.leaves([item.id], "dead")
        unit.commit()
    world.clock.pass_by(61)
    stop, wake = asyncio.Event(), asyncio.Event()
    task = asyncio.create_task(world.delivery().run(stop, wake))
    while world.state(key) is not OutboxState.SENT:
        await asyncio.sleep(0.01)
    stop.set()
    await task

    assert len(ines.got) == 1


async def test_a_chat_that_is_refused_waits_alone_until_another_is_refused_as_well(
    world: World, standin: StandIn
) -> None:
    slow, *others = [standin.person(f"P{n}") for n in range(5)]
    world.put(slow)
    for person in others:
        world.put(person)
    standin.troubles.add("sendMessage", slow_down(30), chat=slow.chat)

    delivery = world.delivery(in_flight=1)
    await delivery.drain_once()
    assert [len(person.got) for person in (slow, *others)] == [0, 1, 1, 1, 1]

    for person in others:
        world.put(person)
    standin.troubles.add("sendMessage", slow_down(30), chat=others[0].chat)
    await delivery.drain_once()
    assert [len(person.got) for person in (slow, *others)] == [0, 1, 1, 1, 1], "now everybody waits"


async def test_danger_goes_first_after_a_wait_of_everybody(world: World, standin: StandIn) -> None:
    for n in range(12):
        world.put(standin.person(f"P{n}"), priority=Priority.REPLY)
    standin.troubles.add("sendMessage", slow_down(1), slow_down(1))
    stop, wake = asyncio.Event(), asyncio.Event()
    task = asyncio.create_task(world.delivery(Bucket(per_second=50), idle_s=0.05).run(stop, wake))
    while len(standin.sent("sendMessage")) < 2:
        await asyncio.sleep(0.005)
    await asyncio.sleep(0.2)
    refused = len(standin.sent("sendMessage"))
    ines = standin.person("Ines")
    world.put(ines, kind="danger", priority=Priority.DANGER)
    world.clock.pass_by(2)
    while len(standin.sent("sendMessage")) < refused + 3:
        await asyncio.sleep(0.005)
    stop.set()
    await task

    assert [call.values["text"] for call in standin.sent("sendMessage")][refused] == "danger"


async def test_four_fast_tappers_do_not_hold_up_others(world: World, standin: StandIn) -> None:
    """Each of them has ten replies waiting, and a chat takes one a second: the others' first ones leave meanwhile."""
    tappers, others = ([standin.person(name) for _ in range(count)] for name, count in (("T", 4), ("O", 8)))
    for person in tappers * 10:
        world.put(person, kind="reply", priority=Priority.REPLY)
    stop, wake = asyncio.Event(), asyncio.Event()
    task = asyncio.create_task(world.delivery(Bucket()).run(stop, wake))
    while not all(person.got for person in tappers):
        await asyncio.sleep(0.005)
    began = time.monotonic()
    for person in others:
        world.put(person, kind="reply", priority=Priority.REPLY)
    wake.set()
    while not all(person.got for person in others):
        await asyncio.sleep(0.002)
    took = time.monotonic() - began
    stop.set()
    await task

    assert took < 0.8, "arithmetic: eight messages at 25 a second take 0.32 s"


async def test_a_chat_s_messages_are_a_second_apart_for_a_strict_service(world: World, ines: Person) -> None:
    """About one message a second in one chat (bots FAQ): one that answers 429 below 1.0 s is never met."""
    for _ in range(3):
        world.put(ines)

    await world.delivery(Bucket()).drain_once()

    times = [call.at for call in world.standin.sent("sendMessage")]
    assert len(times) == 3
    assert min(after - before for before, after in itertools.pairwise(times)) > 1.0
