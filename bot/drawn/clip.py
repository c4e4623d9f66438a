"""What a clip sounds like: one act after the other, each for some seconds."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class ClipFacts:
    """`acts` are (what is done, whole seconds), in order: ready, hold, lift, lower, back, change."""

    acts: tuple[tuple[str, int], ...]


def read_back(kept: Mapping[str, Any]) -> ClipFacts:
    """The facts from the JSON values of their fields."""
    return ClipFacts(tuple((str(act), int(seconds)) for act, seconds in kept["acts"]))
