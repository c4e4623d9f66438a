"""The stand-in as a fixture: import `standin` into a conftest. A breach of the description fails the test."""

import datetime as dt
from collections.abc import AsyncIterator

import pytest

from tests.standin.server import StandIn

NOW = dt.datetime(2026, 3, 2, 19, 0, tzinfo=dt.UTC)


@pytest.fixture
async def standin() -> AsyncIterator[StandIn]:
    """A Bot API on a free loopback port, its people's clock standing at NOW unless a test moves it."""
    async with StandIn(lambda: NOW) as server:
        yield server
    assert server.violations == []
