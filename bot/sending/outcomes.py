"""What becomes of a message in the outbox after one attempt, as a change to be stored."""

import datetime as dt
import logging
import random
from collections.abc import Callable
from dataclasses import dataclass

from bot.ports import DeliveryUnknown, NotDelivered
from core.ports import UnitOfWork
from core.records import OutboxItem

log = logging.getLogger(__name__)

Mark = Callable[[UnitOfWork], None]

# All judgement; seconds.
FIRST_RETRY_S, LONGEST_RETRY_S = 2.0, 300.0
UNKNOWN_RETRY_S = 15.0
GIVE_UP_AFTER = dt.timedelta(hours=24)


@dataclass(frozen=True, slots=True)
class Sent:
    """It has arrived; many of these are written together."""

    item_id: int
    at: dt.datetime
    message_id: str | None

    def __call__(self, unit: UnitOfWork) -> None:
        unit.outbox_sent(self.item_id, self.at, self.message_id)


def retry(item: OutboxItem, not_before: dt.datetime) -> Mark:
    """It has not been delivered and shall be tried from `not_before` on."""
    return lambda unit: unit.outbox_retry(item.id, not_before)


def failed(item: OutboxItem, why: str, now: dt.datetime) -> Mark:
    """It is given up. `why` must not hold what the message says."""
    log.error("message given up", extra={"outbox": item.id, "kind": item.message.kind, "why": why})
    return lambda unit: unit.outbox_failed(item.id, now, why)


def later(error: NotDelivered | DeliveryUnknown, item: OutboxItem, now: dt.datetime, dice: random.Random) -> Mark:
    """Another try, after a growing and jittered pause when certainly not delivered (for a day at most).

    When it may have been delivered the store allows one more try.
    """
    unknown = isinstance(error, DeliveryUnknown)
    phrase = "delivery unknown" if unknown else "not delivered"
    log.warning(phrase, extra={"outbox": item.id, "tries": item.tries, "why": str(error)})
    if unknown:
        not_before = now + dt.timedelta(seconds=UNKNOWN_RETRY_S)
        return lambda unit: unit.outbox_unknown(item.id, not_before)
    if now - item.message.at > GIVE_UP_AFTER:
        return failed(item, "not delivered within a day", now)
    longest = min(FIRST_RETRY_S * 2.0 ** min(max(item.tries - 1, 0), 16), LONGEST_RETRY_S)
    return retry(item, now + dt.timedelta(seconds=longest * dice.uniform(0.5, 1.0)))
