"""The gate into a person's next step, as the therapist sees it."""

from typing import Any

from core.model import Episode
from core.programme import Programme


def next_gate(programme: Programme, episode: Episode) -> dict[str, Any] | None:
    """The next step with the weekly mean the therapist set for it and the programme's own; None at the top.

    Where the programme has several ways in, its own is that of the first, which asks the least of the mean.
    """
    if episode.step >= len(programme.steps):
        return None
    above = programme.step(episode.step + 1)
    return {
        "step": above.number,
        "own": dict(episode.own_gates).get(above.number),
        "programme": above.gates[0].mean.value if above.gates else None,
    }
