"""The messaging channel with its real parts: bot, transport, store on SQLite; only the service is a stand-in."""

import asyncio
import datetime as dt
from collections.abc import AsyncIterator

import pytest
from telegram import Bot

from bot.channels.telegram import TelegramChannel
from bot.telegram_bot import build_bot, greet
from tests.standin import StandIn
from tests.standin.fixtures import NOW, standin
from tests.standin.server import TOKEN

__all__ = ["standin"]


class Clock:
    """The program's clock, moved by hand."""

    def __init__(self, now: dt.datetime = NOW) -> None:
        self.now = now

    def __call__(self) -> dt.datetime:
        return self.now

    def pass_by(self, seconds: float) -> None:
        self.now += dt.timedelta(seconds=seconds)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
async def tg_bot(standin: StandIn) -> AsyncIterator[Bot]:
    """A connected bot on our transport."""
    connected = build_bot(TOKEN, standin.api)
    await greet(connected)
    yield connected
    await connected.shutdown()


@pytest.fixture
def channel(tg_bot: Bot) -> TelegramChannel:
    return TelegramChannel(tg_bot)


@pytest.fixture
def stop() -> asyncio.Event:
    return asyncio.Event()


@pytest.fixture
def wake() -> asyncio.Event:
    return asyncio.Event()
