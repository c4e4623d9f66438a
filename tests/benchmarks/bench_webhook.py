"""Pushed updates a second, committed before each hears 200, beside the same server that keeps nothing.

    python -m tests.benchmarks.bench_webhook [--seconds 3] [--rounds 3]

The server is a process of its own; the client keeps 40 calls under way, as many as we allow the messaging service.
"""

import argparse
import asyncio
import datetime as dt
import itertools
import json
import multiprocessing
import statistics
import tempfile
import time
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import aiohttp
from aiohttp import web

from bot.messaging.intake import Intake
from bot.messaging.webhook import SECRET_HEADER, Listener, Webhook
from bot.run.in_store import in_thread
from bot.settings import PUBLIC_API
from bot.settings.file import Place
from bot.telegram import build_bot, webhook_secrets
from core.store import open_store
from core.store.sealed import new_key
from tests.standin.server import TOKEN

AT_ONCE = 40
ANY = Place("127.0.0.1", 0)


def serve(told: Connection) -> None:
    """Both servers; tell their ports."""

    async def nothing(request: web.BaseRequest) -> web.StreamResponse:
        json.loads(await request.read())
        return web.Response()

    async def confirm(tap: str) -> None: ...

    async def forever() -> None:
        with tempfile.TemporaryDirectory() as folder:
            store = open_store(str(Path(folder) / "bench.db"), new_key())
            intake = Intake(store, in_thread, confirm, asyncio.Event(), lambda: dt.datetime.now(dt.UTC))
            kept = Webhook(build_bot(TOKEN, PUBLIC_API), intake, "http://127.0.0.1", ANY)._listener
            bare = Listener(nothing, ANY, "none")
            await kept.start()
            await bare.start()
            told.send((kept.port, bare.port))
            await asyncio.Event().wait()

    asyncio.run(forever())


async def rate(port: int, numbers: "itertools.count[int]", seconds: float) -> float:
    """Updates a second, all of them new and all of them taken."""
    path, secret = webhook_secrets(TOKEN)
    url, count, until = f"http://127.0.0.1:{port}/{path}", 0, time.perf_counter() + seconds
    async with aiohttp.ClientSession(
        headers={SECRET_HEADER: secret}, connector=aiohttp.TCPConnector(limit=AT_ONCE)
    ) as session:

        async def push() -> None:
            nonlocal count
            while time.perf_counter() < until:
                number = next(numbers)
                chat = {"id": 1 + number % 1000, "type": "private"}
                message: dict[str, Any] = {"message_id": number, "date": 1, "chat": chat, "text": "4, did all"}
                async with session.post(url, json={"update_id": number, "message": message}) as answer:
                    assert answer.status == 200
                count += 1

        began = time.perf_counter()
        await asyncio.gather(*(push() for _ in range(AT_ONCE)))
        return count / (time.perf_counter() - began)


async def main(ports: tuple[int, int], seconds: float, rounds: int) -> None:
    numbers = itertools.count(1)
    found = [[await rate(port, numbers, seconds) for port in ports] for _ in range(rounds)]
    kept, bare = (statistics.median(column) for column in zip(*found, strict=True))
    print(f"kept on SQLite {kept:.0f} a second, a server that keeps nothing {bare:.0f}, ratio {kept / bare:.2f}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seconds", type=float, default=3.0)
    parser.add_argument("--rounds", type=int, default=3)
    chosen = parser.parse_args()
    ours, theirs = multiprocessing.Pipe()
    server = multiprocessing.get_context("spawn").Process(target=serve, args=(theirs,), daemon=True)
    server.start()
    try:
        asyncio.run(main(ours.recv(), chosen.seconds, chosen.rounds))
    finally:
        server.terminate()
