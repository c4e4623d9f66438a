"""How far the weekly mean has come, the published word for it, and the sources of such numbers."""

from dataclasses import dataclass
from enum import StrEnum

from core.model import Figure, Provenance
from core.programme import Programme, Source
from core.programme.thresholds import Progress
from core.weeks import Week

_ROWS = (  # key, citation, how it is known, what it says
    ("B1", "Farrar JT et al. Pain 2001;94(2):149-158", "seen (abstract)",
     "an important change is about 2 points or 30 %"),
    ("B2", "Dworkin RH et al. J Pain 2008;9(2):105-121", "seen (secondary table)",
     "10-20 % minimal, at least 30 % moderate, at least 50 % substantial"),
    ("C2", "Boonstra AM et al. Front Psychol 2016;7:1466", "seen (abstract)",
     "mild up to 5, moderate 6-7, severe 8 or more; n = 2 854"),
    ("I1", "MacDermid JC. PRTEE user manual, 2007 and 2010", "contents seen; arithmetic from memory",
     "5 pain items summed; 10 function items summed and halved; total 0-100"),
    ("I4", "Poltawski L, Watson T. Hand Therapy 2011;16(3):52-57", "from memory",
     "7 points or 22 %: a little better; 11 points or 37 %: much better"),
    ("I5", "Physiother Theory Pract 2025, doi 10.1080/09593985.2025.2450090", "seen (abstract)",
     "smallest important change 14.8, detectable with 90 % confidence 9.7; n = 143"),
    ("PSFS", "Stratford P et al. Physiotherapy Canada 1995;47(4):258-263", "seen on forms that clinics use",
     "detectable with 90 % confidence: 2 points of the mean, 3 of one activity"),
    ("GRC", "Kamper SJ et al. J Man Manip Ther 2009;17(3):163-170", "abstract seen; the figure from memory",
     "on a scale of 11 points from -5 to 5 a change of 2 counts"),
    ("J3", "Clifford C et al. 2019, in table 2 of BMJ Open Sport Exerc Med 2020;6:e000760", "seen",
     "counts who did at least 80 % of the sessions"),
)  # fmt: skip
SOURCES = {
    key: Source(key, Provenance.PUBLISHED, citation, known, note) for key, citation, known, note in _ROWS
}


def citations(figure: Figure) -> tuple[str, ...]:
    """Where a figure's number is from, one citation a row. Raises KeyError for a programme's own rows."""
    return tuple(SOURCES[row].citation for row in figure.rows)


class Band(StrEnum):
    """How much better, in the words of Dworkin 2008 (row B2); WORSE is ours."""

    WORSE = "worse"
    NONE = "none"
    MINIMAL = "minimal"
    MODERATE = "moderate"
    SUBSTANTIAL = "substantial"


# The row says 10-20 % for minimal; what lies between 20 and 30 % is taken for minimal too (judgement).
MINIMAL = Figure("change.minimal_share", 0.1, Provenance.PUBLISHED, ("B2",))
MODERATE = Figure("change.moderate_share", 0.3, Provenance.PUBLISHED, ("B2",))
SUBSTANTIAL = Figure("change.substantial_share", 0.5, Provenance.PUBLISHED, ("B2",))
POINTS = Figure("change.points", 2.0, Provenance.PUBLISHED, ("B1",))
# In a stable person two weekly means differ by so much in 4-10 % of weeks by chance (simulated, daily SD 1), by half
# a point in a fifth to a quarter of them: less than a point is not called a rise.
WORSE = Figure("change.worse_points", 1.0, Provenance.JUDGEMENT)

_BY_SHARE = ((SUBSTANTIAL, Band.SUBSTANTIAL), (MODERATE, Band.MODERATE), (MINIMAL, Band.MINIMAL))


@dataclass(frozen=True, slots=True)
class Change:
    """From the first week's mean to a later one's, 0-10 both. Below zero is better.

    `share` is of the first week's mean; None where that was too low for shares to say anything, 0 included.
    `figures` are the thresholds that gave the band.
    """

    first: float
    points: float
    share: float | None
    band: Band
    figures: tuple[Figure, ...]


def change_since(programme: Programme, first: float, mean: float) -> Change:
    """The change since a first week of mean `first`.

    From a start below the programme's `plateau.low_start` only points count: two are moderate, fewer are none.
    """
    low_start = programme.rule.plateau.low_start
    low = first <= 0 or first < low_start.value
    points = round(mean - first, 9)  # a fall of exactly a threshold is that in binary fractions too
    share = None if low else round(points / first, 9)
    if points >= WORSE.value:
        return Change(first, points, share, Band.WORSE, (WORSE,))
    if share is None:
        band = Band.MODERATE if -points >= POINTS.value else Band.NONE
        return Change(first, points, share, band, (POINTS, low_start))
    for figure, band in _BY_SHARE:
        if -share >= figure.value:
            return Change(first, points, share, band, (figure,))
    return Change(first, points, share, Band.NONE, (MINIMAL,))


def change_in(programme: Programme, first: float | None, week: Week) -> Change | None:
    """The change from a first week's mean to this week's; None unless this one has the ratings the programme asks."""
    if first is None or week.mean is None or week.rated < programme.rule.weeks.ratings.value:
        return None
    return change_since(programme, first, week.mean)


class Told(StrEnum):
    """What a change of the weekly mean since the first week is worth, by the programme's own two numbers."""

    MATTERS = "matters"  # a fall that matters to most people
    LESS = "less"  # a fall that is more than noise
    CHANCE = "chance"
    MORE = "more"  # a rise that is more than noise


def told_apart(progress: Progress, first: float, mean: float) -> Told:
    """The published numbers are of one rating then and one now; means of weeks vary less, so this is cautious."""
    fall = round(first - mean, 9)
    if fall >= progress.matters.value:
        return Told.MATTERS
    if abs(fall) < progress.apart.value:
        return Told.CHANCE
    return Told.LESS if fall > 0 else Told.MORE
