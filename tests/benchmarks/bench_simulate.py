"""How fast a cohort lives through the rule: `python tests/benchmarks/bench_simulate.py`, one core and all of them.

Beside it, in the same run, the yardstick of bench_decide: a bare loop that means seven ratings.
"""

import os
import time

from bench_decide import bare_rate, lived

from bot.cli.programme import cohort
from core.programme.file import default_programme, default_programme_text

WEEKS = 26


def lives(people: int, jobs: int) -> tuple[float, int]:
    """Seconds and decisions of a cohort of that size."""
    start = time.perf_counter()
    written = default_programme_text()
    parts = cohort(written, people, WEEKS, 1, jobs, ablations=False)
    decisions = sum(climb.decisions for part in parts for one in part for climb in one.climbs.values())
    return time.perf_counter() - start, decisions


def main() -> None:
    cores = os.cpu_count() or 1
    diary, _ = lived(default_programme(), 182)
    bare = bare_rate(diary, 1.0)
    print(f"a bare mean of 7 ratings           {bare:>12,.0f} /s")
    each: dict[int, float] = {}
    for people, jobs in ((100, 1), (400, 1), (1000, cores)):
        seconds, decisions = lives(people, jobs)
        each[people] = seconds / people
        rate = decisions / seconds
        print(
            f"{people:>5} people, {WEEKS} weeks, {jobs} job(s): {seconds:>6.1f} s, {rate:>10,.0f} decisions/s,"
            f" one costs {bare / rate:,.0f} bare means"
        )
    print(f"a person of 400 costs {each[400] / each[100]:.2f} times a person of 100 (aim: 1)")


if __name__ == "__main__":
    main()
