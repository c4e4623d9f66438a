"""The webhook over real HTTP on loopback, into a real store: what hears 200 is stored, and nobody else gets in."""

import asyncio
import contextlib
import io
import json
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from typing import Any, cast

import aiohttp
import pytest
from telegram import Bot

from bot.messaging.intake import Intake
from bot.messaging.webhook import LARGEST_BODY, SECRET_HEADER, Webhook
from bot.run.in_store import in_thread
from bot.settings.file import Place
from bot.telegram import greet, webhook_secrets
from bot.telegram.channel import TelegramChannel
from core.errors import SettingsError
from core.ports import Store
from core.store import SqlStore
from tests.bot.messaging.polling import FailingStore, stored, until
from tests.bot.messaging.world import Clock
from tests.standin import StandIn
from tests.standin.server import TOKEN

PATH, SECRET = webhook_secrets(TOKEN)
FOUR = json.dumps({"update_id": 7, "message": {"text": "4"}})


@dataclass
class Refusals:
    """The meter's one figure that matters here."""

    why: list[str] = field(default_factory=list)

    def refused(self, why: str) -> None:
        self.why.append(why)


@dataclass
class Door:
    """A webhook at work, and a stranger's or the service's way to call it."""

    port: int
    session: aiohttp.ClientSession
    refusals: Refusals

    async def post(self, body: Any = FOUR, *, path: str = f"/{PATH}", secret: str | None = SECRET, **more: Any) -> int:
        headers = {SECRET_HEADER: secret} if secret is not None else {}
        url = f"http://127.0.0.1:{self.port}{path}"
        async with self.session.request(more.pop("method", "POST"), url, data=body, headers=headers, **more) as answer:
            return answer.status


@contextlib.asynccontextmanager
async def door(
    bot: Bot, store: Any, channel: TelegramChannel, wake: asyncio.Event, clock: Clock, **patience: float
) -> AsyncIterator[Door]:
    refusals, stop = Refusals(), asyncio.Event()
    intake = Intake(store, in_thread, channel.confirm_tap, wake, clock)
    webhook = Webhook(
        bot, intake, "http://127.0.0.1", Place("127.0.0.1", 0), meter=refusals,  # type: ignore[arg-type]
        **patience,
    )  # fmt: skip
    await webhook._listener.start()
    task = asyncio.create_task(webhook.run(stop))
    async with aiohttp.ClientSession() as session:
        yield Door(webhook._listener.port, session, refusals)
    stop.set()
    await asyncio.wait_for(task, 5)


@pytest.fixture
async def opened(
    tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> AsyncIterator[Door]:
    async with door(tg_bot, sqlite_store, channel, wake, clock) as one:
        yield one


async def test_an_update_is_stored_before_it_is_confirmed_and_a_repeat_is_confirmed_but_not_stored(
    opened: Door, sqlite_store: SqlStore, wake: asyncio.Event
) -> None:
    assert await opened.post() == 200
    assert wake.is_set()
    wake.clear()
    assert await opened.post() == 200

    assert not wake.is_set()
    (item,) = stored(sqlite_store)
    assert json.loads(item.update.payload) == json.loads(FOUR)


@pytest.mark.parametrize(
    ("status", "why", "call"),
    [
        (404, "path", {"path": "/"}),
        (404, "path", {"path": f"/{PATH}/"}),
        (404, "path", {"path": f"/{PATH[:-1]}"}),
        (404, "path", {"path": "/healthz"}),
        (405, "method", {"method": "GET"}),
        (403, "secret", {"secret": None}),
        (403, "secret", {"secret": SECRET[:-1]}),
        (403, "secret", {"secret": "\u00e9" + SECRET}),
        (413, "large", {"body": io.BytesIO(b" " * (LARGEST_BODY + 1))}),
        (400, "json", {"body": b"{"}),
        (400, "json", {"body": b"\xff\xfe\xfd"}),
        (400, "json", {"body": b"[" * 200_000}),
        (400, "number", {"body": b"[]"}),
        (400, "number", {"body": b'{"update_id": "7"}'}),
    ],
)
async def test_whatever_is_not_an_update_of_the_service_is_refused_and_leaves_no_trace(
    opened: Door, sqlite_store: SqlStore, status: int, why: str, call: dict[str, Any]
) -> None:
    assert await opened.post(**call) == status

    assert opened.refusals.why == [why]
    assert stored(sqlite_store) == []
    assert await opened.post() == 200  # and the next one is not mistaken for the rest of it


async def test_a_body_without_a_stated_length_is_cut_off_when_it_grows_too_large(
    opened: Door, sqlite_store: SqlStore
) -> None:
    async def endless() -> AsyncIterator[bytes]:
        for _ in range(1000):
            yield b" " * 65536

    with contextlib.suppress(aiohttp.ClientError):  # the connection is closed while it still sends
        assert await opened.post(endless()) == 413

    await until(lambda: opened.refusals.why == ["large"])
    assert stored(sqlite_store) == []


async def test_who_sends_slowly_is_not_waited_for(
    tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> None:
    """A head that never comes, one that never ends, and a body that stalls: each connection is closed."""
    head = f"POST /{PATH} HTTP/1.1\r\nHost: x\r\n{SECRET_HEADER}: {SECRET}\r\nContent-Length: 100\r\n\r\n".encode()

    async def ending(port: int, sent: bytes) -> bytes:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        writer.write(sent)
        answer = await asyncio.wait_for(reader.read(), 9)  # the program's own patience is ten seconds
        writer.close()
        return answer[:12]

    async with door(
        tg_bot, sqlite_store, channel, wake, clock, body_within_s=1.0, head_within_s=1.0
    ) as opened:
        endings = await asyncio.gather(*(ending(opened.port, sent) for sent in (b"", head[:40], head + b"{")))

    assert endings == [b"", b"", b"HTTP/1.1 408"]
    assert stored(sqlite_store) == []


async def test_a_head_that_is_too_long_is_refused_and_leaves_nothing_in_the_log(
    opened: Door, caplog: pytest.LogCaptureFixture
) -> None:
    reader, writer = await asyncio.open_connection("127.0.0.1", opened.port)
    writer.write(b"POST / HTTP/1.1\r\nX: " + b"a" * 70_000)
    answer = await asyncio.wait_for(reader.read(), 5)
    writer.close()

    assert answer.split()[1] == b"400"
    assert "aaaa" not in caplog.text


async def test_while_the_database_is_down_nothing_is_confirmed_so_that_the_service_repeats_it(
    tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> None:
    async with door(tg_bot, FailingStore(sqlite_store, 2), channel, wake, clock) as opened:
        answers = [await opened.post() for _ in range(3)]

    assert answers == [503, 503, 200]
    assert len(stored(sqlite_store)) == 1


async def test_what_arrives_at_once_is_stored_once_each(opened: Door, sqlite_store: SqlStore) -> None:
    bodies = [json.dumps({"update_id": number % 60, "message": {"text": str(number % 60)}}) for number in range(120)]

    assert set(await asyncio.gather(*(opened.post(body) for body in bodies))) == {200}

    assert sorted(item.update.update_id for item in stored(sqlite_store)) == list(range(60))


async def test_the_service_pushes_what_waited_and_what_comes_and_repeats_what_was_not_taken(
    standin: StandIn, tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock,
    unused_tcp_port: int,
) -> None:  # fmt: skip
    ines = standin.person("Ines")
    for number in range(30):
        ines.says(f"answer {number}")
    intake = Intake(cast(Store, FailingStore(sqlite_store, 2)), in_thread, channel.confirm_tap, wake, clock)
    place = Place("127.0.0.1", unused_tcp_port)
    webhook, stop = Webhook(tg_bot, intake, f"http://127.0.0.1:{unused_tcp_port}/bot", place), asyncio.Event()

    await webhook.pull_backlog()
    assert standin.waiting == []  # all of it was taken in before the start went on
    task = asyncio.create_task(webhook.run(stop))
    ines.says("did all")
    await until(lambda: len(standin.confirmed) == 31)
    stop.set()
    await task

    assert {200, 503} == set(standin.pushing.statuses)
    assert len(stored(sqlite_store)) == 31
    (call,) = standin.sent("setWebhook")
    assert call.values["url"] == f"http://127.0.0.1:{unused_tcp_port}/bot/{PATH}"
    assert call.values["secret_token"] == SECRET
    assert set(call.values["allowed_updates"]) >= {"message", "callback_query", "my_chat_member"}
    assert not call.values.get("drop_pending_updates")

    await greet(tg_bot)  # whoever polls takes the webhook away
    assert standin.pushing.url == ""


async def test_an_address_that_somebody_took_away_is_set_again(
    standin: StandIn, tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock,
    unused_tcp_port: int,
) -> None:  # fmt: skip
    intake = Intake(sqlite_store, in_thread, channel.confirm_tap, wake, clock)
    url, stop = f"http://127.0.0.1:{unused_tcp_port}", asyncio.Event()
    webhook = Webhook(tg_bot, intake, url, Place("127.0.0.1", unused_tcp_port), look_every_s=0.1)
    await webhook.pull_backlog()
    task = asyncio.create_task(webhook.run(stop))

    await standin.pushing.end()
    await until(lambda: bool(standin.pushing.url))
    stop.set()
    await task


async def test_a_stop_lets_what_is_under_way_be_stored_and_answered(
    tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> None:
    held, came = asyncio.Event(), asyncio.Event()

    async def slow(job: Any) -> Any:
        came.set()
        await held.wait()
        return await in_thread(job)

    intake, stop = Intake(sqlite_store, slow, channel.confirm_tap, wake, clock), asyncio.Event()
    webhook = Webhook(tg_bot, intake, "http://127.0.0.1", Place("127.0.0.1", 0))
    await webhook._listener.start()
    task = asyncio.create_task(webhook.run(stop))
    async with aiohttp.ClientSession() as session:
        call = asyncio.create_task(Door(webhook._listener.port, session, Refusals()).post())
        await came.wait()
        stop.set()
        await asyncio.sleep(0.3)
        assert not task.done()
        held.set()
        assert await call == 200
    await asyncio.wait_for(task, 5)

    assert len(stored(sqlite_store)) == 1


async def test_a_place_that_is_taken_is_named_with_its_setting(
    tg_bot: Bot, sqlite_store: SqlStore, channel: TelegramChannel, wake: asyncio.Event, clock: Clock
) -> None:
    async with door(tg_bot, sqlite_store, channel, wake, clock) as opened:
        intake = Intake(sqlite_store, in_thread, channel.confirm_tap, wake, clock)
        second = Webhook(tg_bot, intake, "http://127.0.0.1", Place("127.0.0.1", opened.port))
        with pytest.raises(SettingsError, match=rf"HOLDLOWER_WEBHOOK_LISTEN: .* port {opened.port} \(Address already"):
            await second.pull_backlog()


def test_path_and_secret_are_fit_for_their_places_and_change_with_the_token() -> None:
    # bot-api.json, setWebhook.secret_token: 1-256 characters of A-Z, a-z, 0-9, _ and -
    assert all(part.isascii() and part.isalnum() and 32 <= len(part) <= 256 for part in (PATH, SECRET))
    assert len({PATH, SECRET, *webhook_secrets(TOKEN + "x")}) == 4
    assert TOKEN.partition(":")[2] not in PATH + SECRET


async def test_one_connection_too_many_is_hung_up_on(opened: Door, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bot.messaging.webhook.MOST_CONNECTIONS", 1)
    assert await opened.post() == 200  # kept open

    reader, writer = await asyncio.open_connection("127.0.0.1", opened.port)

    assert await asyncio.wait_for(reader.read(), 5) == b""
    writer.close()
    assert await opened.post() == 200
