"""What the clock brings: closings, questions, reminders. One person, one transaction: none holds up the rest."""

import datetime as dt
import logging
from collections.abc import Callable

from bot.app import App
from bot.logs import trail
from core.errors import StoreTroubleError
from core.use_cases.asking import ask_due, close_due, postpone_ask, postpone_close, postpone_remind, remind_due
from core.use_cases.digesting import digests_due, postpone_digest
from core.use_cases.work import Work

log = logging.getLogger(__name__)

KEEP_UPDATES = dt.timedelta(days=14)  # update numbers drop repeats; the service itself forgets after a day
KEEP_MESSAGES = dt.timedelta(days=2)  # what was told; the decisions themselves stay

Due = Callable[[Work, int], int]
Postpone = Callable[[Work], None]

# the day that is over first: what it decides is tomorrow's dose
DUES: tuple[tuple[str, Due, Postpone], ...] = (
    ("close", close_due, postpone_close),
    ("ask", ask_due, postpone_ask),
    ("remind", remind_due, postpone_remind),
    ("digest", digests_due, postpone_digest),
)


def tick(app: App) -> int:
    """Do everything that is due at this moment; returns how much was done."""
    return sum(_drain(app, name, due, postpone) for name, due, postpone in DUES)


def _drain(app: App, name: str, due: Due, postpone: Postpone) -> int:
    done = 0
    while True:
        try:
            with app.store.writing() as uow:
                if not due(app.work(uow), 1):
                    return done
                uow.commit()
        except StoreTroubleError:
            raise  # nobody's fault: everything waits for the next tick
        except Exception as error:
            # the one that failed stands first in line: put it back, so that the others get their turn
            log.error("due work failed, put off", extra={"due": name, "why": trail(error)})
            with app.store.writing() as uow:
                postpone(app.work(uow))
                uow.commit()
        done += 1


def sweep(app: App) -> None:
    """Forget updates and messages that nobody needs any more."""
    now = app.clock()
    with app.store.writing() as uow:
        uow.forget_updates(now - KEEP_UPDATES)
        uow.forget_outbox(now - KEEP_MESSAGES)
        uow.commit()
