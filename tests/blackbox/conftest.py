"""The whole program against a stand-in of the messaging service, on a clock that the test moves."""

import asyncio
import contextlib
import datetime as dt
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from pydantic import SecretStr

from bot.messaging.pace import Bucket
from bot.run.app import App, SteppedClock, build, random_id
from bot.run.opening import CLINIC_ID
from bot.run.service import Service
from bot.settings import Settings, load_settings
from bot.telegram import channel as telegram
from bot.telegram.updates import parse_update
from core.programme.file import default_programme
from core.records import Clinic
from core.store import SqlStore
from core.use_cases.joining import invite
from tests.standin import StandIn
from tests.standin.server import TOKEN
from tests.stores import opened

START = dt.datetime(2026, 3, 2, 9, 0, tzinfo=dt.UTC)
QUICK = 15.0  # seconds: an upper bound for a busy machine, where a look comes every two


@dataclass
class House:
    """One clinic with its program, its stand-in and its clock."""

    store: SqlStore
    clock: SteppedClock
    standin: StandIn
    settings: Settings
    app: App

    def code(self) -> str:
        """A fresh invitation's code."""
        code = random_id().upper()
        with self.store.writing() as uow:
            invite(self.app.work(uow), CLINIC_ID, code)
            uow.commit()
        return code

    def at(self, day: int, time: str) -> None:
        """Move the clock to a time of day (UTC), `day` days after the start."""
        hour, minute = map(int, time.split(":"))
        moment = START.replace(hour=hour, minute=minute) + dt.timedelta(days=day)
        self.clock.move_to(moment)

    @contextlib.asynccontextmanager
    async def serving(self) -> AsyncIterator[None]:
        """The service at work; it must end in good order."""
        service = Service(self.app, self.settings, bucket=Bucket(2000, 0.0), tick_s=0.03)
        task = asyncio.create_task(service.run())
        try:
            yield
        finally:
            service.stop()
            assert await asyncio.wait_for(task, 10) == 0


@pytest.fixture
async def house(store_url: str, tmp_path: Path) -> AsyncIterator[House]:
    clock = SteppedClock(START)
    store = opened(store_url)
    clinic = Clinic(CLINIC_ID, "Fennel Lane", "UTC", "en", "In an emergency call 000.")
    parse = {telegram.NAME: parse_update}
    app = build(store, clock, random_id, default_programme(), clinic, dt.time(19), parse)
    async with StandIn(clock) as standin:
        environ = {"HOME": str(tmp_path), "HOLDLOWER_BASE_URL": standin.api, "HOLDLOWER_POLL_TIMEOUT": "1"}
        settings = load_settings(environ).model_copy(update={"token": SecretStr(TOKEN)})
        yield House(store, clock, standin, settings, app)
        assert standin.violations == []
    await asyncio.get_running_loop().shutdown_default_executor()  # as asyncio.run does: what still runs keeps the store
    store.close()


async def until(true: Callable[[], object], within: float = QUICK) -> None:
    """Wait for something the program does in its own time."""
    deadline = asyncio.get_running_loop().time() + within
    while not true():
        if asyncio.get_running_loop().time() > deadline:
            raise AssertionError("it did not happen in time")
        await asyncio.sleep(0.01)
