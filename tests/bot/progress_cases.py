"""Invented courses to draw: lengths, gaps and extremes that a real diary brings."""

import datetime as dt
import random
from dataclasses import replace

from bot.drawn.course import Band, Day, ProgressFacts, Words

START = dt.date(2026, 3, 9)
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
ENGLISH = Words(
    title="Pain on average in the day, 0 to 10",
    evening="one evening",
    weekly_mean="weekly mean",
    missed="no answer",
    flare="flare",
    injection="injection",
    nothing="No answers yet.",
    step="Step {step}",
    day_month="{day} {month}",
    months=MONTHS,
    chance="near week 1: may be chance",
    kilos="Your weight, kg",
)
LONG = Words(  # longer than any language we know of makes them
    title="Durchschnittlicher Tagesschmerz am Ellenbogen von 0 bis 10 Punkten",
    evening="Angabe eines Abends",
    weekly_mean="Durchschnitt der Woche",
    missed="Abend ohne Antwort",
    flare="Verschlimmerung",
    injection="Einspritzung",
    nothing="Bisher wurden noch keine Angaben gemacht.",
    step="Belastungsstufe {step}",
    day_month="{day}. {month}",
    months=tuple(f"{month}em." for month in MONTHS),
    decimal=",",
    chance="nahe der ersten Woche: vielleicht Zufall",
    kilos="Eigenes Gewicht in Kilogramm",
)


LOADS = ((20, 500), (27, 1000), (60, 0), (75, 1250), (150, 2250))


def weighing(facts: ProgressFacts, first: float = 5.2) -> ProgressFacts:
    """The same course beside its first week, with a weight of their own from the third week on."""
    begun = [(a_day(day, None).date, grams) for day, grams in LOADS if day < len(facts.days)]
    return replace(facts, first=first, apart=1.4, loads=tuple(begun))


def a_day(offset: int, pain: int | None, *, asked: bool = True) -> Day:
    return Day((START + dt.timedelta(days=offset)).isoformat(), pain, asked)


def a_course(days: int, words: Words = ENGLISH, seed: int = 1) -> ProgressFacts:
    """A falling course with some evenings missed, a flare every 60 days or so and a step each month."""
    chance = random.Random(seed)
    flares = [day for day in range(40, days, 60) if chance.random() < 0.8]
    diary = []
    for offset in range(days):
        level = max(0.5, 6 - 5 * offset / max(days, 90)) + 3 * any(0 <= offset - flare < 4 for flare in flares)
        pain = None if chance.random() < 0.12 else min(10, max(0, round(chance.gauss(level, 1))))
        diary.append(a_day(offset, pain, asked=chance.random() < 0.97))
    bands, start = [], 0
    while start < days:
        length = chance.choice((8, 25, 40))
        end = min(start + length, days) - 1
        bands.append(Band(a_day(start, None).date, a_day(end, None).date, 1 + len(bands) % 6))
        start = end + 1
    return ProgressFacts(tuple(diary), tuple(bands), tuple(a_day(flare + 1, None).date for flare in flares), words)


EMPTY = ProgressFacts((), (), (), ENGLISH)
ONLY_A_STEP = ProgressFacts((), (Band("2026-03-09", "2026-03-09", 1),), (), ENGLISH)
ALL_MISSED = ProgressFacts(tuple(a_day(n, None, asked=n % 5 > 0) for n in range(42)), (), (), ENGLISH)
EXTREMES = ProgressFacts(
    tuple(a_day(n, (0, 10)[n // 10 % 2]) for n in range(42)), (), (a_day(11, None).date, a_day(30, None).date), ENGLISH
)
EVERY_CASE = {
    **{f"{days} days": a_course(days) for days in (1, 2, 7, 15, 28, 61, 90, 182, 366, 730)},
    **{f"{days} days in long words": a_course(days, LONG, seed=7) for days in (1, 28, 120, 730)},
    **{f"{days} days with a weight": weighing(a_course(days)) for days in (15, 120)},
    "a weight in long words": weighing(a_course(182, LONG, seed=7), first=9.4),
    "empty": EMPTY,
    "only a step": ONLY_A_STEP,
    "all missed": ALL_MISSED,
    "extremes": EXTREMES,
}
