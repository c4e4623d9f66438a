"""How long a Monday's message is: lines of a phone's screen, and whom it names, for simulated caseloads.

    python -m tests.benchmarks.bench_monday [patients ...]

The people are the cohort's of `core.simulation` (those who improve, one in ten of whom does not; the first of each ten
lives with a flare besides), each begun some weeks before the others, and live through the real rule. Every Monday the
therapist does what is to be done about those in the first part, opens the page of those in the second and of those
nobody has looked at for four weeks, and keeps each questionnaire's score in its week. Nobody here is in danger, asks a
question, leaves or blocks the bot: each of those adds an entry of two or three lines. Printed for each size: lines,
those to act on and those to look at, median, 95th percentile and worst over the Mondays of many caseloads.
"""

import datetime as dt
import random
import statistics
import sys
from dataclasses import dataclass, field, replace

from bot.wording.catalogue import text_in
from bot.wording.digest import SCREEN, digest_texts, screen_lines
from core.digest import Digest, digest, needing
from core.digest.attention import Attention, Urgency
from core.digest.patient_facts import patient_week
from core.digest.patient_week import Made, PatientWeek, Standing
from core.model import Episode, NoticeKind
from core.programme.file import default_programme
from core.rule import begin, dose_on
from core.scores.prtee import WEEKS, due_in_week
from core.simulation.life import FIRST_DAY, Walk
from core.simulation.people import Course, Model, draw, level, rated, spread_of
from core.use_cases.rights import UNSEEN_FOR

SIZES = (20, 40, 100)
PEOPLE, DAYS, CASELOADS = 200, 182, 400
FLARE_DAYS = 7
MODEL, PROGRAMME, TEXT = Model(), default_programme(), text_in("en")
WEEK = dt.timedelta(days=7)


@dataclass
class Person:
    """One person's Mondays; what was told is settled from the Monday after it on."""

    number: int
    weeks: list[PatientWeek] = field(default_factory=list)


def lived(number: int) -> Person:
    """Half a year of one person, and what each Monday's digest says of them."""
    chance = random.Random(f"monday {number}")
    script = draw(MODEL, spread_of(MODEL, number), DAYS, chance)
    episode = start = begin(PROGRAMME, FIRST_DAY, script.first_rating(Course.IMPROVING))
    walk = Walk(PROGRAMME, MODEL, script, episode, (), dose_on(PROGRAMME, episode, FIRST_DAY))
    flare = chance.randrange(28, DAYS) if number % 10 == 0 else DAYS
    made: list[Made] = []
    away = 0
    for day in range(DAYS):
        if day in script.away:
            away += 1
            continue
        if away:
            walk.come_back(day - 1, away)
            away = 0
        true = level(script, Course.IMPROVING, day) + 2.0 * (flare <= day < flare + FLARE_DAYS)
        pain = rated(true + script.noise[day]) if script.answered[day] else None
        made.append(Made(walk.evening(day, pain, done=script.done[day])))
    return _mondays(Person(number), walk, start, made)


def _mondays(person: Person, walk: Walk, start: Episode, made: list[Made]) -> Person:
    settled_silence, looked = False, -1  # the week up to whose end somebody last looked
    name = f"Person with number {person.number}"
    for week in range(DAYS // 7):
        monday = FIRST_DAY + week * WEEK
        sunday = monday + dt.timedelta(days=6)
        kinds = {kind for each in made if monday <= each.decision.date <= sunday for kind in each.decision.notices}
        away = (sunday - FIRST_DAY).days in walk.script.away
        scored = [asked for asked in WEEKS if asked < week + (asked > 0)]
        standing = Standing(
            f"id-{person.number}", name, "right", away=away,
            notices=tuple(kind for kind in NoticeKind if kind in kinds),
            settled=(Attention.SILENT,) if settled_silence else (),
            unseen=week - looked >= UNSEEN_FOR // WEEK and not away,
            score_due=not away and due_in_week(FIRST_DAY, scored, monday + WEEK) is not None,
        )  # fmt: skip
        found = patient_week(PROGRAMME, standing, start, walk.diary, made, monday)
        settled_silence = found.silent
        looked = week if found.urgency in (Urgency.ACT, Urgency.LOOK) or standing.unseen else looked
        person.weeks.append(found)
    return person


def monday_of(people: list[Person], chance: random.Random) -> tuple[int, int, int]:
    """Lines, entries to act on and to look at, of one Monday on which everybody is somewhere in their half year."""
    weeks = []
    for each in people:
        week = each.weeks[chance.randrange(len(each.weeks))]
        weeks.append(week)
    shown = _digest_on_one_day(weeks)
    message = digest_texts(TEXT, shown)
    urgent = [each.urgency for each in needing(shown)]
    return sum(map(screen_lines, message)), urgent.count(Urgency.ACT), urgent.count(Urgency.LOOK)


def _digest_on_one_day(weeks: list[PatientWeek]) -> Digest:
    return digest([replace(each, monday=FIRST_DAY) for each in weeks], FIRST_DAY)


def main(sizes: tuple[int, ...]) -> None:
    people = [lived(number) for number in range(PEOPLE)]
    chance = random.Random(2)
    for size in sizes:
        found = [monday_of(chance.sample(people, size), chance) for _ in range(CASELOADS)]
        parts = []
        for place, what in enumerate(("lines", "to do", "to look at")):
            values = sorted(each[place] for each in found)
            high = values[int(0.95 * len(values))]
            parts.append(f"{what} {statistics.median(values):g}, {high}, {values[-1]}")
        fits = sum(lines <= SCREEN for lines, *_ in found) / len(found)
        print(f"{size:4} patients: {'; '.join(parts)}; on one screen of {SCREEN} lines {100 * fits:.0f} %", flush=True)


if __name__ == "__main__":
    main(tuple(map(int, sys.argv[1:])) or SIZES)
