"""The inbox on its way in: one update, one transaction; answered, or set aside with its reason, never lost."""

import asyncio
import datetime as dt
import logging

from bot.conversation.router import handle
from bot.run.app import App
from bot.run.in_store import InStore, Told, any_of
from bot.run.logs import trail
from core.answers import understand
from core.errors import StoreError, StoreTroubleError, UnreadableError
from core.model import DANGER
from core.ports import UnitOfWork
from core.records import Clinic, InboxItem, Priority, Staff, Update
from core.use_cases.noticing import tell_unhandled, tell_unreadable
from core.use_cases.work import Recipient, Work, queue

log = logging.getLogger(__name__)

MOST_TRIES = 3
MOST_TRIES_OF_STORE = 8  # about three minutes: another update may have to come first
BROKEN = "chat.broken"
MINUTE = dt.timedelta(minutes=1)
# Judgement: one every two seconds for a whole minute. The longest honest run, enrolling by taps, has eleven; a
# therapist who pages through a caseload stays below it. The service itself allows about one reply a second in a chat.
MOST_A_MINUTE = 30


def handle_next(app: App) -> bool:
    """Handle the oldest waiting update with all its effects in one transaction; False when none waits.

    Whatever goes wrong is undone; the update is tried again, and after the third time set aside so that it cannot
    hold up its chat. The person is then asked to send it once more. Raises StoreError while the database is in trouble.
    """
    item: InboxItem | None = None
    try:
        with app.store.writing() as uow:
            items = uow.inbox.claim(app.clock(), 1)
            if not items:
                return False
            item = items[0]
            with app.meter.handling():
                _handle(app, uow, item)
    except StoreTroubleError:
        raise  # nothing is counted against the update
    except Exception as error:
        if item is None:
            raise
        _set_back(app, item, error)
    return True


def _any(app: App) -> bool:
    with app.store.reading() as uow:
        return uow.inbox.waits(app.clock())


def _handle(app: App, uow: UnitOfWork, item: InboxItem) -> None:
    came = app.parse[item.update.channel](item.update)
    if came is not None:
        update_key = f"{item.update.channel}:{item.update.update_id}"
        handle(app.work(uow), came, app.chats, update_key, flooded=_too_many(app, uow, item))
    uow.inbox.done(item.id, app.clock())
    uow.commit()


def _too_many(app: App, uow: UnitOfWork, item: InboxItem) -> bool:
    """Whether the chat has sent more than the limit within the minute before this update."""
    if app.most_a_minute is None:
        return False
    earlier = uow.inbox.came_earlier(item, app.most_a_minute)
    return earlier is not None and dt.timedelta() <= item.update.received_at - earlier < MINUTE


def _set_back(app: App, item: InboxItem, error: Exception) -> None:
    most = MOST_TRIES_OF_STORE if isinstance(error, StoreError) else MOST_TRIES
    staff = _staff_at(app, item.update) if isinstance(error, UnreadableError) else None
    dead = item.tries + 1 >= most or staff is not None  # a patient's may be mended meanwhile; staff need not wait
    told = {"inbox": item.id, "tries": item.tries + 1, "dead": dead, "why": trail(error)}
    log.error("update not handled", extra=told)
    if not item.tries:
        _warn(app, item)
    with app.store.writing() as uow:
        uow.inbox.failed(item.id, app.clock(), trail(error), dead=dead)
        work, key = app.work(uow), f"broken:{item.update.channel}:{item.update.update_id}"
        if isinstance(error, UnreadableError):
            log.error("a row cannot be read", extra={"table": error.table, "row": error.row})
        if isinstance(error, UnreadableError) and staff is None:
            tell_unreadable(work, error)
        if staff is not None:
            facts = {"problem": "unreadable"}
            queue(work, Recipient.of(staff), "therapist.refused", facts, key=key, priority=Priority.REPLY)
        elif dead and item.update.address:
            _apologise(work, app.chats.clinic, item.update, key)
        uow.commit()


def _staff_at(app: App, update: Update) -> Staff | None:
    with app.store.reading() as uow:
        return uow.staff.at(update.channel, update.address)


def _warn(app: App, item: InboxItem) -> None:
    """Danger words are answered and told at the first failure: a further try may fail as well."""
    update, clinic = item.update, app.chats.clinic
    try:
        came = app.parse[update.channel](update)
        language = (came and came.language) or clinic.language
        found = understand(came.text, language) if came and came.text else None
        if came is None or found is None or not (found.flag in DANGER or found.maybe):
            return
        with app.store.writing() as uow:
            chat = Recipient("", clinic.id, update.channel, update.address, language, clinic.zone)
            key = f"{update.channel}:{update.update_id}"
            tell_unhandled(app.work(uow), chat, clinic.emergency, key=key, text=came.text, name=came.name)
            uow.commit()
    except Exception as error:  # the update itself is still to be set back
        log.critical("danger was not handled, and nobody could be told of it", extra={"why": trail(error)})


def _apologise(work: Work, clinic: Clinic, update: Update, key: str) -> None:
    chat = Recipient("", clinic.id, update.channel, update.address, clinic.language, clinic.zone)
    queue(work, chat, BROKEN, {"emergency": clinic.emergency}, key=key, priority=Priority.REPLY)


async def run_inbox(
    app: App, in_store: InStore, stop: asyncio.Event, wake: asyncio.Event, sent: asyncio.Event, idle_s: float = 1.0,
    *, at_once: int = 1, told: Told | None = None,
) -> None:  # fmt: skip
    """Handle updates until `stop`; looks at every `wake` and each `idle_s`, and sets `sent` when there is an answer.

    `told` is set for what others have left. `at_once` of different chats are handled beside each other, where the
    database has room for several writers.
    """

    told = told or Told()

    async def one(look: bool = False) -> bool:
        """Handle one; `look` first whether there is any, since each try to claim is a write."""
        try:
            if stop.is_set() or (look and not await in_store(lambda: _any(app))):
                return False
            done = await in_store(lambda: handle_next(app))
        except StoreError as error:
            log.error("inbox not readable, trying again", extra={"why": trail(error)})
            return False
        if done:
            sent.set()
        return done

    async def drain() -> None:
        while await one():
            pass

    while not stop.is_set():
        woken = wake.is_set()
        wake.clear()
        told.clear()
        if await one(look=not woken):  # in a quiet hour one looks, not all
            await asyncio.gather(*(drain() for _ in range(at_once)))
        await any_of((wake, told), told.within(idle_s))
