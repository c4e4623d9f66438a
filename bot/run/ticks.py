"""What the clock brings: closings, questions, reminders. One person, one transaction: none holds up the rest."""

import datetime as dt
import logging
from collections import Counter

from bot.run.app import App
from bot.run.logs import trail
from core.errors import StoreTroubleError, UnreadableError
from core.records import Due
from core.use_cases.asking import ACTS, plan_again
from core.use_cases.clinic import retain
from core.use_cases.noticing import tell_lost, tell_unreadable

log = logging.getLogger(__name__)

KEEP_UPDATES = dt.timedelta(days=14)  # update numbers drop repeats; the service itself forgets after a day
KEEP_MESSAGES = dt.timedelta(days=2)  # what was told; the decisions themselves stay
KEEP_INVITATIONS = dt.timedelta(days=30)  # that nobody used, after they ran out: "it has run out" is still told

PUT_OFF = dt.timedelta(minutes=10)  # judgement: what failed is tried again, and the log says so each time


def tick(app: App) -> int:
    """Do everything that is due at this moment; returns how much was done. Nothing due costs one look."""
    with app.store.reading() as uow:
        waiting, lost = uow.due.kinds(app.clock()), uow.outbox.lost(1)
    done = sum(_drain(app, due) for due in Due if due in waiting) + (_say_lost(app) if lost else 0)
    if Due.DANGER in waiting:
        _say_untold(app)
    return done


def _say_untold(app: App) -> None:
    """Danger that has reached nobody is for whoever can mend it: loud, each time it is looked at."""
    with app.store.reading() as uow:
        untold = uow.figures.queues(app.clock()).untold
    if untold.waiting:
        told = {"count": untold.waiting, "since": str(untold.since)}
        log.error("danger has reached nobody on the staff", extra=told)


def _say_lost(app: App) -> int:
    """What was given up is an error, counted, and told to the leads."""
    with app.store.writing() as uow:
        lost = tell_lost(app.work(uow))
        uow.commit()
    for kind, count in Counter(each.kind for each in lost).items():
        log.error("messages given up", extra={"kind": kind, "count": count})
        app.meter.lost(kind, count)
    return len(lost)


def _drain(app: App, what: Due) -> int:
    done = 0
    while True:
        which = ""
        try:
            with app.store.writing() as uow:
                work = app.work(uow)
                (which,) = uow.due.ids(what, work.now, 1) or ("",)
                if not which:
                    return done
                ACTS[what](work, which)
                uow.commit()
        except StoreTroubleError:
            raise  # nobody's fault: everything waits for the next tick
        except Exception as error:
            log.error("due work failed, put off", extra={"due": what.value, "id": which, "why": trail(error)})
            if not which:
                return done
            with app.store.writing() as uow:
                uow.due.put_off(what, which, app.clock() + PUT_OFF)
                if isinstance(error, UnreadableError):
                    tell_unreadable(app.work(uow), error)
                uow.commit()
        done += 1


def sweep(app: App) -> None:
    """Plan anew what a wrong clock put off, and forget updates and messages that nobody needs any more."""
    now = app.clock()
    with app.store.writing() as uow:
        again = plan_again(app.work(uow))
        uow.commit()
    if again:
        log.warning("planned again: it was due days later than its plan; was the clock wrong?", extra={"count": again})
    with app.store.writing() as uow:
        faded = retain(app.work(uow), app.chats.clinic.id)
        uow.commit()
    if faded:
        log.info("closed courses looked at", extra={"count": faded})
    with app.store.writing() as uow:
        uow.inbox.forget(now - KEEP_UPDATES)
        uow.outbox.forget(now - KEEP_MESSAGES)
        uow.invitations.forget(now - KEEP_INVITATIONS)
        uow.commit()
