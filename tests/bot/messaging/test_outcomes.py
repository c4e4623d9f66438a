"""What each way of failing does to a message in the outbox; time passes by moving the program's clock."""

import asyncio
import datetime as dt
import itertools
from typing import Any

import pytest

from bot.ports import Rendered
from core.errors import SettingsError, StoreError
from core.records import OutboxState, Outgoing, Priority
from core.store import SqlStore
from tests.bot.messaging.world import BROKEN, World, drawn
from tests.standin import DropAfter, DropBefore, Person, StandIn, forbidden, refusal, slow_down, trouble
from tests.standin.troubles import refused


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


@pytest.mark.parametrize("met", [DropBefore(), DropAfter(), trouble(504)], ids=str)
@pytest.mark.parametrize(
    ("priority", "old_h", "hours"),
    [(Priority.DANGER, 26, 2), (Priority.NOTICE, 26, 2), (Priority.REPLY, 3.5, 1.5), (Priority.BULK, 0, 2.9)],
)
async def test_what_may_have_been_delivered_is_tried_until_it_is_known(
    world: World, ines: Person, met: Any, priority: Priority, old_h: float, hours: float
) -> None:
    """Danger and notices without end, replies for hours, questions until they expire; the message waited before."""
    expires = world.clock() + dt.timedelta(hours=3) if priority == Priority.BULK else None
    at, began = world.clock() - dt.timedelta(hours=old_h), world.clock()
    key = world.put(ines, priority=priority, expires_at=expires, at=at)
    world.standin.troubles.lasting["sendMessage"] = met
    delivery, times = world.delivery(), list[float]()
    while (world.clock() - began).total_seconds() < hours * 3600:
        assert await delivery.drain_once() == 1
        times.append((world.clock() - began).total_seconds())
        with world.store.reading() as unit:
            world.clock.now = unit.due.next(world.clock()) or world.clock()
    assert world.state(key) is OutboxState.UNKNOWN
    unheard = world.standin.unheard

    world.standin.troubles.lasting.clear()
    await delivery.drain_once()

    assert world.state(key) is OutboxState.SENT
    assert len(ines.got) == unheard + 1, "one repeat at most for each that had arrived"
    gaps = [after - before for before, after in itertools.pairwise(times)]
    assert 1 <= gaps[0] <= 2
    assert max(gaps) <= (120 if priority == Priority.DANGER else 600)


async def test_a_reply_nobody_knows_the_fate_of_is_given_up_after_hours_and_that_is_an_error(
    world: World, ines: Person, caplog: pytest.LogCaptureFixture
) -> None:
    key = world.put(ines, priority=Priority.REPLY)
    world.standin.troubles.lasting["sendMessage"] = trouble(504)
    delivery = world.delivery()
    for _ in range(8):
        await delivery.drain_once()
        world.clock.pass_by(3600)

    assert world.state(key) is OutboxState.FAILED
    assert [record.levelname for record in caplog.records if "given up" in record.message] == ["ERROR"]
    with world.store.reading() as unit:
        (lost,) = unit.outbox.lost()
    assert lost.kind == "evening.ask"


async def test_a_question_that_expired_untold_is_lost_and_one_never_tried_is_not(world: World, ines: Person) -> None:
    expires = world.clock() + dt.timedelta(hours=3)
    world.put(ines, expires_at=expires)
    world.put(world.standin.person("Tomas"), not_before=expires, expires_at=expires)
    world.standin.troubles.lasting["sendMessage"] = DropBefore()
    delivery = world.delivery()
    for _ in range(5):
        await delivery.drain_once()
        world.clock.pass_by(3600)

    with world.store.reading() as unit:
        assert len(unit.outbox.lost()) == 1


async def test_retries_grow_further_apart_and_end_after_a_day(world: World, ines: Person) -> None:
    key, began = world.put(ines, at=world.clock() - dt.timedelta(hours=20)), world.clock()
    world.standin.troubles.add("sendMessage", *[trouble(500)] * 2000)
    delivery, times = world.delivery(), list[float]()

    while world.state(key) is not OutboxState.FAILED:
        assert await delivery.drain_once() == 1
        times.append((world.clock() - began).total_seconds())
        with world.store.reading() as unit:
            world.clock.now = unit.due.next(world.clock()) or world.clock()

    gaps = [after - before for before, after in itertools.pairwise(times)]
    assert 1 <= gaps[0] <= 2
    assert 150 <= gaps[-1] <= 300
    assert 4 * 3600 <= times[-1] <= 4 * 3600 + 300


async def test_a_message_that_cannot_be_worded_fails_alone(
    world: World, standin: StandIn, caplog: pytest.LogCaptureFixture
) -> None:
    ines, tomas = standin.person("Ines"), standin.person("Tomas")
    broken = world.put(ines, words=BROKEN)
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
        return await drawn(message)

    world.put(ines)
    delivery = world.delivery(render=render)
    await delivery.drain_once()
    world.clock.pass_by(10)
    await delivery.drain_once()

    assert ines.texts == ["evening.ask"]


async def test_wording_that_hangs_does_not_outlive_its_claim(
    world: World, ines: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.messaging.delivery.LONGEST_DRAWING_S", 0.05)
    hanging = [True]

    async def render(message: Outgoing) -> Rendered:
        if hanging:
            hanging.clear()
            await asyncio.sleep(30)
        return await drawn(message)

    key, delivery = world.put(ines), world.delivery(render=render)
    await delivery.drain_once()
    assert world.state(key) is OutboxState.PENDING
    world.clock.pass_by(10)
    await delivery.drain_once()

    assert world.state(key) is OutboxState.SENT


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
