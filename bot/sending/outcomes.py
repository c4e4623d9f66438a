"""What becomes of a message in the outbox after one attempt, as a change to be stored."""

import datetime as dt
import logging
import random
from collections.abc import Callable
from dataclasses import dataclass

from bot.ports import DeliveryUnknown, NotDelivered
from core.ports import UnitOfWork
from core.records import OutboxItem, Outgoing, Priority

log = logging.getLogger(__name__)

Mark = Callable[[UnitOfWork], None]

# All judgement; seconds. The longest pause bounds what is untold after an outage; for what may have arrived it bounds
# the copies, too. Of danger a copy is harmless.
FIRST_RETRY_S = 2.0
LONGEST_RETRY_S, LONGEST_UNKNOWN_S, LONGEST_OF_DANGER_S = 300.0, 600.0, 120.0
UNTIL_DELIVERED = frozenset({Priority.DANGER, Priority.NOTICE})
GIVE_UP_AFTER = dt.timedelta(hours=24)
GIVE_UP_REPLY_AFTER = dt.timedelta(hours=6)  # later the person has asked again, or read it elsewhere


@dataclass(frozen=True, slots=True)
class Sent:
    """It has arrived; many of these are written together."""

    item_id: int
    at: dt.datetime
    message_id: str | None

    def __call__(self, unit: UnitOfWork) -> None:
        unit.sending.sent(self.item_id, self.at, self.message_id)


def retry(item: OutboxItem, not_before: dt.datetime) -> Mark:
    """It has not been delivered and shall be tried from `not_before` on."""
    return lambda unit: unit.sending.retry(item.id, not_before)


def put_back(item: OutboxItem, not_before: dt.datetime) -> Mark:
    """It had to wait too long for its turn, and has not been tried."""
    return lambda unit: unit.sending.put_back(item.id, not_before)


def failed(item: OutboxItem, why: str, now: dt.datetime, *, lost: bool = True) -> Mark:
    """It is given up; `lost` when somebody has to be told so. `why` must not hold what the message says."""
    log.error("message given up", extra={"outbox": item.id, "kind": item.message.kind, "why": why})
    return lambda unit: unit.sending.failed(item.id, now, why, lost=lost)


def gives_up_after(message: Outgoing) -> dt.timedelta | None:
    """How long it is tried; None: until it is delivered, or until it expires."""
    if message.priority in UNTIL_DELIVERED or message.expires_at:
        return None
    return GIVE_UP_REPLY_AFTER if message.priority == Priority.REPLY else GIVE_UP_AFTER


def later(error: NotDelivered | DeliveryUnknown, item: OutboxItem, now: dt.datetime, dice: random.Random) -> Mark:
    """Another try after a growing and jittered pause, or the end of trying."""
    unknown = isinstance(error, DeliveryUnknown)
    phrase = "delivery unknown" if unknown else "not delivered"
    log.warning(phrase, extra={"outbox": item.id, "tries": item.tries, "why": str(error)})
    patience = gives_up_after(item.message)
    if patience is not None and now - item.message.at > patience:
        return failed(item, f"{phrase} for {patience.total_seconds() / 3600:g} hours", now)
    longest = LONGEST_UNKNOWN_S if unknown else LONGEST_RETRY_S
    if item.message.priority == Priority.DANGER:
        longest = LONGEST_OF_DANGER_S
    pause = min(FIRST_RETRY_S * 2.0 ** min(max(item.tries - 1, 0), 16), longest) * dice.uniform(0.5, 1.0)
    not_before = now + dt.timedelta(seconds=pause)
    if unknown:
        return lambda unit: unit.sending.unknown(item.id, not_before)
    return retry(item, not_before)
