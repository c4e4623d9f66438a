"""Invented caseloads of the Fennel Lane clinic, every course lived through the real rule."""

import datetime as dt
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.digest.patient_facts import patient_week
from core.digest.patient_week import CourseLine, Made, PatientWeek, Score, Standing, course_line
from core.model import Episode, Evening, Flag, NoticeKind
from core.rule import begin, decide, dose_on
from tests.courses import PROGRAMME

MONDAY = dt.date(2026, 6, 22)  # of the week that the digests are about
SUNDAY = MONDAY + dt.timedelta(days=6)
NAMES = (
    "the cellist", "the bricklayer", "the dental hygienist", "the pastry cook", "the upholsterer", "the gardener",
    "the bell ringer", "the saddler", "the baker's night shift", "the potter", "the signwriter", "the beekeeper",
    "the tiler", "the locksmith", "the drummer", "the glazier", "the weaver", "the farrier", "the cooper",
    "the thatcher",
)  # fmt: skip
HARD_NAMES = (
    "<b>bold</b> & *stars* _under_ $x^2$ [link](tel:1) `code`",
    "שרה כהן",
    "عبد الرحمن",
    "佐藤 花子",
    "Ольга Смирнова",
    "Donau" + "dampfschifffahrtsgesellschafts" * 3 + "kapitän",
    "a\u202eb\x00c\nd\te",
    "🎻 Ana 🎻",
    "",
    "x" * 10_000,
)


@dataclass(frozen=True)
class Lived:
    """One course: where it began, its diary and its decisions."""

    start: Episode
    diary: tuple[Evening, ...]
    made: tuple[Made, ...]

    def week(self, who: Standing, monday: dt.date = MONDAY) -> PatientWeek:
        return patient_week(PROGRAMME, who, self.start, self.diary, self.made, monday)

    def line(self, weeks: int | None = None, sunday: dt.date = SUNDAY) -> CourseLine:
        return course_line(self.start, self.diary, self.made, sunday, weeks)


def a_standing(number: int = 1, **given: object) -> Standing:
    plain = Standing(f"person-{number:04}", NAMES[number % len(NAMES)], "right" if number % 3 else "left")
    return replace(plain, **given)  # type: ignore[arg-type]


def lived(
    days: int, seed: int = 1, *, level: float = 6.0, half_life: float = 106.0, silent: int = 0, bad_days: int = 0,
    done: float = 0.9, flag: Flag | None = None, last: dt.date = SUNDAY,
) -> Lived:  # fmt: skip
    """A course of `days` evenings up to `last`: a falling level with noise, the last `bad_days` evenings well above it,
    the last `silent` ones without an answer, and a sign of danger told on the last one."""
    chance = random.Random(seed)
    started = last - dt.timedelta(days=days - 1)
    state = start = begin(PROGRAMME, started, min(10, round(level)))
    dose = dose_on(PROGRAMME, state, started)
    diary: list[Evening] = []
    made: list[Made] = []
    for day in range(days):
        left = days - 1 - day
        true = level * 0.5 ** (day / half_life) + (4 if left < bad_days else 0)
        pain = None if chance.random() < 0.12 or left < silent else min(10, max(0, round(chance.gauss(true, 1))))
        given = None if pain is None else (dose.asked if chance.random() < done else dose.asked // 2)
        told = flag if left == 0 else None
        today = started + dt.timedelta(days=day)
        diary.append(Evening(today, chance.random() < 0.97, pain, given, dose.asked, told))
        decision = decide(PROGRAMME, state, tuple(diary[-50:]), today)
        made.append(Made(decision))
        state = replace(decision.after, signs_asked=None)  # asked about signs, they say at once that there are none
        dose = decision.dose or dose.rest()
    return Lived(start, tuple(diary), tuple(made))


def fennel_lane() -> list[tuple[Standing, Lived]]:
    """A week with everything in it."""
    scores = (Score(0, 55.0), Score(6, 41.5), Score(12, 38.0))
    people = [
        (a_standing(0, scores=scores), lived(140, 3, bad_days=3)),
        (a_standing(1), lived(100, 4, flag=Flag.RED_FLAG)),
        (a_standing(2, unreachable=True), lived(60, 5)),
        (a_standing(3), lived(75, 6, silent=9)),
        (a_standing(4, notices=(NoticeKind.PLATEAU_12_WEEKS,)), lived(90, 7, half_life=900)),
        (a_standing(5, notices=(NoticeKind.CLINICAL_QUESTION,)), lived(30, 8)),
        (a_standing(6, away=True, away_until=SUNDAY + dt.timedelta(days=9)), lived(80, 9)),
        (a_standing(7), lived(5, 10)),
        (a_standing(8), lived(120, 11, done=0.3)),
        (a_standing(9), lived(110, 12, level=8, bad_days=2)),
    ]
    return people + [(a_standing(10 + n), lived(25 + 17 * n, 20 + n, level=3 + n % 5)) for n in range(10)]


def weeks_of(people: Sequence[tuple[Standing, Lived]], monday: dt.date = MONDAY) -> list[PatientWeek]:
    return [course.week(who, monday) for who, course in people]
