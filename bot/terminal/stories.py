"""Who comes to Fennel Lane, when, and what befalls them: one story a patient, in the order of their names.

All of it is invented, so that a therapist's Monday has something of everything; how ratings, answers and sets wander
besides is the simulated cohort's model.
"""

import random
from dataclasses import dataclass, field
from enum import StrEnum

from core.model import Episode, Flag
from core.rule.override import Act
from core.simulation.people import Course, Model, Script, draw, felt, level, rated, spread_of
from core.understanding import Felt
from core.weeks import WEEK_DAYS

WEEKS = 20
DAYS = WEEKS * 7
LAST = DAYS - 1  # the Sunday before the therapist looks
SEED = 20260302
MODEL = Model()
SIDES = ("right", "right", "left")


class End(StrEnum):
    """How somebody goes out of sight before the last day."""

    SILENT = "silent"
    AWAY = "away"
    LEFT = "left"


@dataclass(frozen=True, slots=True)
class Said:
    """What somebody wrote on an evening that stops the programme, and after how many days the therapist cleared it."""

    words: str  # key of the text
    flag: Flag = Flag.RED_FLAG
    cleared: int | None = None


@dataclass(frozen=True, slots=True)
class Done:
    """What the therapist did on a day, and why; `by` days or points, where the act needs any."""

    act: Act
    why: str  # key of the text
    by: float = 0.0


@dataclass(frozen=True, slots=True)
class Story:
    """`joins` is the first day, counted from 0 as every day here; `more` adds to the pain of a day."""

    joins: int
    course: Course = Course.IMPROVING
    start: float | None = None
    spread: float | None = None
    idle: float = 0.0  # share of evenings without sets, beside those the model leaves out
    more: dict[int, float] = field(default_factory=dict)
    ends: tuple[End, int] | None = None  # how, and on which day
    says: dict[int, Said] = field(default_factory=dict)
    acts: dict[int, Done] = field(default_factory=dict)
    notes: dict[int, str] = field(default_factory=dict)
    scored: bool = False  # fills in the questionnaire at the start and after 6 and 12 weeks


STORIES = (
    Story(0, scored=True, notes={3: "cli.demo.note.bow", 86: "cli.demo.note.concert"}),
    Story(0, says={LAST: Said("cli.demo.said.numb")}),
    Story(5, scored=True, more=dict.fromkeys(range(LAST - 4, LAST + 1), 3.0)),
    Story(7, spread=1.0, more={LAST - 5: 6.5, LAST - 1: 6.5}),
    Story(10, ends=(End.SILENT, LAST - 8)),
    Story(14, scored=True, ends=(End.AWAY, LAST - 3)),
    Story(LAST - 85, Course.STABLE, start=5.5, spread=0.7, scored=True),
    Story(LAST - 43, Course.STABLE, start=5.0, spread=0.7),
    Story(20, idle=0.6),
    Story(
        21, scored=True, acts={LAST - 10: Done(Act.PIN, "cli.demo.why.boat", 21)},
        notes={LAST - 10: "cli.demo.note.boat"},
    ),
    Story(28, acts={LAST - 12: Done(Act.GATE, "cli.demo.why.gate", -1.0)}),
    Story(30, says={61: Said("cli.demo.said.neck", cleared=3)}, notes={64: "cli.demo.note.neck"}),
    Story(35, spread=1.5, more=dict.fromkeys((60, 61, 62, 72, 73, 74, 84, 85, 86), 4.0), scored=True),
    Story(42, acts={63: Done(Act.UP, "cli.demo.why.up")}),
    Story(49, ends=(End.LEFT, LAST - 2)),
    Story(63, scored=True),
    Story(70, more={LAST - 2: 3.0}),
    Story(98),
    Story(119, start=5.6),
    Story(LAST - 6, start=5.2),
)  # fmt: skip


class Life:
    """One story with the chance of each of its days drawn beforehand; days are those of the clinic."""

    def __init__(self, number: int, story: Story) -> None:
        dice = random.Random(SEED + number)
        self.story = story
        self.side = dice.choice(SIDES)
        self._script: Script = draw(MODEL, story.spread or spread_of(MODEL, number), DAYS - story.joins + 1, dice)
        if story.start is not None:
            self._script.starts[story.course] = story.start
        self._idle = [dice.random() < story.idle for _ in range(DAYS)]
        self._share = [dice.random() for _ in range(DAYS)]

    def first_rating(self) -> int:
        """The rating at enrolment."""
        return self._script.first_rating(self.story.course)

    def total(self, day: int) -> float:
        """A questionnaire's total on that day: ten points a point of the true level, to a whole number."""
        return float(round(10 * level(self._script, self.story.course, day - self.story.joins)))

    def pain(self, day: int, moved_up: bool) -> int | None:
        """The evening's rating; None when nothing is answered. A day that begins a higher step may be felt."""
        since = day - self.story.joins
        more = self.story.more.get(day)
        if day in self.story.says:
            more = 0.0
        if more is None and not self._script.answered[since]:
            return None
        if self.story.ends and self.story.ends[0] is End.SILENT and day >= self.story.ends[1]:
            return None
        felt = MODEL.intolerance_rise if moved_up and self._script.touchy[since] else 0.0
        true = level(self._script, self.story.course, since)
        return rated(true + self._script.noise[since] + felt + (more or 0.0))

    def felt(self, episode: Episode, day: int) -> Felt:
        """How the own weight was, beside what is right for this person by then."""
        weeks = (day - self.story.joins) / WEEK_DAYS
        return felt(MODEL, self._script, episode.load_g, weeks)

    def sets(self, day: int, asked: int) -> int:
        """How many of the sets were done."""
        if self._script.done[day - self.story.joins] and not self._idle[day]:
            return asked
        return int(self._share[day] * asked)
