"""Page's cumulative sum of what exceeds a level, and the level it is measured from."""


def running_excess(
    previous: float, value: float, level: float, allowance: float, cap: float | None = None
) -> float:
    """The sum after one more value: what exceeds level + allowance adds, the rest takes away, not under zero.

    `cap` is the most that one value adds. Units are those of the value. Source: Page ES. Biometrika
    1954;41:100-115, in the tabular form of the NIST/SEMATECH e-Handbook 6.3.2.3.
    """
    step = value - level - allowance
    if cap is not None and step > cap:
        step = cap
    total = previous + step
    return total if total > 0 else 0.0


def reaches(total: float, limit: float) -> bool:
    """Whether a sum of differences reaches a limit, forgiving the last binary digits of a mean."""
    return total >= limit - 1e-9
