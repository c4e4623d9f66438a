"""HTTP under the messaging library: aiohttp instead of its stock client, and errors that tell what happened.

The stock client is several times slower once many calls are in flight, and it cannot tell a call that never left
from one that may have been carried out. Nothing here puts a URL, which holds the token, or a body into an error
or a log.
"""

import json
from http import HTTPStatus
from typing import Any
from urllib.parse import urlencode

import aiohttp
from telegram.error import BadRequest, NetworkError, TelegramError, TimedOut
from telegram.request import BaseRequest, RequestData

# Seconds: to connect, to wait for a free connection, and what an upload adds before the whole call is given up.
CONNECT_S, POOL_S, WRITE_S = 5.0, 5.0, 20.0
KEEP_ALIVE_S = 30.0
DEFAULT_WAIT_S = 5.0  # judgement: what to wait when a 429 names no time
_FORM = {"Content-Type": "application/x-www-form-urlencoded"}


class NotSent(NetworkError):
    """The call certainly never left: no connection, no free place in the pool, no such host."""


class NotTaken(NetworkError):
    """The answer says that the call was not carried out: 5xx, or something else answered for the service."""


class AskedToWait(TelegramError):
    """429: the service asks to wait for `seconds`."""

    def __init__(self, seconds: float) -> None:
        super().__init__(f"the messaging service asks to wait {seconds:g} s")
        self.seconds = seconds


class AiohttpRequest(BaseRequest):
    """The messaging library's transport on aiohttp.

    `connections` bounds the open connections, `read_s` is how long an answer is waited for.
    Raises NotSent, NotTaken, AskedToWait, BadRequest; TimedOut and NetworkError where it may have been carried out.
    """

    def __init__(self, *, connections: int = 32, read_s: float = 10.0) -> None:
        self._connections, self._read_s = connections, read_s
        self._session: aiohttp.ClientSession | None = None

    @property
    def read_timeout(self) -> float | None:
        """Seconds waited for an answer unless a call says otherwise."""
        return self._read_s

    async def initialize(self) -> None:
        """Open the session; a second call changes nothing."""
        if self._session is None or self._session.closed:
            self._session = aiohttp.ClientSession(
                connector=aiohttp.TCPConnector(limit=self._connections, keepalive_timeout=KEEP_ALIVE_S),
                cookie_jar=aiohttp.DummyCookieJar(),
                headers={"User-Agent": self.USER_AGENT},
            )

    async def shutdown(self) -> None:
        """Close every connection; a second call changes nothing."""
        if self._session is not None:
            await self._session.close()
            self._session = None

    async def do_request(
        self,
        url: str,
        method: str,
        request_data: RequestData | None = None,
        read_timeout: Any = BaseRequest.DEFAULT_NONE,
        write_timeout: Any = BaseRequest.DEFAULT_NONE,
        connect_timeout: Any = BaseRequest.DEFAULT_NONE,
        pool_timeout: Any = BaseRequest.DEFAULT_NONE,
    ) -> tuple[int, bytes]:
        """Make one call and return (status, body); a time-out of None waits without end."""
        if self._session is None:
            raise NotSent("The transport is not open; call initialize() before the first request")
        timeout = self._timeout(read_timeout, write_timeout, connect_timeout, pool_timeout)
        body, headers = _body(request_data)
        try:
            async with self._session.request(
                method, url, data=body, headers=headers, timeout=timeout, allow_redirects=False
            ) as response:
                status, content = response.status, await response.read()
        # The causes are cut off: some of aiohttp's texts quote the URL, and with it the token.
        except (aiohttp.ClientConnectorError, aiohttp.ConnectionTimeoutError, aiohttp.InvalidURL) as error:
            raise NotSent(f"No connection to the messaging service ({type(error).__name__})") from None
        except TimeoutError as error:
            raise TimedOut(f"No answer in time ({type(error).__name__})") from None
        except (aiohttp.ClientError, OSError) as error:
            raise NetworkError(f"Connection lost before the answer ({type(error).__name__})") from None
        _judge(status, content)
        return status, content

    @staticmethod
    def parse_json_payload(payload: bytes) -> dict[str, Any]:
        """Read the service's JSON object. Unlike the library's own, never logs a body that cannot be read."""
        try:
            answer = json.loads(payload.decode("utf-8", "replace"))
        except ValueError:
            answer = None
        if not isinstance(answer, dict):
            raise TelegramError("The answer is not a JSON object of the messaging service")
        return answer

    def _timeout(self, read: Any, write: Any, connect: Any, pool: Any) -> aiohttp.ClientTimeout:
        usual = ((read, self._read_s), (write, WRITE_S), (connect, CONNECT_S), (pool, POOL_S))
        read, write, connect, pool = (mine if given is BaseRequest.DEFAULT_NONE else given for given, mine in usual)
        before = None if connect is None or pool is None else connect + pool
        # aiohttp has no time-out for writing: a total keeps a stuck upload from holding a place for ever.
        whole = None if before is None or write is None or read is None else before + write + read
        return aiohttp.ClientTimeout(total=whole, connect=before, sock_connect=connect, sock_read=read)


def _body(data: RequestData | None) -> tuple[bytes | aiohttp.FormData | None, dict[str, str] | None]:
    if data is None or (not (parameters := data.json_parameters) and not data.contains_files):
        return None, None
    if not data.contains_files:
        return urlencode(parameters).encode(), _FORM
    form = aiohttp.FormData(quote_fields=False, default_to_multipart=True)  # RFC 7578: names as UTF-8, no % signs
    for name, value in parameters.items():
        form.add_field(name, value)
    for name, (filename, content, mime) in data.multipart_data.items():
        form.add_field(name, content, filename=filename, content_type=mime)
    return form, None


def _judge(status: int, content: bytes) -> None:
    """Raise for answers that the library would read wrongly; let through what it reads well."""
    if HTTPStatus.OK <= status < HTTPStatus.MULTIPLE_CHOICES:
        return
    if status == HTTPStatus.GATEWAY_TIMEOUT:
        # RFC 9110 15.6.5: the gateway gave up waiting; what stands behind it may still have done the work.
        raise TimedOut("A gateway before the messaging service gave up waiting (504)")
    if status >= HTTPStatus.INTERNAL_SERVER_ERROR:
        raise NotTaken(f"The messaging service is in trouble ({status})")
    answer = _answer(content)
    if status == HTTPStatus.TOO_MANY_REQUESTS:
        raise AskedToWait(_seconds_to_wait(answer))
    if status == HTTPStatus.REQUEST_ENTITY_TOO_LARGE:
        raise BadRequest("The request is too large (413)")
    if answer is None:
        # A proxy or login page also says 403; taken at its word, everybody would count as having blocked us.
        raise NotTaken(f"HTTP {status} from something that is not the messaging service; check the network or proxy")


def _answer(content: bytes) -> dict[str, Any] | None:
    try:
        answer = AiohttpRequest.parse_json_payload(content)
    except TelegramError:
        return None
    return answer if answer.get("ok") is False else None


def _seconds_to_wait(answer: dict[str, Any] | None) -> float:
    parameters = (answer or {}).get("parameters")
    asked = parameters.get("retry_after") if isinstance(parameters, dict) else None
    return float(asked) if isinstance(asked, int | float) and asked > 0 else DEFAULT_WAIT_S
