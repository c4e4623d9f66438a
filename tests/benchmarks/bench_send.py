"""Messages a second: our transport beside plain aiohttp and the messaging library's stock transport, in one run.

    python -m tests.benchmarks.bench_send [--seconds 1.0] [--rounds 3]

A server in a process of its own reads each call and answers a constant, so that the client is the limit. The variants
take turns within each round, since the machine may be shared; look at the ratios, not at the absolutes.
"""

import argparse
import asyncio
import datetime as dt
import json
import multiprocessing
import statistics
import tempfile
import time
from collections.abc import Awaitable, Callable
from multiprocessing.connection import Connection
from pathlib import Path

import aiohttp
from aiohttp import web
from telegram import Bot
from telegram.request import HTTPXRequest

from bot.messaging.delivery import Delivery
from bot.messaging.pace import Bucket, Pace
from bot.ports import Rendered
from bot.run.in_store import in_thread
from bot.telegram import build_bot
from bot.telegram.channel import TelegramChannel
from bot.telegram.transport import AiohttpRequest
from core.records import Button, Outgoing
from core.store import open_store
from core.store.sealed import new_key
from tests.builders import a_message, a_person
from tests.standin.people import BOT_USER
from tests.standin.server import TOKEN

TEXT = "Pain on average today, 0 to 10? And how many of the 4 sets did you do? You can type it: 4, did all."
ROWS = tuple(tuple(Button(str(n), f"1:c7:p{n}") for n in range(row, row + 4)) for row in (0, 4, 8))
AT_ONCE = (1, 8, 64)
CHAT = {"id": 42, "type": "private", "first_name": "Ines"}
ANSWER = json.dumps({"ok": True, "result": {"message_id": 7, "date": 1, "chat": CHAT, "from": BOT_USER, "text": TEXT}})

Send = Callable[[], Awaitable[object]]


def serve(told: Connection) -> None:
    """Answer every call with the same; tell the port."""

    async def answer(request: web.Request) -> web.Response:
        await request.read()
        return web.Response(body=ANSWER, content_type="application/json")

    async def forever() -> None:
        app = web.Application()
        app.router.add_route("*", "/{bot}/{method}", answer)
        runner = web.AppRunner(app, access_log=None)
        await runner.setup()
        await web.TCPSite(runner, "127.0.0.1", 0).start()
        told.send(runner.addresses[0][1])
        await asyncio.Event().wait()

    asyncio.run(forever())


async def rate(send: Send, at_once: int, seconds: float) -> float:
    """Messages a second with so many senders, each sending one after another."""
    until, count = time.perf_counter() + seconds, 0

    async def sender() -> None:
        nonlocal count
        while time.perf_counter() < until:
            await send()
            count += 1

    await send()
    began = time.perf_counter()
    await asyncio.gather(*(sender() for _ in range(at_once)))
    return count / (time.perf_counter() - began)


async def outbox_rate(api: str, messages: int = 1500) -> float:
    """Messages a second from a filled SQLite outbox to the wire, with no limit set."""
    now = dt.datetime.now(dt.UTC)

    async def render(message: Outgoing) -> Rendered:
        return Rendered(TEXT, ROWS)

    with tempfile.TemporaryDirectory() as folder:
        store = open_store(f"sqlite:///{Path(folder) / 'bench.db'}", new_key())
        with store.writing() as unit:
            for n in range(messages):
                person = a_person(id=f"p{n}", channel="telegram", address=str(n + 1))
                unit.outbox.put(a_message(person, at=now))
            unit.commit()
        bot = build_bot(TOKEN, api)
        await bot._request[1].initialize()
        channels = {"telegram": TelegramChannel(bot)}
        delivery = Delivery(store, channels, render, Pace(Bucket.unlimited()), lambda: now, in_thread, owner="bench")
        began = time.perf_counter()
        sent = await delivery.drain_once()
        taken = time.perf_counter() - began
        assert sent == messages
        await bot.shutdown()
        await bot._request[1].shutdown()
        store.close()
    return messages / taken


async def main(api: str, seconds: float, rounds: int) -> None:
    """Measure and print."""
    stock = Bot(TOKEN, f"{api}/bot", request=HTTPXRequest(connection_pool_size=256, pool_timeout=30))
    ours = Bot(TOKEN, f"{api}/bot", request=AiohttpRequest(connections=64))
    for bot in (stock, ours):
        await bot._request[1].initialize()
    channel, url = TelegramChannel(ours), f"{api}/bot{TOKEN}/sendMessage"
    async with aiohttp.ClientSession(connector=aiohttp.TCPConnector(limit=64)) as session:

        async def plain() -> object:
            async with session.post(url, data={"chat_id": "42", "text": TEXT}) as response:
                return json.loads(await response.read())

        variants: dict[str, Send] = {
            "plain aiohttp": plain,
            "library on our transport": lambda: ours.send_message(42, TEXT),
            "library on its stock transport": lambda: stock.send_message(42, TEXT),
            "our channel, 12 buttons": lambda: channel.send("42", Rendered(TEXT, ROWS)),
        }
        found: dict[tuple[str, int], list[float]] = {(name, n): [] for name in variants for n in AT_ONCE}
        for _ in range(rounds):
            for name, n in found:
                found[name, n].append(await rate(variants[name], n, seconds))
    for bot in (stock, ours):
        await bot._request[1].shutdown()
    middle = {key: statistics.median(rates) for key, rates in found.items()}
    print(f"{'messages a second (ratio to plain)':36}" + "".join(f"{n:>8} at once" for n in AT_ONCE))
    for name in variants:
        cells = (f"{middle[name, n]:>9.0f} ({middle[name, n] / middle['plain aiohttp', n]:.2f})" for n in AT_ONCE)
        print(f"{name:36}" + " ".join(cells))
    ratio = [middle["library on our transport", n] / middle["library on its stock transport", n] for n in AT_ONCE]
    print("our transport over the stock one:   " + " ".join(f"{one:>15.2f}" for one in ratio))
    print(f"from the SQLite outbox to the wire: {await outbox_rate(api):.0f} messages a second; the limit is 25")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.bench_send")
    parser.add_argument("--seconds", type=float, default=1.0, help="for each variant in each round")
    parser.add_argument("--rounds", type=int, default=3)
    chosen = parser.parse_args()
    mine, theirs = multiprocessing.Pipe()
    server = multiprocessing.get_context("spawn").Process(target=serve, args=(theirs,), daemon=True)
    server.start()
    try:
        asyncio.run(main(f"http://127.0.0.1:{mine.recv()}", chosen.seconds, chosen.rounds))
    finally:
        server.kill()
        server.join()
