"""Long polling against the stand-in, into a real store: what is confirmed must lie in the database."""

import asyncio
import json
import logging
import time
from typing import Any

import pytest
from telegram import Bot

from bot.messaging.intake import Unwritten
from bot.messaging.poller import Poller
from bot.ports import DeliveryUnknown
from bot.telegram.channel import TelegramChannel, parse
from core.errors import SettingsError
from core.store import SqlStore
from tests.bot.messaging.polling import FailingStore, poller_of, running, stored, until
from tests.bot.messaging.world import Clock
from tests.builders import a_clinic
from tests.standin import Answer, DropAfter, DropBefore, Late, StandIn, refusal, slow_down, trouble
from tests.standin.fixtures import NOW
from tests.standin.troubles import refused


@pytest.fixture
def poller(
    tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> Poller:
    return poller_of(tg_bot, sqlite_store, channel, wake, clock)


async def test_the_whole_backlog_is_stored_once_and_in_order(
    standin: StandIn, poller: Poller, sqlite_store: SqlStore, wake: asyncio.Event
) -> None:
    people = [standin.person(name) for name in ("Ines", "Tomas", "Wanda")]
    for number in range(250):
        people[number % 3].says(f"answer {number}")

    assert await poller.pull_backlog() == 250

    assert wake.is_set()
    assert standin.waiting == []
    items = stored(sqlite_store)
    assert len(items) == 250
    for place, person in enumerate(people):
        mine = [item.update.payload for item in items if item.update.address == str(person.chat)]
        assert [json.loads(one)["message"]["text"] for one in mine] == [f"answer {n}" for n in range(place, 250, 3)]
    assert len(standin.sent("getUpdates")) == 4  # 100 at most in one call (bot-api: getUpdates.limit), and an empty one
    assert await poller.pull_backlog() == 0


async def test_what_a_person_does_while_we_poll_arrives_readable(
    standin: StandIn, poller: Poller, sqlite_store: SqlStore, wake: asyncio.Event
) -> None:
    ines = standin.person("Ines")
    async with running(poller):
        await until(lambda: len(standin.sent("getUpdates")) == 1)
        began = time.monotonic()
        ines.says("4, did all \ud83d\x00")
        await until(wake.is_set)
        waited = time.monotonic() - began

    assert waited < 5  # the open poll answers at once, not at its end
    (item,) = stored(sqlite_store)
    assert (item.update.channel, item.update.address, item.update.received_at) == ("telegram", str(ines.chat), NOW)
    incoming = parse(json.loads(item.update.payload), item.update.received_at)
    assert incoming is not None
    assert incoming.text == "4, did all \ufffd\ufffd"


async def test_nothing_is_confirmed_before_it_is_committed(
    standin: StandIn, tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> None:
    """The database fails three times; the service must offer the same updates until they are stored."""
    poller = poller_of(tg_bot, FailingStore(sqlite_store, 3), channel, wake, clock)
    for text in ("4", "did all"):
        standin.person("Ines").says(text)

    async with running(poller):
        await until(lambda: len(standin.sent("getUpdates")) >= 4)
        assert standin.confirmed == [] or wake.is_set()
        await until(lambda: len(standin.confirmed) == 2)

    offsets = [call.values.get("offset") for call in standin.sent("getUpdates")]
    assert offsets[:5] == [None] * 4 + [860_000_003]
    assert len(stored(sqlite_store)) == 2


async def test_a_kill_between_commit_and_confirmation_neither_loses_nor_doubles(
    standin: StandIn, tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> None:
    ines = standin.person("Ines")
    ines.says("4")
    standin.troubles.add("getUpdates", Late(0), DropBefore())
    first = poller_of(tg_bot, sqlite_store, channel, wake, clock)
    with pytest.raises(DeliveryUnknown):
        await first.pull_backlog()  # stored, and then the confirming call does not get through
    assert standin.confirmed == []

    second = poller_of(tg_bot, sqlite_store, channel, wake, clock)
    ines.says("did all")
    new = await second.pull_backlog()

    assert new == 1
    assert [json.loads(item.update.payload)["message"]["text"] for item in stored(sqlite_store)] == ["4", "did all"]
    assert len(standin.confirmed) == 2


async def test_after_a_quiet_week_a_lower_number_is_not_dropped(
    standin: StandIn, tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> None:
    """Bot API, Update.update_id: without updates for a week the next number is chosen at random."""
    poller = poller_of(tg_bot, sqlite_store, channel, wake, clock, poll_s=1)
    ines = standin.person("Ines")
    async with running(poller):
        ines.says("4")
        await until(lambda: standin.waiting == [] and len(standin.confirmed) == 1)
        await until(lambda: "offset" not in standin.calls[-1].values, 3)
        wake.clear()
        standin._next_update = 1_234
        ines.says("5")
        await until(wake.is_set)


async def test_every_call_names_all_four_kinds_of_updates(standin: StandIn, poller: Poller) -> None:
    await poller.pull_backlog()

    asked = standin.sent("getUpdates")[0].values["allowed_updates"]
    assert asked == ["message", "edited_message", "callback_query", "my_chat_member"]


@pytest.mark.parametrize(
    ("met", "phrase"),
    [
        (trouble(502), "polling failed"),
        (DropBefore(), "polling failed"),
        (DropAfter(), "polling failed"),
        (Answer(200, b"[]"), "polling failed"),
        (Answer(200, b'{"ok":true,"result":{"a":1}}'), "polling failed"),
        (refusal("Bad Request: odd"), "polling failed"),
        (refused(409, "Conflict: terminated by other getUpdates request"), "another process polls"),
    ],
    ids=str,
)
async def test_trouble_is_waited_out_and_loses_nothing(
    standin: StandIn, poller: Poller, wake: asyncio.Event, caplog: pytest.LogCaptureFixture,
    monkeypatch: pytest.MonkeyPatch, met: Any, phrase: str,
) -> None:  # fmt: skip
    monkeypatch.setattr("bot.messaging.poller.CONFLICT_S", 0.05)
    caplog.set_level(logging.INFO, "bot")
    standin.person("Ines").says("4")
    standin.troubles.add("getUpdates", met, met)

    async with running(poller):
        await until(wake.is_set)

    assert phrase in caplog.text


async def test_being_asked_to_wait_is_obeyed(standin: StandIn, poller: Poller, wake: asyncio.Event) -> None:
    standin.person("Ines").says("4")
    standin.troubles.add("getUpdates", slow_down(1))
    began = time.monotonic()

    async with running(poller):
        await until(wake.is_set)

    assert time.monotonic() - began >= 1


async def test_a_refused_token_ends_polling_with_a_clear_error(standin: StandIn, poller: Poller) -> None:
    standin.troubles.add("getUpdates", refused(401, "Unauthorized"))

    with pytest.raises(SettingsError, match="token"):
        await poller.run(asyncio.Event())


async def test_stopping_does_not_wait_for_the_open_poll(
    standin: StandIn, tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> None:
    poller, stop = poller_of(tg_bot, sqlite_store, channel, wake, clock, poll_s=40), asyncio.Event()
    task = asyncio.create_task(poller.run(stop))
    await until(lambda: len(standin.sent("getUpdates")) == 1)
    began = time.monotonic()

    stop.set()
    await task

    assert time.monotonic() - began < 5


async def test_taps_are_confirmed_at_once_and_a_failure_there_harms_nothing(
    standin: StandIn, poller: Poller, sqlite_store: SqlStore, wake: asyncio.Event
) -> None:
    ines = standin.person("Ines")
    standin.troubles.add("answerCallbackQuery", refusal(), DropBefore())
    taps = [ines.taps_data(1, f"p{number}") for number in range(5)]

    async with running(poller):
        await until(lambda: len(standin.sent("answerCallbackQuery")) == 5 and wake.is_set())
        await until(lambda: len(standin.confirmed_taps) == 3)

    assert set(standin.confirmed_taps) < set(taps)


async def test_malformed_updates_do_not_stop_the_rest(
    standin: StandIn, poller: Poller, sqlite_store: SqlStore, caplog: pytest.LogCaptureFixture
) -> None:
    standin.emit_raw({"update_id": 860_000_001, "message": "not an object"})
    standin.emit_raw({"update_id": 860_000_002})
    standin._next_update = 860_000_003
    standin.emit_raw({"message": {"text": "no number"}})
    standin.person("Ines").says("4, did all")

    async with running(poller):
        await until(lambda: len(standin.confirmed) == 3)

    assert {item.update.update_id for item in stored(sqlite_store)} == {860_000_001, 860_000_002, 860_000_003}
    assert "without a number" in caplog.text


async def test_two_pollers_are_told_about_each_other(
    standin: StandIn, poller: Poller, caplog: pytest.LogCaptureFixture, tg_bot: Bot, wake: asyncio.Event, clock: Clock,
    sqlite_store: SqlStore, channel: TelegramChannel,
) -> None:  # fmt: skip
    other = poller_of(tg_bot, sqlite_store, channel, wake, clock)

    async with running(poller), running(other):
        await until(lambda: "stop one of the two" in caplog.text)


async def test_danger_that_cannot_be_stored_is_answered_once_from_memory_and_stored_when_there_is_room(
    standin: StandIn, tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> None:
    ines, omar = standin.person("Ines"), standin.person("Omar")
    ines.says("pain in my chest and down the left arm")
    omar.says("4, did all")
    unwritten = Unwritten(channel.send, a_clinic(emergency="Call 112."))
    poller = poller_of(tg_bot, FailingStore(sqlite_store, 4), channel, wake, clock, unwritten=unwritten)

    async with running(poller):
        await until(wake.is_set)

    (told,) = ines.got
    assert "Call 112." in told.text
    assert "your therapist does not know" in told.text
    assert omar.got == []
    assert len(stored(sqlite_store)) == 2
