"""The parts of the service, all of which one process does, or each a process of its own; and the order of a start."""

import asyncio
import logging
from collections.abc import Callable, Coroutine, Iterable, Mapping
from enum import StrEnum
from typing import Any

from bot.alone import is_file
from bot.app import App
from bot.in_store import InStore
from bot.sending.pace import any_of
from core.errors import HoldlowerError, SettingsError, StoreError

log = logging.getLogger(__name__)

RECEIVING = "receiving"  # the lock of all who have taken in what had waited
CATCH_UP_S = 300.0  # judgement: a question can be so late; beyond it a broken intake must not stop all questions
LOOK_AGAIN_S = 0.1


class Part(StrEnum):
    RECEIVE = "receive"  # takes updates in
    HANDLE = "handle"  # answers them
    SEND = "send"  # delivers messages
    TICK = "tick"  # does what the clock brings
    RENDER = "render"  # makes and delivers what takes seconds to draw


ALL = frozenset(Part)


def check_parts(parts: frozenset[Part], database: str) -> None:
    """Raises SettingsError where a process would do some parts only and nobody else could do the rest."""
    if parts != ALL and is_file(database):
        raise SettingsError(
            "--only splits the work between processes, which needs PostgreSQL; on SQLite one process does all: "
            "leave it out, or set HOLDLOWER_DATABASE to a PostgreSQL address"
        )


def read_parts(names: Iterable[str]) -> frozenset[Part]:
    """The parts of these names. Raises ValueError with what there is."""
    try:
        return frozenset(map(Part, names))
    except ValueError as error:
        raise ValueError(f"{error}; expected some of {', '.join(Part)} with commas between them") from None


async def side_by_side(
    parts: Mapping[Part, Coroutine[Any, Any, None]], stop: asyncio.Event, stop_all: Callable[[], None]
) -> int:
    """Run the parts until all have ended; returns 0 after an orderly stop, 1 when one broke.

    One that ends before it was told to stops the others, too. Raises the HoldlowerError of one.
    """
    tasks = {asyncio.create_task(part, name=name) for name, part in parts.items()}
    await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
    broke = not stop.is_set()
    stop_all()
    results = await asyncio.gather(*tasks, return_exceptions=True)
    for result in results:
        if isinstance(result, HoldlowerError):
            raise result
        if isinstance(result, BaseException):
            log.error("a part of the program broke", exc_info=result)
    return 1 if broke or any(isinstance(result, BaseException) for result in results) else 0


async def caught_up(app: App, in_store: InStore, stop: asyncio.Event) -> None:
    """Return when what came while nobody was at work has been taken in and handled: it counts before a day is closed.

    Gives up waiting after CATCH_UP_S.
    """
    loop = asyncio.get_running_loop()
    until, began = loop.time() + CATCH_UP_S, app.clock()
    while not stop.is_set():
        try:
            if await in_store(lambda: _nothing_waits(app)):
                return
        except StoreError as error:
            log.warning("cannot see what waits", extra={"why": type(error).__name__})
        if loop.time() > until:
            log.error("what waits is not handled in time; going on", extra={"since": began.isoformat()})
            return
        await any_of((stop,), LOOK_AGAIN_S)


def _nothing_waits(app: App) -> bool:
    if not app.store.held(RECEIVING):
        return False
    with app.store.reading() as unit:
        return not unit.untouched_updates(app.clock())
