"""What the program tells about itself while it works: figures only, never who or what."""

import contextlib
from contextlib import AbstractContextManager
from typing import Protocol


class Meter(Protocol):
    """Takes figures. Each label comes from a fixed set in the code."""

    def sent(self, kind: str, result: str) -> None:
        """One attempt to send a message of that kind, and what became of it."""

    def lost(self, kind: str, count: int) -> None:
        """So many messages of that kind were given up without having been delivered."""

    def late(self, seconds: float) -> None:
        """An evening's question left so long after its time."""

    def refused(self, why: str) -> None:
        """A call to the webhook was refused."""

    def handling(self) -> AbstractContextManager[object]:
        """Measures one update from the claim to the commit."""

    def deciding(self) -> AbstractContextManager[object]:
        """Measures the rule at work on one evening and those after it."""


class Unmetered:
    """Takes figures and forgets them."""

    def sent(self, kind: str, result: str) -> None: ...
    def lost(self, kind: str, count: int) -> None: ...
    def late(self, seconds: float) -> None: ...
    def refused(self, why: str) -> None: ...

    def handling(self) -> AbstractContextManager[object]:
        return contextlib.nullcontext()

    def deciding(self) -> AbstractContextManager[object]:
        return contextlib.nullcontext()


UNMETERED = Unmetered()
