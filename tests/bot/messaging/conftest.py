"""The messaging channel with its real parts: bot, transport, store on SQLite; only the service is a stand-in."""

import asyncio
from collections.abc import AsyncIterator

import pytest
from telegram import Bot

from bot.telegram import build_bot, greet
from bot.telegram.channel import TelegramChannel
from core.store import SqlStore
from tests.bot.messaging.world import Clock, World
from tests.standin import Person, StandIn
from tests.standin.fixtures import standin
from tests.standin.server import TOKEN

__all__ = ["standin"]


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


@pytest.fixture
def world(standin: StandIn, sqlite_store: SqlStore, channel: TelegramChannel, clock: Clock) -> World:
    return World(standin, sqlite_store, channel, clock)


@pytest.fixture
async def ines(standin: StandIn) -> Person:
    return standin.person("Ines")
