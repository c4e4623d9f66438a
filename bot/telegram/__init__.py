"""The messaging library's bot on our transport: built, greeted, its commands set."""

import datetime as dt
import email.utils
import hashlib
import hmac
import logging
import re
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

import aiohttp
from telegram import Bot, BotCommand
from telegram.error import TelegramError

from bot.telegram.channel import meaning
from bot.telegram.transport import AiohttpRequest
from bot.telegram.updates import ALLOWED_UPDATES
from core.errors import SettingsError

log = logging.getLogger(__name__)

LINK = "https://t.me/{bot}?start={code}"
_TOKEN = re.compile(r"[0-9]+:[A-Za-z0-9_-]+", re.ASCII)
_MOST_PUSHES = 40  # at once: bot-api.json, setWebhook.max_connections, its default
_MOST_UPDATES = 100  # bot-api.json, getUpdates.limit


def build_bot(token: str, api: str, *, in_flight: int = 16) -> Bot:
    """A bot that is not yet connected. `api` is the service's address without "/bot".

    Raises SettingsError, which never shows it, for something that cannot be a token.
    """
    if not _TOKEN.fullmatch(token):
        raise SettingsError("the bot token is not a token: expected digits, a colon, then letters, digits, _ or -")
    root = api.rstrip("/")
    return Bot(
        token,
        base_url=f"{root}/bot",
        base_file_url=f"{root}/file/bot",
        request=AiohttpRequest(connections=in_flight + 4),
        get_updates_request=AiohttpRequest(connections=2),
    )


async def greet(bot: Bot, commands: Sequence[tuple[str, str]] = (), *, poll: bool = True) -> str:
    """Connect, set the commands, take away a webhook left behind when we are to `poll`; returns the bot's user name.

    Raises SettingsError for a refused token, or a DeliveryError when the service cannot be reached (try again later).
    Waiting updates are kept.
    """
    try:
        await bot.initialize()
        if poll:
            await bot.delete_webhook(drop_pending_updates=False)
        if commands:
            await bot.set_my_commands([BotCommand(name, description) for name, description in commands])
    except TelegramError as error:
        raise meaning(error) from None  # the library's own text for a refused token shows it
    log.info("bot ready", extra={"bot": bot.username})
    return bot.username


class ServiceState(NamedTuple):
    """What the messaging service says of the bot: its name, where it pushes news to ("" for nowhere), and what went
    wrong there last."""

    bot: str
    webhook: str
    trouble: str


async def ask_service(token: str, api: str) -> ServiceState:
    """Ask whether the token is good, and about the webhook; nothing is changed.

    Raises SettingsError for a refused token, a DeliveryError when the service cannot be reached.
    """
    bot = build_bot(token, api)
    try:
        await bot.initialize()
        info = await bot.get_webhook_info()
    except TelegramError as error:
        raise meaning(error) from None
    finally:
        await bot.shutdown()
    return ServiceState(bot.username, info.url, info.last_error_message or "")


async def knock(url: str, within_s: float) -> tuple[bool, dt.datetime | None]:
    """Whether anything answers at `url`, whatever it says, and by its clock when (RFC 9110, 6.6.1: the Date header)."""
    try:
        async with (
            aiohttp.ClientSession(timeout=aiohttp.ClientTimeout(total=within_s)) as session,
            session.head(url, allow_redirects=False) as answer,
        ):
            date = answer.headers.get("Date")
    except (TimeoutError, aiohttp.ClientError, OSError):
        return False, None
    try:
        return True, email.utils.parsedate_to_datetime(date) if date else None
    except ValueError:
        return True, None


def webhook_secrets(token: str) -> tuple[str, str]:
    """(last part of the path, secret token), made from the bot's token and good for nothing else.

    Every process with that token finds the same two, a new token changes both, and neither gives it away.
    """
    path, secret = (
        hmac.new(token.encode(), f"holdlower webhook {use}".encode(), hashlib.sha256).hexdigest()
        for use in ("path", "secret")
    )
    return path, secret


async def point_webhook(bot: Bot, url: str, secret: str) -> None:
    """Have the service push updates to `url`, each with `secret` in its header. Raises TelegramError."""
    await bot.set_webhook(
        url, secret_token=secret, allowed_updates=list(ALLOWED_UPDATES), max_connections=_MOST_PUSHES,
        drop_pending_updates=False,
    )  # fmt: skip


async def raw_updates(bot: Bot, offset: int | None, wait_s: float) -> list[Mapping[str, Any]]:
    """The updates waiting from `offset` on as they came, waiting up to `wait_s` seconds for a first one.

    They stay raw because the library's own reading gives up a whole batch, and logs it, for one that it cannot read.
    Raises TelegramError.
    """
    allowed = list(ALLOWED_UPDATES)  # left out, the service keeps what an earlier run asked for
    wanted: dict[str, Any] = {"timeout": int(wait_s), "limit": _MOST_UPDATES, "allowed_updates": allowed}
    if offset is not None:
        wanted["offset"] = offset
    # The library turns "get__updates" into getUpdates; spelt plainly it warns that a typed method exists.
    answer = await bot.do_api_request("get__updates", wanted, read_timeout=wait_s + 10.0)
    if not isinstance(answer, list):
        raise TelegramError("The answer to getUpdates is not a list")
    return answer
