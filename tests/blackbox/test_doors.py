"""News by pushes, and the pages for those who watch: the whole service over real HTTP on loopback."""

import asyncio
import contextlib
import signal
import sqlite3
import sys
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import aiohttp
from prometheus_client.parser import text_string_to_metric_families

from bot.settings.file import Place
from tests.blackbox.conftest import House, until
from tests.blackbox.test_kill import ROOT, environ
from tests.blackbox.test_service import asked, enrol, tap
from tests.standin import StandIn, forbidden, trouble
from tests.standin.fixtures import standin
from tests.standin.server import TOKEN

__all__ = ["standin"]

Samples = dict[tuple[str, ...], float]


async def get(port: int, page: str) -> tuple[int, str]:
    async with aiohttp.ClientSession() as session, session.get(f"http://127.0.0.1:{port}{page}") as answer:
        return answer.status, await answer.text()


async def figures(port: int) -> tuple[Samples, str]:
    """The figures by name and label values, read by the reference parser of the format's own authors, and the page."""
    status, page = await get(port, "/metrics")
    assert status == 200
    families = text_string_to_metric_families(page)
    return {(one.name, *one.labels.values()): one.value for family in families for one in family.samples}, page


def listening(house: House, *ports: int, **more: Any) -> None:
    watch = Place("127.0.0.1", ports[0])
    house.settings = house.settings.model_copy(update={"watch_listen": watch, **more})


async def test_an_evening_by_pushes_is_the_same_and_its_figures_tell_no_person(
    house: House, unused_tcp_port_factory: Any
) -> None:
    watch, web = unused_tcp_port_factory(), unused_tcp_port_factory()
    listening(house, watch, webhook_url=f"http://127.0.0.1:{web}", webhook_listen=Place("127.0.0.1", web))
    cellist = house.standin.person("Cellist", chat=424_242_001)
    async with house.serving():
        await enrol(house, cellist)
        house.standin.troubles.add("sendMessage", trouble())
        house.at(0, "19:04")
        await until(lambda: house.standin.troubles.waiting == [])
        # noted before the clock jumps: a minute's jump takes a message away from whoever has it in hand
        failed = ("holdlower_sends_total", "evening.ask", "not_delivered")
        while (await figures(watch))[0].get(failed, 0) < 1:
            await asyncio.sleep(0.01)
        await asyncio.sleep(0.2)
        house.at(0, "19:05")
        await asked(house, cellist, 0)
        await tap(cellist, "4")
        assert "Noted for Mon 2 Mar: pain 4, 3 of 4 sets." in await tap(cellist, "3")
        await until(lambda: house.standin.waiting == [])
        ready = await get(watch, "/readyz"), await get(watch, "/healthz")
        found, page = await figures(watch)

    assert ready == ((200, "ok\n"), (200, "ok\n"))
    assert house.standin.sent("getUpdates") == []
    assert found["holdlower_sends_total", "evening.ask", "not_delivered"] == 1
    assert found["holdlower_sends_total", "evening.ask", "sent"] == 1
    assert found["holdlower_prompt_lateness_seconds_sum",] == 300  # due at 19:00, sent at 19:05
    assert found["holdlower_update_seconds_count",] == 13  # /start, ten taps, two taps
    assert found["holdlower_decide_seconds_count",] == 1
    assert found["holdlower_queue_waiting", "inbox"] == found["holdlower_queue_waiting", "outbox"] == 0
    assert found["holdlower_database_up",] == 1
    for private in ("424242001", "Cellist", TOKEN, "Fennel"):
        assert private not in page


async def test_long_polling_is_watched_too(house: House, unused_tcp_port: int) -> None:
    listening(house, unused_tcp_port)
    cook = house.standin.person("Pastry cook", chat=1004)
    async with house.serving():
        await enrol(house, cook)
        house.standin.troubles.add("sendMessage", forbidden())
        house.at(0, "19:00")
        await until(lambda: house.standin.troubles.waiting == [])
        wanted = ("holdlower_sends_total", "evening.ask", "unreachable")
        async with asyncio.timeout(5):
            while not (found := (await figures(unused_tcp_port))[0]).get(wanted):
                await asyncio.sleep(0.02)

    assert found[wanted] == 1
    assert ("holdlower_sends_total", "evening.ask", "sent") not in found


@contextlib.asynccontextmanager
async def process(folder: Path, api: str, **settings: str) -> AsyncIterator[asyncio.subprocess.Process]:
    started = await asyncio.create_subprocess_exec(
        sys.executable, "-m", "bot", "serve", cwd=ROOT, env=environ(folder, api) | settings,
        stderr=asyncio.subprocess.PIPE,
    )  # fmt: skip
    try:
        yield started
    finally:
        with contextlib.suppress(ProcessLookupError):
            started.kill()
        await started.wait()


async def status_of(port: int, page: str) -> int:
    try:
        return (await get(port, page))[0]
    except aiohttp.ClientError:
        return 0


async def test_a_process_says_when_it_is_ready_when_it_is_not_and_ends_in_good_order_on_sigterm(
    standin: StandIn, tmp_path: Path, unused_tcp_port_factory: Any
) -> None:
    watch, web = unused_tcp_port_factory(), unused_tcp_port_factory()
    places = {
        "HOLDLOWER_WATCH_LISTEN": str(watch), "HOLDLOWER_WEBHOOK_LISTEN": str(web),
        "HOLDLOWER_WEBHOOK_URL": f"http://127.0.0.1:{web}/news",
    }  # fmt: skip
    standin.troubles.add("getMe", *[trouble()] * 1)  # the first greeting fails: it lives, and is not ready
    (tmp_path / "data").mkdir()
    async with process(tmp_path, standin.api, **places) as service:
        seen: list[tuple[int, int]] = []
        async with asyncio.timeout(30):
            while not seen or seen[-1] != (200, 200):
                seen.append((await status_of(watch, "/healthz"), await status_of(watch, "/readyz")))
                await asyncio.sleep(0.05)
        assert (200, 503) in seen

        with sqlite3.connect(tmp_path / "data" / "clinic.sqlite") as database:
            database.execute("UPDATE alembic_version SET version_num = 'later'")
        database.close()
        assert (await status_of(watch, "/healthz"), await status_of(watch, "/readyz")) == (200, 503)

        standin.person("Ines").says("/help")
        await until(lambda: len(standin.confirmed) == 1)
        service.send_signal(signal.SIGTERM)
        _, said = await asyncio.wait_for(service.communicate(), 15)

    assert service.returncode == 0
    path = standin.sent("setWebhook")[-1].values["url"].rpartition("/")[2]
    for secret in (path.encode(), standin.pushing.secret.encode(), TOKEN.encode()):
        assert secret
        assert secret not in said
