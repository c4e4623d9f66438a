"""The service pushes updates to us: each is stored and committed before it hears 200, so that it repeats the others."""

import asyncio
import hmac
import json
import logging
from http import HTTPStatus
from typing import Any
from urllib.parse import urlsplit

from aiohttp import ClientPayloadError, web
from telegram import Bot
from telegram.error import TelegramError

from bot.messaging.intake import Intake
from bot.messaging.listening import Listener
from bot.ports import UNMETERED, Meter
from bot.run.in_store import any_of
from bot.settings.file import Place
from bot.telegram import point_webhook, webhook_secrets
from bot.telegram.channel import meaning
from core.errors import StoreError

log = logging.getLogger(__name__)

SECRET_HEADER = "X-Telegram-Bot-Api-Secret-Token"  # bot-api.json, setWebhook.secret_token
LARGEST_BODY = 1024 * 1024  # judgement: many times the largest update
BODY_WITHIN_S = 10.0  # judgement
BACKLOG_WITHIN_S = 20.0  # judgement
LOOK_EVERY_S = 300.0  # judgement

Refuse = tuple[HTTPStatus, str]


class Webhook:
    """Takes updates at `url`, the public address without the secret path, which a proxy hands on to `place`."""

    def __init__(
        self, bot: Bot, intake: Intake, url: str, place: Place, *, meter: Meter | None = None,
        body_within_s: float = BODY_WITHIN_S, head_within_s: float | None = None, look_every_s: float = LOOK_EVERY_S,
    ) -> None:  # fmt: skip
        self._bot, self._intake = bot, intake
        path, self._secret = webhook_secrets(bot.token)
        self._url = f"{url}/{path}"
        self._path = urlsplit(self._url).path
        self._meter, self._body_within_s, self._look_every_s = meter or UNMETERED, body_within_s, look_every_s
        more = {} if head_within_s is None else {"head_within_s": head_within_s}
        self._listener = Listener(self._take, place, "HOLDLOWER_WEBHOOK_LISTEN", **more)
        self._listening = False

    async def pull_backlog(self) -> None:
        """Listen, have updates sent here, and wait until those of a downtime have come, for a while at most.

        Raises SettingsError or a DeliveryError; call again.
        """
        if not self._listening:
            await self._listener.start()
            self._listening = True
        try:
            await point_webhook(self._bot, self._url, self._secret)
            async with asyncio.timeout(BACKLOG_WITHIN_S):
                while await self._pending():
                    await asyncio.sleep(0.2)
        except TimeoutError:
            log.warning("older updates still waiting at the service", extra={"waited_s": BACKLOG_WITHIN_S})
        except TelegramError as error:
            raise meaning(error) from None

    async def run(self, stop: asyncio.Event) -> None:
        """Serve until `stop`, looking now and then whether the service still sends here and gets through."""
        try:
            while not stop.is_set():
                await any_of((stop,), self._look_every_s)
                if not stop.is_set():
                    await self._look()
        finally:
            await self.close()

    async def close(self) -> None:
        """Stop listening; what is under way is stored and answered. The service keeps later updates for us."""
        await self._listener.stop()
        await self._intake.close()

    async def _look(self) -> None:
        try:
            await self._pending()
        except TelegramError as error:
            log.info("webhook not looked at", extra={"why": str(meaning(error))})

    async def _pending(self) -> int:
        """How many updates wait at the service; mends an address that somebody has taken away."""
        info = await self._bot.get_webhook_info()
        if info.url != self._url:
            log.warning("the service sent updates elsewhere; is another process polling?")
            await point_webhook(self._bot, self._url, self._secret)
        elif info.pending_update_count and info.last_error_message:
            log.warning("the service does not get through", extra={"why": info.last_error_message})
        return info.pending_update_count

    async def _take(self, request: web.BaseRequest) -> web.StreamResponse:
        refused = self._refusal(request)
        if refused is None:
            try:
                async with asyncio.timeout(self._body_within_s):
                    body = await _read(request)
            except TimeoutError:
                refused = HTTPStatus.REQUEST_TIMEOUT, "slow"
            except (ConnectionError, ClientPayloadError):
                refused = HTTPStatus.BAD_REQUEST, "gone"
            else:
                refused = await self._store(body) if body is not None else _TOO_LARGE
        if refused is None:
            return web.Response()
        status, why = refused
        self._meter.refused(why)
        log.warning("webhook call refused", extra={"status": int(status), "why": why})
        answer = web.Response(status=status)
        answer.force_close()  # the rest of a body that was not read must not be taken for the next request
        return answer

    def _refusal(self, request: web.BaseRequest) -> Refuse | None:
        """What the head alone is refused for."""
        given = request.headers.get(SECRET_HEADER, "")
        if not _same(request.path, self._path):
            return HTTPStatus.NOT_FOUND, "path"
        if request.method != "POST":
            return HTTPStatus.METHOD_NOT_ALLOWED, "method"
        if not _same(given, self._secret):
            return HTTPStatus.FORBIDDEN, "secret"
        length = request.headers.get("Content-Length", "0")
        return _TOO_LARGE if not length.isdecimal() or int(length) > LARGEST_BODY else None

    async def _store(self, body: bytes) -> Refuse | None:
        try:
            payload: Any = json.loads(body)
            rows = self._intake.rows([payload])
        except (ValueError, RecursionError):
            return HTTPStatus.BAD_REQUEST, "json"
        if not rows:
            return HTTPStatus.BAD_REQUEST, "number"
        try:
            await self._intake.keep([payload], rows)
        except StoreError:
            return HTTPStatus.SERVICE_UNAVAILABLE, "database"  # anything but 2xx: the service repeats it
        return None


_TOO_LARGE: Refuse = (HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "large")


async def _read(request: web.BaseRequest) -> bytes | None:
    """The body, or None as soon as it is too large, whatever its head says."""
    parts, size = list[bytes](), 0
    async for part in request.content.iter_any():
        size += len(part)
        if size > LARGEST_BODY:
            return None
        parts.append(part)
    return b"".join(parts)


def _same(given: str, wanted: str) -> bool:
    return hmac.compare_digest(given.encode(), wanted.encode())
