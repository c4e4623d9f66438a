"""How fast the rule decides, ratios side by side: `python tests/benchmarks/bench_decide.py`, one core.

The person lives through the whole diary first, so that every call starts from the episode of its evening.
"""

import datetime as dt
import random
import time

from core.model import Episode, Evening
from core.programme import Programme
from core.programme.file import default_programme
from core.rule import begin, decide, dose_on

START = dt.date(2026, 1, 5)
Case = tuple[Episode, dt.date]


def lived(programme: Programme, days: int) -> tuple[tuple[Evening, ...], list[Case]]:
    """A diary of a slowly improving, noisy and not quite faithful person, and the episode of each evening."""
    dice = random.Random(days)
    episode = begin(programme, START, 5)
    dose = dose_on(programme, episode, START)
    diary: list[Evening] = []
    cases: list[Case] = []
    for day in range(days):
        today = START + dt.timedelta(days=day)
        answered = dice.random() < 0.85
        pain = max(0, min(10, round(5 * 0.5 ** (day / 106) + dice.gauss(0, 1)))) if answered else None
        done = dose.asked if answered and dice.random() < 0.9 else 0 if answered else None
        diary.append(Evening(today, pain=pain, sets_done=done, sets_asked=dose.asked))
        cases.append((episode, today))
        decision = decide(programme, episode, tuple(diary), today)
        episode, dose = decision.after, decision.dose or dose
    return tuple(diary), cases


def rate(programme: Programme, diary: tuple[Evening, ...], cases: list[Case], seconds: float) -> float:
    """Calls a second, over the cases again and again; the best of five, since others share the machine."""
    best = 0.0
    for _ in range(5):
        calls = 0
        start = time.perf_counter()
        while time.perf_counter() - start < seconds / 5:
            for episode, today in cases:
                decide(programme, episode, diary, today)
            calls += len(cases)
        best = max(best, calls / (time.perf_counter() - start))
    return best


def grown_rate(programme: Programme, diary: tuple[Evening, ...], cases: list[Case], seconds: float) -> float:
    """Calls a second when each evening gets the diary only as far as it had grown."""
    calls = [(episode, diary[: place + 1], today) for place, (episode, today) in enumerate(cases)]
    best = 0.0
    for _ in range(max(int(seconds * 5), 1)):
        start = time.perf_counter()
        for episode, so_far, today in calls:
            decide(programme, episode, so_far, today)
        best = max(best, len(calls) / (time.perf_counter() - start))
    return best


def bare_rate(diary: tuple[Evening, ...], seconds: float) -> float:
    """The yardstick: a plain loop that means seven ratings."""
    calls, start = 0, time.perf_counter()
    while time.perf_counter() - start < seconds:
        for _ in range(1000):
            total = count = 0
            for evening in diary[-7:]:
                if evening.pain is not None:
                    total += evening.pain
                    count += 1
            if count:
                total / count
        calls += 1000
    return calls / (time.perf_counter() - start)


def main(seconds: float = 2.0) -> dict[str, float]:
    programme = default_programme()
    rates: dict[str, float] = {}
    diary, cases = lived(programme, 182)
    rates["26-week diary, each evening"] = rate(programme, diary, cases, seconds)
    rates["the same as it grew"] = grown_rate(programme, diary, cases, seconds)
    # The same month of evenings inside diaries of different lengths: what length alone costs.
    month = cases[-30:]
    before = tuple(
        Evening(START - dt.timedelta(days=day), pain=5, sets_done=4, sets_asked=4)
        for day in range(548, 0, -1)
    )
    rates["last 30 evenings, 60-day diary"] = rate(programme, diary[-60:], month, seconds)
    rates["last 30 evenings, 2-year diary"] = rate(programme, before + diary, month, seconds)
    first = cases[:30]
    rates["first 30 evenings, 30-day diary"] = rate(programme, diary[:30], first, seconds)
    rates["first 30 evenings, 2-year diary"] = rate(programme, before + diary[:30], first, seconds)
    rates["mean of 7 ratings, bare loop"] = bare_rate(diary, seconds / 4)
    return rates


def report(rates: dict[str, float]) -> str:
    lines = [f"{name:<32}{value:>12,.0f} /s {1e6 / value:>8.1f} us" for name, value in rates.items()]
    for short, long in (
        ("first 30 evenings, 30-day diary", "first 30 evenings, 2-year diary"),
        ("last 30 evenings, 60-day diary", "last 30 evenings, 2-year diary"),
    ):
        lines.append(f"{long} costs {rates[short] / rates[long]:.2f} times the {short} (aim: at most 1.2)")
    means = rates["mean of 7 ratings, bare loop"] / rates["26-week diary, each evening"]
    lines.append(f"one decision costs {means:.0f} bare means of 7 ratings")
    return "\n".join(lines)


if __name__ == "__main__":
    print(report(main()))
