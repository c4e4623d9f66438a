"""The stand-in's other way of handing out updates: it pushes them to the address that was set, until one is taken.

As the service does: anything but 2xx is repeated, several updates are on their way at once, and a set webhook makes
getUpdates fail (https://core.telegram.org/bots/api#setwebhook, #getupdates).
"""

import asyncio
import contextlib
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import aiohttp

if TYPE_CHECKING:
    from tests.standin.server import StandIn

AGAIN_S = 0.02
ANSWER_WITHIN_S = 20.0


class Pushing:
    """What is set, what was answered, and the task that pushes."""

    def __init__(self, standin: "StandIn") -> None:
        self._standin = standin
        self.url, self.secret, self.allowed = "", "", list[str]()
        self.at_once = 4
        self.statuses: list[int] = []
        self.news = asyncio.Event()
        self._trouble = ""
        self._under_way: set[int] = set()
        self._task: asyncio.Task[None] | None = None

    async def work(self, method: str, values: Mapping[str, Any]) -> Any:
        """Carry out one of the three methods."""
        if method == "getWebhookInfo":
            waiting = len(self._standin.waiting)
            info = {"url": self.url, "has_custom_certificate": False, "pending_update_count": waiting}
            return info | ({"last_error_message": self._trouble, "last_error_date": 1} if self._trouble else {})
        await self.end()
        if method == "setWebhook" and values["url"]:
            if "allowed_updates" not in values:
                self._standin.violations.append("setWebhook without allowed_updates keeps an earlier run's setting")
            self.url, self.secret = values["url"], values.get("secret_token", "")
            self._task = asyncio.create_task(self._push())
        return True

    async def end(self) -> None:
        """Push no more."""
        self.url, self._trouble = "", ""
        if self._task is not None:
            self._task.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await self._task
            self._task = None

    async def _push(self) -> None:
        headers = {"X-Telegram-Bot-Api-Secret-Token": self.secret} if self.secret else {}
        timeout = aiohttp.ClientTimeout(total=ANSWER_WITHIN_S)
        async with aiohttp.ClientSession(headers=headers, timeout=timeout) as session, asyncio.TaskGroup() as group:
            while True:
                self.news.clear()
                for update in list(self._standin.waiting):
                    if id(update) not in self._under_way and len(self._under_way) < self.at_once:
                        self._under_way.add(id(update))
                        group.create_task(self._push_one(session, update))
                await self.news.wait()

    async def _push_one(self, session: aiohttp.ClientSession, update: dict[str, Any]) -> None:
        try:
            async with session.post(self.url, json=update) as response:
                self.statuses.append(response.status)
                taken = 200 <= response.status < 300
                self._trouble = "" if taken else f"Wrong response from the webhook: {response.status}"
        except (aiohttp.ClientError, TimeoutError):
            taken, self._trouble = False, "Connection refused"
        if taken:
            self._standin.waiting.remove(update)
            self._standin.confirmed.append(update["update_id"])
        else:
            await asyncio.sleep(AGAIN_S)
        self._under_way.discard(id(update))
        self.news.set()
