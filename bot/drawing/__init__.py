"""Pictures from one child process, so that drawing neither holds up the event loop nor fills this process."""

import asyncio
import contextlib
import faulthandler
import multiprocessing
import os
import signal
import threading
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from functools import partial
from importlib import import_module

from bot.drawn.course import FileFacts, PanelsFacts, ProgressFacts, RuleFacts
from bot.drawn.routine import ClipFacts, MovementFacts, SheetFacts
from core.errors import HoldlowerError

PICTURES_PER_CHILD = 500  # then a fresh one: whatever the plotting library keeps is given back
LOADING_S = 60.0  # the very first time the plotting library lists all fonts of the machine, and keeps the list
WAITING = 64  # about seven seconds of drawing
PAGES_A_LIMIT = 20  # pages of a file that may take as long as one picture: a page is about as much work
KEPT = 64  # of what is drawn alike for many people, at 30 to 300 kB
Facts = ProgressFacts | PanelsFacts | FileFacts | RuleFacts | SheetFacts | MovementFacts | ClipFacts | str

ARTISTS: dict[type, str] = {
    ProgressFacts: "charts:draw",
    PanelsFacts: "panels:draw_panels",
    FileFacts: "file:draw_file",
    SheetFacts: "file:draw_sheet",
    MovementFacts: "movement:draw_movement",
    ClipFacts: "clip:make_clip",
    RuleFacts: "rule:draw_rule",
    str: "file:draw_code",
}


class DrawingError(HoldlowerError):
    """There is no picture this time; the text can go without it."""


class Drawing:
    """Draws one picture at a time in a child that is started for the first one.

    A child that dies costs one new try. `limit_s` is the time for one picture, after which the child
    is ended; a call waits at most for WAITING others. A file of a hundred pages takes seconds in which no picture is
    drawn, so whoever makes files for therapists while patients wait for pictures uses a second one of these.
    """

    def __init__(self, limit_s: float = 10.0) -> None:
        self._limit_s = limit_s
        self._turn = asyncio.Lock()  # one at a time: a picture that kills the child takes no other with it
        self._waiting = 0
        self._pool: ProcessPoolExecutor | None = None
        self._closed = False
        self._kept: OrderedDict[Facts, bytes] = OrderedDict()  # the one used last at the end

    async def draw(self, facts: Facts) -> bytes:
        """PNG, PDF, GIF or Opus in Ogg, as the facts ask for; of a link the code to scan.

        What nothing about a person is in is made once for all who get the same. Raises DrawingError when there is none.
        """
        if not isinstance(facts, MovementFacts | ClipFacts):
            return await self._in_turn(facts)
        if facts not in self._kept:
            self._kept[facts] = await self._in_turn(facts)
        self._kept.move_to_end(facts)
        while len(self._kept) > KEPT:
            self._kept.popitem(last=False)
        return self._kept[facts]

    async def _in_turn(self, facts: Facts) -> bytes:
        if self._waiting >= WAITING:
            raise DrawingError("too many pictures are waiting to be drawn; send the text without one")
        self._waiting += 1
        limit_s = self._limit_s * _pictures_worth(facts)
        try:
            async with self._turn:
                with contextlib.suppress(BrokenProcessPool):
                    return await self._draw(facts, limit_s)
                return await self._draw(facts, limit_s)
        except BrokenProcessPool as error:
            raise DrawingError(f"the drawing process ended twice, or took more than {limit_s:g} s") from error
        finally:
            self._waiting -= 1

    async def _draw(self, facts: Facts, limit_s: float) -> bytes:
        if self._closed:
            raise DrawingError("no more pictures: the program is closing")
        if self._pool is None:
            self._pool = ProcessPoolExecutor(
                1,
                multiprocessing.get_context("spawn"),  # a fork would copy locks that threads hold
                initializer=_start_child,
                max_tasks_per_child=PICTURES_PER_CHILD,
            )
        pool = self._pool
        try:
            return await asyncio.wrap_future(pool.submit(_draw_in_child, facts, limit_s))
        except BrokenProcessPool:
            self._pool = None
            pool.shutdown(wait=False)
            raise
        except (ArithmeticError, LookupError, TypeError, ValueError) as error:
            raise DrawingError(f"these facts cannot be drawn ({type(error).__name__})") from error

    def close(self) -> None:
        """Ends the child after the picture it is drawing."""
        self._closed = True
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None


def _start_child() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C in a terminal reaches us too; the parent ends us
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """A parent that was killed closes nothing, and the pool's queue never ends by itself."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(0)


def _draw_in_child(facts: Facts, limit_s: float) -> bytes:
    """Ends the process when it takes too long, even while it is stuck in foreign code."""
    faulthandler.dump_traceback_later(LOADING_S, exit=True)
    try:
        draw = _artist(facts)
        faulthandler.dump_traceback_later(limit_s, exit=True)
        return draw()
    finally:
        faulthandler.cancel_dump_traceback_later()


def _pictures_worth(facts: Facts) -> float:
    """How many times the work of one picture it may be."""
    if isinstance(facts, FileFacts):
        return 1 + len(facts.pages) / PAGES_A_LIMIT
    if isinstance(facts, SheetFacts):
        return 1 + sum(len(part.pictures) for part in facts.parts)
    return 3 if isinstance(facts, ClipFacts) else 1  # seconds of work for minutes of tones


def _artist(facts: Facts) -> Callable[[], bytes]:
    """What draws these facts; imported here and nowhere else: the libraries cost 50 MB and half a second."""
    module, function = ARTISTS[type(facts)].split(":")
    return partial(getattr(import_module(f"bot.drawing.{module}"), function), facts)
