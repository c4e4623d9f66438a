"""What the weekly trend costs as written out, and what it would cost from scipy: in the process that serves.

    python tests/benchmarks/bench_trend.py

Each way in a fresh interpreter that has the service imported: seconds to the first trend, memory added, microseconds
a trend of eight weeks after that. Then what both would add to an installation. Read the ratios.
"""

import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from importlib import metadata
from pathlib import Path
from typing import Any

MEANS = [(0, 5.3), (1, 5.0), (2, 4.9), (3, 5.1), (4, 4.4), (5, 4.6), (6, 4.0), (7, 3.7)]
TIMES = 500
ROOT = Path(__file__).resolve().parents[2]


def ours() -> Callable[[], Any]:
    from core.digest.weekly_trend import theil_sen

    return lambda: theil_sen(MEANS)


def scipys() -> Callable[[], Any]:
    from scipy.stats import kendalltau, theilslopes

    weeks, means = zip(*MEANS, strict=True)
    return lambda: (theilslopes(means, weeks, 0.95), kendalltau(weeks, means))


def megabytes() -> float:
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * resource.getpagesize() / 1e6


def measure(way: str) -> None:
    import bot.run.service

    assert bot.run.service
    before, started = megabytes(), time.perf_counter()
    trend = {"ours": ours, "scipy": scipys}[way]()
    trend()
    first, added = time.perf_counter() - started, megabytes() - before
    started = time.perf_counter()
    for _ in range(TIMES):
        trend()
    each = (time.perf_counter() - started) / TIMES * 1e6
    print(f"{way:6} first trend {first:6.3f} s, {added:5.1f} MB on {before:.0f} MB, then {each:5.0f} us a trend")


def installed(name: str) -> float:
    return sum(file.size or 0 for file in metadata.files(name) or ()) / 1e6


if __name__ == "__main__":
    if len(sys.argv) > 1:
        measure(sys.argv[1])
    else:
        for way in ("ours", "scipy"):
            here = {**os.environ, "PYTHONPATH": str(ROOT)}
            subprocess.run([sys.executable, __file__, way], check=True, env=here)
        slope = (ROOT / "core/digest/weekly_trend.py").stat().st_size / 1e6
        print(f"installed: ours {slope:.3f} MB, scipy {installed('scipy'):.0f} MB beside numpy, which is there anyway")
