"""A simulated cohort walks through the real rule: how often it steps back wrongly, and how late when it should.

Pure: whoever runs it hands in the source of chance. Levels and ratings in points of 0 to 10, times in evenings.
"""

from typing import Protocol


class Chance(Protocol):
    """What the simulation asks of a generator of chance; `random.Random` is one."""

    def random(self) -> float:
        """Uniform in [0, 1)."""

    def gauss(self, mu: float = 0.0, sigma: float = 1.0) -> float:
        """Normal."""
