"""The clock, read here and nowhere else; and one that a person moves by answering."""

import datetime as dt
import secrets


def utc_now() -> dt.datetime:
    """The present moment in UTC."""
    return dt.datetime.now(dt.UTC)


def random_id() -> str:
    """A new id: 80 random bits, short enough for a button's 64 bytes."""
    return secrets.token_hex(10)


class SteppedClock:
    """A clock that stands still until it is moved; it never goes back."""

    def __init__(self, start: dt.datetime) -> None:
        self._now = start

    def __call__(self) -> dt.datetime:
        return self._now

    def move_to(self, moment: dt.datetime) -> None:
        self._now = max(self._now, moment)
