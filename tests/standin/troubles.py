"""What can be made to go wrong with one call, in the service's own shapes."""

import asyncio
import json
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Answer:
    """Answer this instead of doing the work; `body` is sent as it stands."""

    status: int
    body: bytes
    content_type: str = "application/json"

    def __str__(self) -> str:
        return str(self.status)


@dataclass(frozen=True)
class Late:
    """Do the work, then answer after `seconds`."""

    seconds: float


@dataclass(frozen=True)
class DropBefore:
    """Cut the connection without doing anything."""


@dataclass(frozen=True)
class DropAfter:
    """Do the work, then cut the connection instead of answering."""


Trouble = Answer | Late | DropBefore | DropAfter


def refused(status: int, description: str, **parameters: Any) -> Answer:
    """An error answer as the service writes it."""
    body: dict[str, Any] = {"ok": False, "error_code": status, "description": description}
    if parameters:
        body["parameters"] = parameters
    return Answer(status, json.dumps(body).encode())


def slow_down(seconds: int) -> Answer:
    """429: wait so long."""
    return refused(429, f"Too Many Requests: retry after {seconds}", retry_after=seconds)


def forbidden() -> Answer:
    """403: this person has blocked the bot."""
    return refused(403, "Forbidden: bot was blocked by the user")


def refusal(description: str = "Bad Request: chat not found") -> Answer:
    """400: this will never pass."""
    return refused(400, description)


def trouble(status: int = 502) -> Answer:
    """5xx from the front, in HTML, as a proxy writes it."""
    return Answer(status, f"<html><h1>{status} Bad Gateway</h1></html>".encode(), "text/html")


@dataclass
class Planned:
    """Troubles waiting for their calls, first planned first."""

    waiting: list[tuple[str, int | None, Trouble]] = field(default_factory=list)
    lasting: dict[str, Trouble] = field(default_factory=dict)  # by method: every call meets it until it is taken away

    def add(self, method: str, *troubles: Trouble, chat: int | None = None) -> None:
        """The next calls of `method` (to `chat` when given) meet these, one each."""
        self.waiting += [(method, chat, one) for one in troubles]

    def take(self, method: str, chat: int | None) -> Trouble | None:
        """What the present call meets."""
        for place, (wanted, whose, one) in enumerate(self.waiting):
            if wanted == method and whose in (None, chat):
                del self.waiting[place]
                return one
        return self.lasting.get(method)


async def late(one: Trouble | None) -> None:
    """Wait when the trouble is to be late."""
    if isinstance(one, Late):
        await asyncio.sleep(one.seconds)
