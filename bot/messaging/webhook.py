"""The service pushes updates to us: each is stored and committed before it hears 200, so that it repeats the others.

Below is the small HTTP server inside the program: its own socket, no signals of its own, patience with nobody.
"""

import asyncio
import hmac
import json
import logging
import socket
from collections.abc import Awaitable, Callable
from http import HTTPStatus
from typing import Any
from urllib.parse import urlsplit

from aiohttp import ClientPayloadError, web
from aiohttp.http import HttpProcessingError
from telegram import Bot
from telegram.error import TelegramError

from bot.messaging.intake import Intake
from bot.ports import UNMETERED, Meter
from bot.run.in_store import any_of
from bot.settings.file import Place
from bot.telegram import point_webhook, webhook_secrets
from bot.telegram.channel import meaning
from core.errors import SettingsError, StoreError

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
        self, bot: Bot, intake: Intake, url: str, place: Place, *, meter: Meter = UNMETERED,
        body_within_s: float = BODY_WITHIN_S, head_within_s: float | None = None, look_every_s: float = LOOK_EVERY_S,
    ) -> None:  # fmt: skip
        self._bot, self._intake = bot, intake
        path, self._secret = webhook_secrets(bot.token)
        self._url = f"{url}/{path}"
        self._path = urlsplit(self._url).path
        self._meter, self._body_within_s, self._look_every_s = meter, body_within_s, look_every_s
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


# All judgement.
MOST_CONNECTIONS = 256
LONGEST_HEAD_LINE = 16 * 1024  # bytes of the request line, and of each header
HEAD_WITHIN_S = 10.0
KEEP_ALIVE_S = 75.0  # the service and proxies keep connections for the next update
LINGER_S = 1.0  # reading on after a refusal, so that whoever still sends can hear it
GRACE_S = 5.0

# what a stranger sends is no error of ours, and its bytes belong in no log
log.addFilter(lambda record: not (record.exc_info and isinstance(record.exc_info[1], HttpProcessingError)))

Answer = Callable[[web.BaseRequest], Awaitable[web.StreamResponse]]


class Listener:
    """Serves `answer` at `place` from `start` to `stop`: plain HTTP/1.1, whose TLS is a proxy's work."""

    def __init__(self, answer: Answer, place: Place, setting: str, *, head_within_s: float = HEAD_WITHIN_S) -> None:
        self._answer, self._place, self._setting = answer, place, setting
        self._head_within_s = head_within_s
        self._silent: dict[asyncio.BaseProtocol, asyncio.TimerHandle] = {}  # no whole head from these yet
        self._server: web.Server | None = None
        self._socket: asyncio.Server | None = None
        self.port = place.port

    async def start(self) -> None:
        """Listen; returns once connections are taken. Raises SettingsError when the place cannot be had."""
        try:
            family = socket.AF_INET6 if ":" in self._place.host else socket.AF_INET
            listening = socket.create_server(self._place, family=family, backlog=1024)
        except OSError as error:
            raise SettingsError(
                f"{self._setting}: cannot listen on {self._place.host} port {self._place.port} "
                f"({error.strerror or error}); name another address or port, or stop what is using it"
            ) from error
        self.port = listening.getsockname()[1]
        self._server = web.Server(
            self._heard, logger=log, access_log=None, keepalive_timeout=KEEP_ALIVE_S, lingering_time=LINGER_S,
            max_line_size=LONGEST_HEAD_LINE, max_field_size=LONGEST_HEAD_LINE,
        )  # fmt: skip
        self._socket = await asyncio.get_running_loop().create_server(self._connect, sock=listening)

    async def stop(self) -> None:
        """Take no further connection and let what is under way finish, for a few seconds at most."""
        if self._socket is None or self._server is None:
            return
        self._socket.close()
        self._server.pre_shutdown()  # idle connections
        await self._server.shutdown(GRACE_S)
        for patience in self._silent.values():
            patience.cancel()

    def _connect(self) -> asyncio.BaseProtocol:
        if self._server is None or len(self._server.connections) >= MOST_CONNECTIONS:
            return _Full()
        connection = self._server()
        # the library waits for a first head for ever, so that silent connections would pile up
        later = asyncio.get_running_loop().call_later
        self._silent[connection] = later(self._head_within_s, self._hang_up, connection)
        return connection

    def _hang_up(self, connection: web.RequestHandler) -> None:
        del self._silent[connection]
        if connection.transport is not None:
            connection.transport.close()

    async def _heard(self, request: web.BaseRequest) -> web.StreamResponse:
        patience = self._silent.pop(request.protocol, None)
        if patience is not None:
            patience.cancel()
        return await self._answer(request)


class _Full(asyncio.Protocol):
    """Hangs up on one connection too many."""

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        transport.close()
