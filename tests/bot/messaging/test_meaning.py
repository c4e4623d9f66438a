"""Every way a call can fail, and what that says about the message: outside checks name their source."""

import asyncio
import socket
from typing import Any

import pytest
from telegram import Bot
from telegram import error as tg

from bot.ports import (
    DeliveryError,
    DeliveryUnknown,
    NotDelivered,
    Refused,
    Rendered,
    TooFast,
    Unreachable,
)
from bot.telegram import build_bot, greet
from bot.telegram.channel import TelegramChannel, meaning
from bot.telegram.transport import AiohttpRequest, NotSent, NotTaken
from core.errors import SettingsError
from tests.standin import (
    Answer,
    DropAfter,
    DropBefore,
    Late,
    StandIn,
    forbidden,
    refusal,
    slow_down,
    trouble,
)
from tests.standin.server import TOKEN


@pytest.mark.parametrize(
    ("met", "meant", "arrived"),
    [
        (forbidden(), Unreachable, 0),
        (refusal(), Refused, 0),
        (slow_down(7), TooFast, 0),
        (Answer(429, b"{}"), TooFast, 0),
        (trouble(502), NotDelivered, 0),
        (Answer(500, b'{"ok":false,"error_code":500,"description":"Internal Server Error"}'), NotDelivered, 0),
        # RFC 9110 15.6.5: a gateway that gave up waiting says nothing about what stands behind it
        (trouble(504), DeliveryUnknown, 0),
        # RFC 9110 15.5.14; nginx answers it in HTML when a body is too large
        (trouble(413), Refused, 0),
        # a login page or proxy in between: not a word from the service, so nobody has blocked anybody
        (Answer(403, b"<html>Sign in to the guest network</html>", "text/html"), NotDelivered, 0),
        (Answer(302, b""), NotDelivered, 0),
        (Answer(200, b"<html>"), DeliveryUnknown, 0),
        (DropBefore(), DeliveryUnknown, 0),
        (DropAfter(), DeliveryUnknown, 1),
        (Answer(401, b'{"ok":false,"error_code":401,"description":"Unauthorized"}'), SettingsError, 0),
    ],
    ids=str,
)
async def test_every_failure_is_told_by_its_meaning(
    standin: StandIn, channel: TelegramChannel, met: Any, meant: type[Exception], arrived: int
) -> None:
    ines = standin.person("Ines")
    standin.troubles.add("sendMessage", met)

    with pytest.raises(meant) as caught:
        await channel.send(str(ines.chat), Rendered("Pain today?"))

    assert type(caught.value) is meant
    assert TOKEN not in repr(caught.value)
    assert len(ines.got) == arrived
    if met == slow_down(7):
        assert caught.value.seconds == 7  # type: ignore[attr-defined]


async def test_a_timeout_after_sending_leaves_the_delivery_unknown(standin: StandIn) -> None:
    ines = standin.person("Ines")
    bot = Bot(TOKEN, f"{standin.api}/bot", request=AiohttpRequest(read_s=0.1))
    await greet(bot)
    standin.troubles.add("sendMessage", Late(0.5))

    with pytest.raises(DeliveryUnknown):
        await TelegramChannel(bot).send(str(ines.chat), Rendered("Pain today?"))

    assert ines.texts == ["Pain today?"]
    await bot.shutdown()


@pytest.mark.parametrize("host", ["closed port", "no such host"])
async def test_without_a_connection_nothing_was_sent(host: str) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    bot = build_bot(TOKEN, f"http://127.0.0.1:{port}" if host == "closed port" else "http://nowhere.invalid")

    with pytest.raises(NotDelivered) as caught:
        await greet(bot)

    assert TOKEN not in str(caught.value)
    await bot.shutdown()


async def test_a_pool_without_a_free_place_sends_nothing(standin: StandIn) -> None:
    ines = standin.person("Ines")
    bot = Bot(TOKEN, f"{standin.api}/bot", request=AiohttpRequest(connections=1))
    await greet(bot)
    standin.troubles.add("sendMessage", Late(0.4))
    first = TelegramChannel(bot).send(str(ines.chat), Rendered("first"))

    async def second() -> None:
        await bot.send_message(ines.chat, "second", pool_timeout=0.05, connect_timeout=0.05)

    results = await asyncio.gather(first, second(), return_exceptions=True)

    assert isinstance(results[1], NotSent)
    assert isinstance(meaning(results[1]), NotDelivered)
    assert ines.texts == ["first"]
    await bot.shutdown()


@pytest.mark.parametrize("opted_in", ["true", "false"])
def test_the_librarys_own_flood_error_is_read_as_number_and_as_timedelta(
    opted_in: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PTB_TIMEDELTA", "true")
    error = tg.RetryAfter(12)
    monkeypatch.setenv("PTB_TIMEDELTA", opted_in)

    meant = meaning(error)

    assert isinstance(meant, TooFast)
    assert meant.seconds == 12.0


def test_every_error_class_of_the_library_has_a_meaning() -> None:
    """All concrete classes of telegram.error, so that a new one in a later release shows up here."""
    known: dict[type[tg.TelegramError], type[Exception]] = {
        tg.Forbidden: Unreachable, tg.InvalidToken: SettingsError, tg.EndPointNotFound: SettingsError,
        tg.NetworkError: DeliveryUnknown, tg.BadRequest: Refused, tg.TimedOut: DeliveryUnknown,
        tg.ChatMigrated: Refused, tg.RetryAfter: TooFast, tg.Conflict: DeliveryUnknown,
        tg.PassportDecryptionError: DeliveryUnknown, tg.TelegramError: DeliveryUnknown,
    }  # fmt: skip
    there = {one for one in vars(tg).values() if isinstance(one, type) and issubclass(one, tg.TelegramError)}

    assert there == set(known)
    for kind in there - {tg.RetryAfter}:
        assert type(meaning(kind(5) if kind is tg.ChatMigrated else kind("x"))) is known[kind], kind
    for ours in (NotSent("x"), NotTaken("x")):
        assert type(meaning(ours)) is NotDelivered
    assert issubclass(NotDelivered, DeliveryError)
