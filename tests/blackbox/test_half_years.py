"""Thirty weeks of five invented people on each programme, as they read them: the first week, and every evening on which
anything but the same dose follows.

Pain is drawn once from a seed, sets are left out and evenings missed now and then. Each was read as a therapist reads
before it was stored; after a wanted change: `HOLDLOWER_WRITE_TRANSCRIPTS=1 pytest tests/blackbox/test_half_years.py`.
"""

import datetime as dt
import os
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from bot.wording.messages import in_words
from core.model import Decision, Evening, Move
from core.programme import Programme
from core.programme.file import programme_at
from core.rule import answer_weight, begin, decide, deny_signs, dose_on
from core.simulation.people import rated
from core.understanding import Felt
from core.use_cases.gathering import decision_facts
from tests.builders import a_check_in

FOLDER = Path(__file__).parent / "transcripts"
FIRST = dt.date(2026, 1, 5)
DAYS = 210


@dataclass(frozen=True, slots=True)
class Person:
    """`level(day)` is the true pain; what is right to lift is `comfort_g` and a tenth of a kilogram more each week."""

    start: int
    level: Callable[[int], float]
    comfort_g: int
    does: float = 0.9  # share of days
    answers: float = 0.9
    spread: float = 0.7


def halves(start: float, weeks: float) -> Callable[[int], float]:
    return lambda day: float(start * 0.5 ** (day / 7 / weeks))


def boom_and_bust(day: int) -> float:
    """A heavy job every fourth week, felt for four evenings."""
    return halves(5, 16)(day) + (2.5 if day % 28 in (20, 21, 22, 23) else 0)


PEOPLE = {
    "steady": Person(5, halves(5, 9), 2000),
    "plateau": Person(5, lambda day: 4.6, 1000, does=0.7),
    "boom-and-bust": Person(5, boom_and_bust, 1500, does=0.8),
    "starts-at-8": Person(8, halves(7.5, 11), 1000, does=0.8),
    "nearly-painless": Person(2, halves(2, 12), 2000, spread=0.5),
}


def lines(programme: Programme, who: Person) -> Iterator[str]:
    """What happens, a line an evening and its answer below."""
    chance, diary = random.Random(7), []
    state = begin(programme, FIRST, who.start)
    dose, asked_last, before = dose_on(programme, state, FIRST), dose_on(programme, state, FIRST), None
    trained, load_g = 0, state.load_g
    for day in range(DAYS):
        today = FIRST + dt.timedelta(days=day)
        pain = rated(who.level(day) + chance.gauss(0, who.spread)) if chance.random() < who.answers else None
        done = None if pain is None else dose.asked if chance.random() < who.does else 0
        trained += bool(done and dose.load_g)
        diary.append(Evening(today, pain=pain, sets_done=done, sets_asked=dose.asked))
        made = decide(programme, state, diary, today)
        state, dose = made.after, made.dose or dose
        said = [outcome(programme, made, diary[-1], before)]
        if state.signs_asked is not None:
            denied = deny_signs(programme, state, diary, today)
            state, dose = denied.after, denied.dose or dose
            said.append("> no, none of these")
        if made.ask_weight and chance.random() < 0.8:
            felt = feels(who, state.load_g, trained)
            answered = answer_weight(programme, state, diary, today, felt)
            state, dose = answered.after, answered.dose or dose
            noted = in_words("weight.noted", "en", {"decided": decision_facts(programme, answered)}).text
            said += [f"> {felt.value.replace('_', ' ')}", noted]
        said += [f"(the therapist is told: {kind.value})" for kind in made.notices]
        if day < 7 or happens(made) or state.load_g != load_g or (dose.asked and dose != asked_last):
            answer = "no answer" if pain is None else f"pain {pain}, {done} of {diary[-1].sets_asked} sets"
            yield f"== week {day // 7 + 1}, {today:%a} {today.day} {today:%b}: {answer}"
            yield from (f"  {line}" for text in said for line in text.splitlines() if line.strip())
        before, load_g = made, state.load_g
        asked_last = dose if dose.asked else asked_last
    yield f"== after {DAYS // 7} weeks: step {state.step}, {state.load_g / 1000:g} kg, {trained} days with a weight"


def happens(made: Decision) -> bool:
    told = made.notices or made.ask_red_flags or made.see_clinician
    return bool(told or made.move is not Move.HOLD or made.ask_weight)


def feels(who: Person, load_g: int, trained: int) -> Felt:
    off = load_g - who.comfort_g - 100 * trained / 7
    return Felt.EASY if off < -250 else Felt.TOO_MUCH if off > 250 else Felt.RIGHT


def outcome(programme: Programme, made: Decision, evening: Evening, before: Decision | None) -> str:
    if evening.pain is None:
        return ""
    again = before is not None and (before.reasons[:1], before.step) == (made.reasons[:1], made.step)
    check_in = a_check_in(
        date=made.date, sets_asked=evening.sets_asked, pain=evening.pain, sets_done=evening.sets_done
    )
    decided = decision_facts(programme, made)
    facts = {"check_in": check_in, "decided": decided, "emergency": "", "again": again}
    return in_words("evening.outcome", "en", facts).text.partition("\n")[2]


def lived(pack: str, name: str) -> str:
    return "\n".join(lines(programme_at(pack), PEOPLE[name])) + "\n"


@pytest.mark.parametrize("pack", ["outer-elbow", "inner-elbow"])
@pytest.mark.parametrize("name", PEOPLE)
def test_half_a_year_reads_as_it_was_approved(pack: str, name: str):
    said, kept = lived(pack, name), FOLDER / f"{pack}-{name}.transcript"
    if os.environ.get("HOLDLOWER_WRITE_TRANSCRIPTS") == "1":
        kept.write_text(said, encoding="utf-8")
    assert said == kept.read_text(encoding="utf-8")
