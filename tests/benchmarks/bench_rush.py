"""An evening's rush: prompts from the outbox over the wire, beside plain aiohttp and the library's stock transport.

    python -m tests.benchmarks.bench_rush [--messages 20000] [--at-once 64] [--seconds 30]

A stand-in in a process of its own reads each call, waits 50 ms and answers a constant. First everything goes out as
fast as it can, then from SQLite with the limiter on. All variants have the same number of calls in flight; slow ones
send fewer messages. Aims: outbox >= 0.6 of plain and >= 5 times stock; >= 95 % of the allowed rate, no second over it.
"""

import argparse
import asyncio
import datetime as dt
import json
import multiprocessing
import tempfile
import time
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection
from pathlib import Path

import aiohttp
from aiohttp import web
from telegram import Bot
from telegram.request import HTTPXRequest

from bot.messaging.delivery import Delivery
from bot.messaging.pace import PER_SECOND, Bucket, Pace
from bot.ports import Rendered
from bot.run.in_store import in_thread
from bot.telegram import build_bot
from bot.telegram.channel import TelegramChannel
from core.records import Outgoing
from core.store import SqlStore, open_store
from core.store.sealed import new_key
from tests.benchmarks.bench_send import ANSWER, ROWS, TEXT
from tests.builders import a_message, a_person
from tests.postgres import Cluster, NoPostgresError
from tests.standin.server import TOKEN

LATENCY_S = 0.05
STOCK_SHARE = 20  # the slow variant sends one message of so many


def serve(pipe: Connection) -> None:
    """Answer every call late and with the same; tell the port, then on each request the arrival times so far."""
    arrived: list[float] = []

    async def answer(request: web.Request) -> web.Response:
        arrived.append(time.monotonic())
        await request.read()
        await asyncio.sleep(LATENCY_S)
        return web.Response(body=ANSWER, content_type="application/json")

    def tell() -> None:
        pipe.recv()
        pipe.send(arrived[:])
        arrived.clear()

    async def forever() -> None:
        app = web.Application()
        app.router.add_route("*", "/{bot}/{method}", answer)
        runner = web.AppRunner(app, access_log=None)
        await runner.setup()
        await web.TCPSite(runner, "127.0.0.1", 0, backlog=1024).start()
        asyncio.get_running_loop().add_reader(pipe.fileno(), tell)
        pipe.send(runner.addresses[0][1])
        await asyncio.Event().wait()

    asyncio.run(forever())


async def rate_of(send: Callable[[int], Awaitable[object]], messages: int, at_once: int) -> float:
    """Messages a second, so many at once."""
    numbers = iter(range(messages))

    async def sender() -> None:
        for number in numbers:
            await send(number)

    began = time.perf_counter()
    await asyncio.gather(*(sender() for _ in range(at_once)))
    return messages / (time.perf_counter() - began)


async def plain(api: str, messages: int, at_once: int) -> float:
    """What anybody could do at best: a loop over aiohttp that keeps no record."""
    url, buttons = f"{api}/bot{TOKEN}/sendMessage", json.dumps({"inline_keyboard": []})
    async with aiohttp.ClientSession(connector=aiohttp.TCPConnector(limit=at_once)) as session:

        async def send(number: int) -> object:
            form = {"chat_id": str(number), "text": TEXT, "reply_markup": buttons}
            async with session.post(url, data=form) as response:
                return json.loads(await response.read())

        return await rate_of(send, messages, at_once)


async def stock(api: str, messages: int, at_once: int) -> float:
    """The messaging library as it comes, no record kept."""
    bot = Bot(TOKEN, f"{api}/bot", request=HTTPXRequest(connection_pool_size=256, pool_timeout=60))
    await bot._request[1].initialize()
    try:
        return await rate_of(lambda number: bot.send_message(number + 1, TEXT), messages, at_once)
    finally:
        await bot._request[1].shutdown()


def fill(store: SqlStore, messages: int) -> None:
    now = dt.datetime.now(dt.UTC)
    with store.writing() as unit:
        for n in range(messages):
            unit.outbox.put(a_message(a_person(id=f"p{n}", channel="telegram", address=str(n + 1)), at=now))
        unit.commit()


class Noting(TelegramChannel):
    """The channel, noting when each message leaves."""

    left: list[float]

    async def send(self, address: str, message: Rendered) -> str | None:
        self.left.append(time.monotonic())
        return await super().send(address, message)


async def outbox(
    store: SqlStore, api: str, bucket: Bucket, at_once: int, seconds: float | None = None,
    left: list[float] | None = None,
) -> float:  # fmt: skip
    """Messages a second out of a filled outbox, each on record before and after; all of it or for so long."""

    async def render(message: Outgoing) -> Rendered:
        return Rendered(TEXT, ROWS)

    bot = build_bot(TOKEN, api, in_flight=at_once)
    await bot._request[1].initialize()
    channel = Noting(bot)
    channel.left = [] if left is None else left
    delivery = Delivery(
        store, {"telegram": channel}, render, Pace(bucket), lambda: dt.datetime.now(dt.UTC), in_thread,
        owner="bench", in_flight=at_once,
    )  # fmt: skip
    began = time.perf_counter()
    sent = 0
    with suppress(TimeoutError):
        if seconds is None:
            sent = await delivery.drain_once()
        else:
            async with asyncio.timeout(seconds):
                await delivery.run(asyncio.Event(), asyncio.Event())
    taken = time.perf_counter() - began
    await bot._request[1].shutdown()
    return sent / taken


@contextmanager
def sqlite() -> Iterator[SqlStore]:
    with tempfile.TemporaryDirectory() as folder:
        store = open_store(f"sqlite:///{Path(folder) / 'bench.db'}", new_key())
        yield store
        store.close()


@contextmanager
def postgresql() -> Iterator[SqlStore]:
    cluster = Cluster(durable=True)
    try:
        store = open_store(cluster.make("bench"), new_key())
        yield store
        store.close()
    finally:
        cluster.stop()


async def fast(api: str, messages: int, at_once: int) -> None:
    rates = {
        "plain aiohttp": await plain(api, messages, at_once),
        "stock transport": await stock(api, messages // STOCK_SHARE, at_once),
    }
    for name, database in (("outbox on SQLite", sqlite), ("outbox on PostgreSQL", postgresql)):
        try:
            with database() as store:
                fill(store, messages)
                rates[name] = await outbox(store, api, Bucket.unlimited(), at_once)
        except NoPostgresError as error:
            print(f"{name}: {error}")
    print(f"{messages} prompts, {at_once} at once, {LATENCY_S * 1000:.0f} ms a call")
    for name, rate in rates.items():
        beside = f"{rate / rates['plain aiohttp']:.2f} of plain, {rate / rates['stock transport']:.1f} times stock"
        print(f"  {name:24}{rate:8.0f} a second   {beside}", flush=True)


async def limited(api: str, pipe: Connection, seconds: float) -> None:
    """How much of the allowed rate is used, and the fullest second there was."""
    pipe.send("forget")
    pipe.recv()
    with sqlite() as store:
        fill(store, int(PER_SECOND * seconds * 2))
        left = list[float]()
        await outbox(store, api, Bucket(), 16, seconds, left)
    pipe.send("times")
    times = pipe.recv()
    spread = (len(times) - 1) / (times[-1] - times[0])
    print(
        f"limit {PER_SECOND:g} a second: {spread:.2f} used ({spread / PER_SECOND:.1%}); fullest second: "
        f"{fullest(left)} left, {fullest(times)} arrived at a stand-in that shares the machine"
    )


def fullest(times: list[float]) -> int:
    """Most of them within one second, wherever it begins."""
    return max(sum(start <= at < start + 1 for at in times) for start in times)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--messages", type=int, default=20_000)
    parser.add_argument("--at-once", type=int, nargs="*", default=[64])
    parser.add_argument("--seconds", type=float, default=30.0)
    chosen = parser.parse_args()
    ours, theirs = multiprocessing.Pipe()
    server = multiprocessing.get_context("spawn").Process(target=serve, args=(theirs,), daemon=True)
    server.start()
    api = f"http://127.0.0.1:{ours.recv()}"
    try:
        for at_once in chosen.at_once:
            asyncio.run(fast(api, chosen.messages, at_once))
        asyncio.run(limited(api, ours, chosen.seconds))
    finally:
        server.terminate()


if __name__ == "__main__":
    main()
