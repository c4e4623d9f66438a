"""What people want to do again, rated by themselves, and how much of a change of it is more than chance.

Up to three activities in the person's own words, each 0 (cannot do it) to 10 (as well as before), scored by their mean:
the patient-specific functional scale, Stratford P, Gill C, Westaway M, Binkley J. Physiotherapy Canada
1995;47(4):258-263. The form was seen on clinics' pages, which give the arithmetic and the detectable changes below;
a registry of measures lists it as free of charge. Its questions are in our own words here.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from core.model import Figure, Provenance

MOST_GOALS = 3  # the scale takes three to five; three are what a tired person is asked
LOWEST, HIGHEST = 0, 10
WEEKS = (6, 12, 26)  # when they are asked again, beside the clinic's questionnaire
CHANGE_MOST = 5  # overall change: -5 very much worse, 0 the same, 5 well again; Kamper SJ et al. 2009

# 90 % of people who have not changed differ by less between two ratings
DETECTABLE_MEAN = Figure("goals.detectable_mean", 2.0, Provenance.PUBLISHED, ("PSFS",))
DETECTABLE_ONE = Figure("goals.detectable_one", 3.0, Provenance.PUBLISHED, ("PSFS",))
# of overall change; from memory: Kamper SJ, Maher CG, Mackay G. J Man Manip Ther 2009;17(3):163-170
COUNTS = Figure("goals.overall_counts", 2.0, Provenance.PUBLISHED, ("GRC",))


class GoalVerdict(StrEnum):
    """What a change of the goals is worth."""

    BETTER = "better"
    CHANCE = "chance"
    WORSE = "worse"


@dataclass(frozen=True, slots=True)
class GoalChange:
    """Means of the goals that were rated both times, 0-10, higher is better; `by` is the threshold asked of them."""

    first: float
    now: float
    verdict: GoalVerdict
    by: Figure


def goal_change(first: Sequence[int | None], now: Sequence[int | None]) -> GoalChange | None:
    """From one rating of the same goals to a later one; None where no goal has both."""
    both = [(a, b) for a, b in zip(first, now, strict=False) if a is not None and b is not None]
    if not both:
        return None
    before, after = (sum(each) / len(both) for each in zip(*both, strict=True))
    by = DETECTABLE_ONE if len(both) == 1 else DETECTABLE_MEAN
    points = round(after - before, 9)
    verdict = GoalVerdict.BETTER if points > 0 else GoalVerdict.WORSE
    return GoalChange(before, after, verdict if abs(points) >= by.value else GoalVerdict.CHANCE, by)
