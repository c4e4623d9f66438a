"""Run lengths of a cumulative sum by two independent ways, neither of which adds up anything evening by evening."""

from collections.abc import Mapping
from fractions import Fraction

import numpy as np
from scipy.stats import norm

NODES = 40


def normal_run_length(allowance: float, limit: float, mean: float) -> float:
    """Mean number of values N(mean, 1) until the sum exceeds `limit`, from a sum of 0.

    Page's integral equation, solved by Nyström's method on Gauss-Legendre nodes: Goel AL, Wu SM. Technometrics
    1971;13:221-230; Vance LC. J Qual Technol 1986;18:189-193. The sum has a mass at 0 and a density above.
    """
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    nodes, weights = (nodes + 1) * limit / 2, weights * limit / 2
    at = np.concatenate(([0.0], nodes))
    to_zero = norm.cdf(allowance - at - mean)[:, None]
    within = weights * norm.pdf(nodes + allowance - at[:, None] - mean)
    system = np.eye(len(at)) - np.hstack([to_zero, within])
    return float(np.linalg.solve(system, np.ones(len(at)))[0])


def two_sided(allowance: float, limit: float, mean: float) -> float:
    """Of two sums, one up and one down, the mean run of whichever comes first: Kemp KW. J R Stat Soc B 1961;23:149-153
    (from memory): the reciprocals add up."""
    up, down = (normal_run_length(allowance, limit, side) for side in (mean, -mean))
    return 1 / (1 / up + 1 / down)


def banded_run_length(allowance: float, limit: float, mean: float, bands: int = 150) -> float:
    """The same by the Markov chain of Brook D, Evans DA. Biometrika 1972;59:539-549, with so many bands of sums."""
    width = 2 * limit / (2 * bands - 1)
    centres = np.arange(bands) * width
    upper = centres[None, :] + width / 2 - centres[:, None] + allowance - mean
    reach = norm.cdf(upper)
    chain = np.diff(reach, axis=1, prepend=0.0)
    return float(np.linalg.solve(np.eye(bands) - chain, np.ones(bands))[0])


class RatingChain:
    """Whole-number ratings: the sums are few and the Markov chain of Brook and Evans exact, without bands.

    `chances` are those of each rating 0-10. The run ends when the sum reaches `limit`.
    """

    def __init__(
        self, chances: Mapping[int, float], level: Fraction, allowance: Fraction, limit: Fraction,
        cap: Fraction | None = None,
    ) -> None:  # fmt: skip
        places, todo, moves = {Fraction(0): 0}, [Fraction(0)], []
        while todo:
            start = todo.pop()
            for rating, chance in chances.items():
                more = rating - level - allowance
                end = max(start + (more if cap is None else min(more, cap)), Fraction(0))
                if end < limit:
                    if end not in places:
                        places[end] = len(places)
                        todo.append(end)
                    moves.append((places[start], places[end], chance))
        self.states = len(places)
        self.chain = np.zeros((self.states, self.states))
        for start_place, end_place, chance in moves:
            self.chain[start_place, end_place] += chance

    def mean(self) -> float:
        """Mean run length from a sum of 0: (I - R)^-1 1, their equation for the first moment."""
        return float(np.linalg.solve(np.eye(self.states) - self.chain, np.ones(self.states))[0])

    def within(self, evenings: int) -> float:
        """The chance of a run of at most so many evenings: 1 - R^n 1."""
        return float(1 - np.linalg.matrix_power(self.chain, evenings).sum(axis=1)[0])


def rounded(mean: float, spread: float) -> dict[int, float]:
    """The chances of the ratings 0-10 of a normal value, rounded and kept within the scale."""
    edges = norm.cdf((np.arange(10) + 0.5 - mean) / spread)
    return dict(enumerate(np.diff(edges, prepend=0.0, append=1.0).tolist()))
