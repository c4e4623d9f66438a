"""A small Bot API on loopback for tests: it checks every call against the service's published description."""

from tests.standin.people import Person
from tests.standin.server import StandIn
from tests.standin.troubles import (
    Answer,
    DropAfter,
    DropBefore,
    Late,
    forbidden,
    refusal,
    slow_down,
    trouble,
)

__all__ = [
    "Answer",
    "DropAfter",
    "DropBefore",
    "Late",
    "Person",
    "StandIn",
    "forbidden",
    "refusal",
    "slow_down",
    "trouble",
]
