"""What tells the processes on one PostgreSQL that something waits for them, so that they need not look all the time.

One connection a process listens, and one thread watches it. Whoever commits something into inbox or outbox rings; the
thread sends one NOTIFY for all that was rung within GATHER_S, after the commits and in none of them: transactions with
a NOTIFY commit one after the other. What is lost on the way, with a process that dies or a connection that is cut, is
found by the slow looks that go on.

The same connection holds a lock in the name under which the process takes messages in hand: the server lets go of it
when the process dies, which others see (`Claims.recover` in `bot/messaging`) long before its leases end.

Whether one is told at all is tried, at the start and every TRY_S, with a word sent on another connection: a pooler that
lends out connections for a transaction has nobody to hand it to.
"""

import logging
import os
import secrets
import select
import threading
import time
from collections.abc import Callable, Collection
from queue import Empty, SimpleQueue
from typing import Any

from sqlalchemy import Engine, text

from core.records import Box
from core.store.engine import connect, one_connection
from core.store.locks import key_of

log = logging.getLogger(__name__)

Heard = Callable[[Collection[Box], bool], None]  # what waits, and whether one is told at all

# Seconds, judgement: as long as a rush takes to put its next few rows; as often as is of use to whoever is told.
GATHER_S, APART_S = 0.01, 0.1
TRY_S, ANSWERS_WITHIN_S = 30.0, 2.0
AGAIN_S = 1.0  # after a connection was lost
_LISTEN = "LISTEN holdlower"
_OWN = f"SELECT pg_try_advisory_lock({key_of('%s')})"
_TELL = "SELECT pg_notify('holdlower', %s)"


class Bell:
    """One process's: rung by any of its threads, heard by all processes of the clinic, itself included.

    `heard` is called from the bell's own thread.
    """

    def __init__(self, engine: Engine, clinic_id: str, owner: str, heard: Heard) -> None:
        self._engine, self._clinic, self._owner, self._heard = engine, clinic_id, owner, heard
        self._rung: SimpleQueue[Box] = SimpleQueue()
        self._waiting: set[Box] = set()  # heard of, not told yet
        self._told_at = self._try_at = 0.0
        self._tried: str | None = None  # the word that has not come back
        self._works: bool | None = None
        self._closing = False
        self._woken, self._wake = os.pipe()
        self._thread = threading.Thread(target=self._run, name="bell", daemon=True)
        self._thread.start()

    def ring(self, boxes: Collection[Box]) -> None:
        """Something was committed into these. Waits for nobody."""
        if boxes and self._works:
            for box in boxes:
                self._rung.put(box)
            os.write(self._wake, b".")

    def close(self) -> None:
        self._closing = True
        os.write(self._wake, b".")
        self._thread.join(ANSWERS_WITHIN_S)

    def _run(self) -> None:
        while not self._closing:
            try:
                with one_connection(self._engine).execution_options(isolation_level="AUTOCOMMIT") as connection:
                    self._listen(connection.connection.driver_connection)
            except Exception as error:  # of the driver, whatever it is: looking goes on, and it is tried again
                log.warning("nobody tells of what waits, trying again", extra={"why": type(error).__name__})
            self._tell(works=False)
            select.select([self._woken], [], [], AGAIN_S)

    def _listen(self, driver: Any) -> None:
        driver.execute("SET synchronous_commit = off")  # a NOTIFY has nothing to be kept on the disk
        if not driver.execute(_OWN, (f"{self._clinic} {self._owner}",)).fetchone()[0]:
            raise ConnectionError("the server has not yet noticed that our last connection is gone")
        driver.execute(_LISTEN)
        self._try_at, self._tried = time.monotonic(), None
        while not self._closing:
            self._try()
            ready, _, _ = select.select([driver, self._woken], [], [], self._pause())
            if self._woken in ready:
                self._pass_on(driver)
            for note in driver.notifies(timeout=0):
                self._note(note.payload)
            if self._waiting and time.monotonic() >= self._told_at + APART_S:
                self._tell(works=True)

    def _pause(self) -> float:
        due = [self._try_at, *([self._told_at + APART_S] if self._waiting else [])]
        return max(min(due) - time.monotonic(), 0.0)

    def _try(self) -> None:
        """Send a word round, and note when the last one has not come back."""
        if (now := time.monotonic()) < self._try_at:
            return
        if self._tried is not None:
            if self._works is not False:
                log.warning("the database passes on nothing: is a pooler in between? Looking often instead")
            self._tell(works=False)
            self._tried, self._try_at = None, now + TRY_S
            return
        self._tried, self._try_at = secrets.token_hex(8), now + ANSWERS_WITHIN_S
        with connect(self._engine) as other, other.begin():
            other.execute(text("SELECT pg_notify('holdlower', :said)"), {"said": f"{self._clinic} {self._tried}"})

    def _pass_on(self, driver: Any) -> None:
        time.sleep(GATHER_S)
        os.read(self._woken, 4096)
        boxes: set[Box] = set()
        while True:
            try:
                boxes.add(self._rung.get_nowait())
            except Empty:
                break
        if boxes:
            driver.execute(_TELL, (f"{self._clinic} {','.join(sorted(boxes))}",))

    def _note(self, said: str) -> None:
        clinic, _, what = said.rpartition(" ")
        if clinic != self._clinic:
            return
        if what == self._tried:
            self._tried, self._try_at = None, time.monotonic() + TRY_S
            if not self._works:  # what was missed until now
                self._waiting |= set(Box)
        else:
            self._waiting |= {box for box in Box if box in what.split(",")}

    def _tell(self, *, works: bool) -> None:
        if not works and self._works is False:
            return
        self._works, self._told_at = works, time.monotonic()
        boxes, self._waiting = self._waiting, set()
        self._heard(boxes, works)
