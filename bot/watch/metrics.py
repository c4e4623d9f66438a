"""Figures for Prometheus. Labels hold kinds of things out of fixed sets in the code; nothing tells of a person."""

import datetime as dt
import math
from contextlib import AbstractContextManager

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest

from core.records import Queue, Queues

# seconds; the aim is within a minute, a question more than three hours late is not asked any more
_LATE = (1, 5, 10, 30, 60, 120, 300, 600, 1800, 3600, 7200, 10800, math.inf)
_DECIDE = (0.0001, 0.00025, 0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.5, math.inf)
_HANDLE = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 5, 15, math.inf)


class Metrics:
    """A bot.watch.meter.Meter with a registry of its own, so that two services in one process do not meet."""

    def __init__(self) -> None:
        self._registry = own = CollectorRegistry()
        self._sends = Counter(
            "holdlower_sends", "Attempts to send, by the message's kind and what became of them.",
            ["kind", "result"], registry=own,
        )  # fmt: skip
        self._lost = Counter("holdlower_lost", "Messages given up undelivered, by kind.", ["kind"], registry=own)
        self._late = Histogram(
            "holdlower_prompt_lateness_seconds", "From an evening question's due time until it was sent.",
            buckets=_LATE, registry=own,
        )  # fmt: skip
        self._refused = Counter("holdlower_webhook_refused", "Calls to the webhook refused.", ["why"], registry=own)
        self._handle = Histogram(
            "holdlower_update_seconds", "One update from its claim to the commit.", buckets=_HANDLE, registry=own
        )
        self._decide = Histogram(
            "holdlower_decide_seconds", "The rule at work on an evening and those after it.",
            buckets=_DECIDE, registry=own,
        )  # fmt: skip
        self._waiting = Gauge("holdlower_queue_waiting", "Rows that wait.", ["queue"], registry=own)
        self._oldest = Gauge("holdlower_queue_oldest_seconds", "How long the oldest waits.", ["queue"], registry=own)
        self._database = Gauge("holdlower_database_up", "1 when the database answered just now.", registry=own)

    def sent(self, kind: str, result: str) -> None:
        self._sends.labels(kind, result).inc()

    def lost(self, kind: str, count: int) -> None:
        self._lost.labels(kind).inc(count)

    def late(self, seconds: float) -> None:
        self._late.observe(seconds)

    def refused(self, why: str) -> None:
        self._refused.labels(why).inc()

    def handling(self) -> AbstractContextManager[object]:
        return self._handle.time()

    def deciding(self) -> AbstractContextManager[object]:
        return self._decide.time()

    def page(self, queues: Queues | None, now: dt.datetime) -> bytes:
        """Everything in Prometheus' text format 0.0.4; `queues` None means that the database did not answer."""
        self._database.set(queues is not None)
        for name, queue in (
            ("inbox", queues and queues.inbox), ("outbox", queues and queues.outbox),
            ("danger_untold", queues and queues.untold),
        ):  # fmt: skip
            self._waiting.labels(name).set(queue.waiting if queue else math.nan)
            self._oldest.labels(name).set(_age(queue, now) if queue else math.nan)
        return generate_latest(self._registry)


def _age(queue: Queue, now: dt.datetime) -> float:
    return max((now - queue.since).total_seconds(), 0.0) if queue.since else 0.0
