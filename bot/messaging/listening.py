"""A small HTTP server inside the program: its own socket, no signals of its own, patience with nobody."""

import asyncio
import logging
import socket
from collections.abc import Awaitable, Callable

from aiohttp import web
from aiohttp.http import HttpProcessingError

from bot.settings.file import Place
from core.errors import SettingsError

# All judgement.
MOST_CONNECTIONS = 256
LONGEST_HEAD_LINE = 16 * 1024  # bytes of the request line, and of each header
HEAD_WITHIN_S = 10.0
KEEP_ALIVE_S = 75.0  # the service and proxies keep connections for the next update
LINGER_S = 1.0  # reading on after a refusal, so that whoever still sends can hear it
GRACE_S = 5.0

log = logging.getLogger(__name__)
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
