"""Builds diaries and lives courses for tests of the rule; the default programme, days counted from a fixed
Monday."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace

from core.model import Decision, Dose, Episode, Evening
from core.programme.file import default_programme
from core.rule import begin, decide, deny_signs, dose_on

PROGRAMME = default_programme()
TODAY = dt.date(2026, 6, 29)
Answer = int | None | tuple[int | None, int | None]


def back(days: int) -> dt.date:
    """So many days before TODAY."""
    return TODAY - dt.timedelta(days=days)


def evening(
    days_ago: int, pain: int | None = None, done: int | None = None, asked_sets: int = 3, **more: object
) -> Evening:
    return Evening(back(days_ago), pain=pain, sets_done=done, sets_asked=asked_sets, **more)  # type: ignore[arg-type]


def diary(*pains: int | None, done: int | None = 3, asked_sets: int = 3) -> tuple[Evening, ...]:
    """Ratings of the last evenings, oldest first and today last; None is an evening without any answer."""
    last = len(pains) - 1
    return tuple(
        evening(last - place, pain, done if pain is not None else None, asked_sets)
        for place, pain in enumerate(pains)
    )


def episode(step: int = 5, days: int = 30, **more: object) -> Episode:
    """Somebody who has served `days` days of a step, calm at a level of 3, long after the start."""
    plan = PROGRAMME.step(step)
    plain = Episode(
        started=back(100),
        start_rating=5,
        step=step,
        since=back(days - 1),
        trained=days,
        load_g=plan.floor_g,
        holds_days=35,
        level=3.0,
        first_week_mean=5.0,
        told=frozenset({"plateau_6_weeks", "plateau_12_weeks"}),
    )
    return replace(plain, **more)  # type: ignore[arg-type]


def tonight(state: Episode, evenings: Sequence[Evening]) -> Decision:
    return decide(PROGRAMME, state, tuple(evenings), TODAY)


def codes(decision: Decision) -> list[str]:
    return [why.code.value for why in decision.reasons]


def numbers(decision: Decision, code: str) -> dict[str, float]:
    """The numbers of the reason of that code."""
    return next(dict(why.numbers) for why in decision.reasons if why.code == code)


def live(
    days: int,
    answer: Callable[[int, Dose], Evening | None],
    start_rating: int = 5,
    started: dt.date = TODAY,
    state: Episode | None = None,
    *,
    denies: bool = True,
) -> list[tuple[Episode, Decision]]:
    """Lives so many evenings through the real rule. `answer(day, dose)` gives the evening; None: nobody
    asked.

    The evening's date and the number of sets asked are filled in; the questions about signs are answered with no at
    once where `denies`. Returns each evening's state before and
    decision.
    """
    current = state or begin(PROGRAMME, started, start_rating)
    dose = dose_on(PROGRAMME, current, started)
    lived: list[tuple[Episode, Decision]] = []
    evenings: list[Evening] = []
    for day in range(days):
        today = started + dt.timedelta(days=day)
        told = answer(day, dose)
        if told is not None:
            done = None if told.sets_done is None else min(told.sets_done, dose.asked)
            evenings.append(replace(told, date=today, sets_asked=dose.asked, sets_done=done))
        decision = decide(PROGRAMME, current, tuple(evenings), today)
        lived.append((current, decision))
        current = decision.after
        if current.signs_asked is not None and denies:
            decision = deny_signs(PROGRAMME, current, tuple(evenings), today)
            current = decision.after
        dose = decision.dose or dose.rest()
    return lived


def said(pain: int | None, done: int | None = 99) -> Evening:
    """An answer without date; 99 sets stands for all that were asked."""
    return Evening(TODAY, pain=pain, sets_done=done)
