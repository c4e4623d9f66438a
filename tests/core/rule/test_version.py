"""The rule's version rises with its outcomes: what one version decided is kept as a fingerprint.

A stored decision says which version made it, and has to come out again by that version exactly. So whoever changes what
the rule decides raises RULE_VERSION, then records the new one: `HOLDLOWER_WRITE_RULE=1 pytest
tests/core/rule/test_version.py`. Kept are the programme of that day and the fingerprint of what it leads to.
"""

import datetime as dt
import hashlib
import json
import os
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.model import Decision, Evening, Flag
from core.programme import Programme
from core.programme.file import default_programme_text, load_programme
from core.rule import (
    RULE_VERSION,
    answer_weight,
    begin,
    clear_danger,
    decide,
    deny_signs,
    dose_on,
    report_injection,
    report_weight,
    resume,
)
from core.rule.dose import Amounts
from core.rule.override import Act, Override, replay
from core.understanding import Felt

DATA = Path(__file__).parent / "data"
START = dt.date(2026, 1, 5)


def courses(programme: Programme) -> Iterator[Decision]:
    """Two dozen courses of 200 evenings: bad days, flares, gaps, silence, danger, injections, returns, acts of staff.

    Only `random()` is drawn, which Python promises never to change for a seed.
    """
    for seed in range(24):
        dice = random.Random(seed)
        rating, noise = 2 + seed % 7, 1 + dice.random()
        state, diary = begin(programme, START, rating), list[Evening]()
        for day in range(200):
            today = START + dt.timedelta(days=day)
            asked = dose_on(programme, state, today).asked
            chance = dice.random()
            pain = round(rating * (1 - day / 260) + noise * (dice.random() + dice.random() - 1) + 3 * (chance < 0.06))
            pain = min(max(pain, 0), 10)
            flag = Flag.RED_FLAG if chance > 0.998 else None
            silent, idle = chance > 0.93, 90 < day < 92 + 2 * seed
            done = None if silent else 0 if idle else asked - (chance > 0.9 and asked > 0)
            if chance < 0.985:
                diary.append(Evening(today, True, None if silent else pain, done, asked, flag))
            made = decide(programme, state, diary, today)
            yield made
            state = made.after
            for follows in _beside(programme, made, diary, seed, day):
                yield follows
                state = follows.after


def _beside(
    programme: Programme, made: Decision, diary: list[Evening], seed: int, day: int
) -> Iterator[Decision]:
    if made.after.paused_for is not None and day % 5 == 0:
        yield clear_danger(programme, made.after, made.date)
    elif made.after.signs_asked is not None and day % 3 == 0:
        yield deny_signs(programme, made.after, diary, made.date)
    elif day == 150 and seed % 6 == 0:
        yield report_injection(programme, made.after, made.date)
    elif day == 170 and made.after.awaits_look:
        yield replay(programme, made.after, made.date, Override(Act.LOOKED))
    elif day == 60 + seed:
        yield resume(programme, made.after, made.date, seed)
    elif day == 120 + seed:
        act = (Act.UP, Act.BACK, Act.STOP, Act.GO_ON)[seed % 4]
        yield replay(programme, made.after, made.date, Override(act))
    elif made.after.stopped is not None and day % 7 == 0:
        yield replay(programme, made.after, made.date, Override(Act.GO_ON))
    else:
        yield from _weights(programme, made, diary, seed, day)


def _weights(
    programme: Programme, made: Decision, diary: list[Evening], seed: int, day: int
) -> Iterator[Decision]:
    if made.ask_weight and (day + seed) % 3:
        yield answer_weight(programme, made.after, diary, made.date, tuple(Felt)[(day + seed) % 5 % 3])
    elif day == 100 + seed:
        yield report_weight(programme, made.after, diary, made.date, 250 * (seed % 9 + 1))
    elif day == 140 and seed % 4 == 0:
        yield replay(programme, made.after, made.date, Override(Act.DOSE, amounts=Amounts(750, 2, 8, 3.0)))


def fingerprint(programme: Programme) -> str:
    """Of everything that a decision tells people; a new field of ours alone does not change it."""
    digest = hashlib.sha256()
    for made in courses(programme):
        dose = made.dose
        told = [
            made.date.isoformat(), made.move, made.step, [*made.notices], made.ask_red_flags, made.see_clinician,
            made.ask_weight,
            [dose.kind, dose.asked, dose.load_g] if dose else None,
            [[why.code, [[name, round(number, 9)] for name, number in why.numbers]] for why in made.reasons],
        ]  # fmt: skip
        digest.update(json.dumps(told).encode())
    return digest.hexdigest()


def kept(version: str) -> tuple[Path, Path]:
    return DATA / f"version-{version}.toml", DATA / f"version-{version}.sha256"


def test_the_rule_of_a_version_decides_what_it_decided_when_it_was_recorded():
    programme_file, print_file = kept(RULE_VERSION)
    if os.environ.get("HOLDLOWER_WRITE_RULE") == "1":
        programme_file.write_text(default_programme_text(), encoding="utf-8")
        print_file.write_text(fingerprint(load_programme(default_programme_text())) + "\n", encoding="ascii")
    assert print_file.exists(), f"version {RULE_VERSION} is not recorded: HOLDLOWER_WRITE_RULE=1 pytest {__file__}"
    programme = load_programme(programme_file.read_text(encoding="utf-8"))
    assert fingerprint(programme) == print_file.read_text(encoding="ascii").strip(), (
        f"version {RULE_VERSION} of the rule decides otherwise than it did: raise RULE_VERSION and record the new one"
    )


@pytest.mark.parametrize("file", sorted(DATA.glob("*.toml")), ids=lambda file: file.stem)
def test_the_programme_of_every_version_can_still_be_followed(file: Path):
    """Courses that began under it are on it still, and their stored text has to be read for ever."""
    programme = load_programme(file.read_text(encoding="utf-8"))
    assert sum(1 for _ in courses(programme)) > 24 * 200


def test_the_recorded_courses_meet_most_of_what_the_rule_can_say():
    programme = load_programme(default_programme_text())
    made = list(courses(programme))
    assert len({why.code for each in made for why in each.reasons}) >= 30
    assert len({kind for each in made for kind in each.notices}) >= 5
    assert {each.step for each in made} >= set(range(1, 8))
