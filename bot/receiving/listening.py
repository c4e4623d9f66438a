"""A small HTTP server inside the program: its own socket, no signals of its own, patience with nobody."""

import asyncio
import contextlib
import socket
from collections.abc import Iterator

import h11
import uvicorn
from starlette.types import ASGIApp
from uvicorn.protocols.http.h11_impl import H11Protocol

from bot.places import Place
from core.errors import SettingsError

# All judgement.
MOST_CONNECTIONS = 256
LONGEST_HEAD = 16 * 1024  # bytes of request line and headers
HEAD_WITHIN_S = 10.0
KEEP_ALIVE_S = 75  # the service and proxies keep connections for the next update
GRACE_S = 5


class Listener:
    """Serves `app` at `place` from `start` to `stop`."""

    def __init__(self, app: ASGIApp, place: Place, setting: str, *, head_within_s: float = HEAD_WITHIN_S) -> None:
        self._place, self._setting = place, setting
        # Plain HTTP/1.1 and nothing else; what a proxy says about itself is neither needed nor believed.
        self._config = uvicorn.Config(
            app, http=_impatient(head_within_s), ws="none", lifespan="off", log_config=None, access_log=False,
            proxy_headers=False, server_header=False, limit_concurrency=MOST_CONNECTIONS,
            h11_max_incomplete_event_size=LONGEST_HEAD, timeout_keep_alive=KEEP_ALIVE_S,
            timeout_graceful_shutdown=GRACE_S,
        )  # fmt: skip
        self._server = _Server(self._config)
        self._serving: asyncio.Task[None] | None = None
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
        self._serving = asyncio.create_task(self._server.serve(sockets=[listening]))
        while not self._server.started and not self._serving.done():
            await asyncio.sleep(0.005)

    async def stop(self) -> None:
        """Take no further connection and let what is under way finish, for a few seconds at most."""
        if self._serving is not None:
            self._server.should_exit = True
            await self._serving


class _Server(uvicorn.Server):
    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """The program as a whole listens to signals."""
        yield


def _impatient(seconds: float) -> type[H11Protocol]:
    """The server's protocol with an end to waiting for a request's head: it has none, so that idle ones pile up."""

    class Impatient(H11Protocol):
        _patience: asyncio.TimerHandle | None = None

        def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
            super().connection_made(transport)
            self._patience = self.loop.call_later(seconds, transport.close)

        def data_received(self, data: bytes) -> None:
            super().data_received(data)
            if self.conn.their_state is not h11.IDLE:
                self._calm()
            elif self._patience is None and self.conn.trailing_data[0]:  # the head of a later request, in part
                self._patience = self.loop.call_later(seconds, self.transport.close)

        def connection_lost(self, exc: Exception | None) -> None:
            self._calm()
            super().connection_lost(exc)

        def _calm(self) -> None:
            if self._patience is not None:
                self._patience.cancel()
                self._patience = None

    return Impatient
