"""The stand-in's HTTP side: a Bot API of a few methods on loopback."""

import asyncio
import copy
import datetime as dt
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Self

from aiohttp import web

from tests.standin.description import Description
from tests.standin.forms import Upload, read_form
from tests.standin.people import BOT_USER, Person, Seen
from tests.standin.pushing import Pushing
from tests.standin.troubles import Answer, DropAfter, DropBefore, Planned, late, refused

TOKEN = "7000000001:standin-AbCdEfGhIjKlMnOpQrStUvWxYz0"
LONGEST_POLL_S = 50


@dataclass(frozen=True)
class Call:
    """One call as it arrived: real seconds, method, typed values (files as bytes)."""

    at: float
    method: str
    values: Mapping[str, Any]


class Refusal(Exception):
    """The service does not do it; carries its answer."""

    def __init__(self, status: int, description: str) -> None:
        self.answer = refused(status, description)


class StandIn:
    """Use as an async context manager; `api` is the base URL. `violations` must be empty at the end of a test.

    `clock` stamps what people do. Updates not yet confirmed lie in `waiting`; `confirmed` counts the others.
    """

    def __init__(self, clock: Callable[[], dt.datetime], *, first_update: int = 860_000_001, port: int = 0) -> None:
        self.clock, self.port = clock, port
        self.calls: list[Call] = []
        self.violations: list[str] = []
        self.people: dict[int, Person] = {}
        self.troubles = Planned()
        self.waiting: list[dict[str, Any]] = []
        self.confirmed: list[int] = []
        self.confirmed_taps: list[str] = []
        self.commands: list[dict[str, str]] = []
        self.on_seen: Callable[[Person, Seen], None] = lambda person, seen: None
        self.unheard = 0  # sends that arrived and whose answer was cut off
        self._description = Description()
        self._next_update = first_update
        self._news = asyncio.Event()
        self._poll: asyncio.Future[None] | None = None
        self._taps: set[str] = set()
        self.pushing = Pushing(self)
        self._runner: web.AppRunner | None = None

    async def __aenter__(self) -> Self:
        app = web.Application(client_max_size=60 * 1024 * 1024)
        app.router.add_route("*", "/{bot}/{method}", self._handle)
        self._runner = web.AppRunner(app, access_log=None, shutdown_timeout=0.5)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", self.port)
        await site.start()
        self.port = self._runner.addresses[0][1]
        return self

    async def __aexit__(self, *_: object) -> None:
        assert self._runner is not None
        self._end_poll()
        await self.pushing.end()
        await self._runner.cleanup()

    @property
    def api(self) -> str:
        """The base URL, without "/bot"."""
        return f"http://127.0.0.1:{self.port}"

    def person(self, first_name: str, *, chat: int | None = None, language: str | None = "en") -> Person:
        """A new person with a chat of their own."""
        number = chat if chat is not None else 500_000_001 + len(self.people)
        self.people[number] = Person(number, first_name, language, self.emit, self.clock)
        return self.people[number]

    def emit(self, kind: str, facts: dict[str, Any]) -> int:
        """Make an update of the service's shape wait to be fetched; returns its number."""
        number = self._next_update
        update = {"update_id": number, kind: facts}
        if wrong := self._description.check("Update", update):
            raise AssertionError(f"the stand-in would send what the service never sends: {wrong}")
        if kind == "callback_query":
            self._taps.add(facts["id"])
        self.emit_raw(copy.deepcopy(update))
        self._next_update += 1
        return number

    def emit_raw(self, update: dict[str, Any]) -> None:
        """Make anything at all wait, however malformed."""
        self.waiting.append(update)
        self._news.set()
        self.pushing.news.set()

    def sent(self, method: str) -> list[Call]:
        """The calls of one method, oldest first."""
        return [call for call in self.calls if call.method == method]

    async def _handle(self, request: web.Request) -> web.StreamResponse:
        if request.match_info["bot"] != f"bot{TOKEN}":
            return _response(refused(401, "Unauthorized"))
        method = request.match_info["method"]
        if method not in self._description.methods:
            self.violations.append(f"unknown method {method}")
            return _response(refused(404, "Not Found"))
        values, wrong = self._description.read_call(method, await read_form(request))
        self.calls.append(Call(time.monotonic(), method, values))
        if wrong:
            self.violations += wrong
            return _response(refused(400, f"Bad Request: {wrong[0]}"))
        met = self.troubles.take(method, values.get("chat_id"))
        if isinstance(met, DropBefore):
            return _cut(request)
        if isinstance(met, Answer):
            return _response(met)
        try:
            result = await self._work(method, values)
        except Refusal as refusal:
            return _response(refusal.answer)
        if isinstance(met, DropAfter):
            self.unheard += method.startswith("send")
            return _cut(request)
        await late(met)
        return web.json_response({"ok": True, "result": result})

    async def _work(self, method: str, values: Mapping[str, Any]) -> Any:
        if method == "getMe":
            return BOT_USER
        if method == "getUpdates":
            return await self._get_updates(values)
        if method in ("setWebhook", "deleteWebhook", "getWebhookInfo"):
            return await self.pushing.work(method, values)
        if method == "setMyCommands":
            self.commands = values["commands"]
        if method == "answerCallbackQuery":
            if values["callback_query_id"] not in self._taps:
                raise Refusal(400, "Bad Request: query is too old and response timeout expired or query ID is invalid")
            self._taps.remove(values["callback_query_id"])
            self.confirmed_taps.append(values["callback_query_id"])
        if method.startswith("send"):
            return self._send(values)
        if method == "copyMessage":
            return self._copy(values)
        if method in ("editMessageReplyMarkup", "editMessageText"):
            return self._edit(values)
        return True

    def _send(self, values: Mapping[str, Any]) -> dict[str, Any]:
        person = self._person(values["chat_id"])
        text = values.get("text", values.get("caption", ""))
        if "text" in values and not text.strip():
            raise Refusal(400, "Bad Request: message text is empty")
        file = values.get("document")
        document = (file.name, bytes(file)) if isinstance(file, Upload) else None
        rows = values.get("reply_markup", {}).get("inline_keyboard", [])
        protected = values.get("protect_content", False)
        seen = Seen(person.next_number(), text, rows, values.get("photo"), document, protected)
        seen.voice, seen.animation = values.get("voice"), values.get("animation")
        person.got.append(seen)
        self.on_seen(person, seen)
        return self._message(person, seen, values)

    def _copy(self, values: Mapping[str, Any]) -> dict[str, Any]:
        person, whose = self._person(values["chat_id"]), (values["from_chat_id"], values["message_id"])
        if whose[0] not in self.people or whose[1] not in self.people[whose[0]].wrote:
            raise Refusal(400, "Bad Request: message to copy not found")
        seen = Seen(person.next_number(), "", [], protected=values.get("protect_content", False), copied=whose)
        person.got.append(seen)
        self.on_seen(person, seen)
        return {"message_id": seen.message_id}

    def _edit(self, values: Mapping[str, Any]) -> dict[str, Any]:
        person = self._person(values["chat_id"])
        rows = values.get("reply_markup", {}).get("inline_keyboard", [])
        for seen in person.got:
            if seen.message_id == values["message_id"]:
                text = values.get("text", seen.text)
                if (seen.buttons, seen.text) == (rows, text):
                    raise Refusal(400, "Bad Request: message is not modified")
                seen.earlier.append(seen.text)
                seen.buttons, seen.text = rows, text
                return self._message(person, seen, {"text": seen.text})
        raise Refusal(400, "Bad Request: message to edit not found")

    def _person(self, chat: int) -> Person:
        person = self.people.get(chat)
        if person is None:
            raise Refusal(400, "Bad Request: chat not found")
        if person.blocked:
            raise Refusal(403, "Forbidden: bot was blocked by the user")
        return person

    def _message(self, person: Person, seen: Seen, values: Mapping[str, Any]) -> dict[str, Any]:
        """The service's echo of what it took."""
        chat = {"id": person.chat, "type": "private", "first_name": person.first_name}
        base = {"message_id": seen.message_id, "date": int(self.clock().timestamp()), "chat": chat, "from": BOT_USER}
        echo = {name: values[name] for name in ("text", "caption", "reply_markup") if name in values}
        if seen.photo is not None:
            echo["photo"] = [{"file_id": "p", "file_unique_id": "p", "width": 800, "height": 400}]
        if seen.voice is not None:
            echo["voice"] = {"file_id": "v", "file_unique_id": "v", "duration": 1}
        if seen.animation is not None:
            moving = {"file_id": "a", "file_unique_id": "a", "width": 1, "height": 1, "duration": 1}
            echo["animation"] = moving
        if seen.document is not None:
            echo["document"] = {"file_id": "d", "file_unique_id": "d", "file_name": seen.document[0]}
        message = base | echo
        if wrong := self._description.check("Message", message):
            raise AssertionError(f"the stand-in would answer what the service never answers: {wrong}")
        return message

    async def _get_updates(self, values: Mapping[str, Any]) -> list[dict[str, Any]]:
        """A higher offset confirms, no offset starts at the earliest; waits for news up to the time-out."""
        if self.pushing.url:
            raise Refusal(409, "Conflict: can't use getUpdates method while webhook is active; use deleteWebhook first")
        if "allowed_updates" not in values:
            self.violations.append("getUpdates without allowed_updates keeps an earlier run's setting")
        offset = values.get("offset")
        if offset is not None:
            self.confirmed += [u["update_id"] for u in self.waiting if _number(u) < offset]
            self.waiting = [u for u in self.waiting if _number(u) >= offset]
        self._end_poll()
        loop = asyncio.get_running_loop()
        until = loop.time() + min(values.get("timeout", 0), LONGEST_POLL_S)
        while not self.waiting and loop.time() < until:
            self._news.clear()
            self._poll = loop.create_future()
            news = asyncio.ensure_future(self._news.wait())
            mine = self._poll
            await asyncio.wait((news, mine), timeout=until - loop.time(), return_when=asyncio.FIRST_COMPLETED)
            news.cancel()
            if mine.done():
                raise Refusal(409, "Conflict: terminated by other getUpdates request")
        return self.waiting[: values.get("limit", 100)]

    def _end_poll(self) -> None:
        """A newer poll ends the older one, as the service does."""
        if self._poll is not None and not self._poll.done():
            self._poll.set_result(None)
        self._poll = None


def _number(update: Mapping[str, Any]) -> int:
    number = update.get("update_id")
    return number if isinstance(number, int) else 1 << 62


def _response(answer: Answer) -> web.Response:
    return web.Response(status=answer.status, body=answer.body, content_type=answer.content_type)


def _cut(request: web.Request) -> web.Response:
    assert request.transport is not None
    request.transport.abort()
    return web.Response()
