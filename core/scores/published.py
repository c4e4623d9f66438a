"""Sources of the numbers that no programme file carries: scores, bands of change, adherence, high pain."""

from core.model import Figure, Provenance
from core.programme import Source

_ROWS = (
    (
        "B1",
        "Farrar JT et al. Pain 2001;94(2):149-158",
        "seen (abstract)",
        "an important change is about 2 points or 30 %",
    ),
    (
        "B2",
        "Dworkin RH et al. J Pain 2008;9(2):105-121",
        "seen (secondary table)",
        "10-20 % minimal, at least 30 % moderate, at least 50 % substantial",
    ),
    (
        "C2",
        "Boonstra AM et al. Front Psychol 2016;7:1466",
        "seen (abstract)",
        "mild up to 5, moderate 6-7, severe 8 or more; n = 2 854",
    ),
    (
        "I1",
        "MacDermid JC. PRTEE user manual, 2007 and 2010",
        "contents seen; arithmetic from memory",
        "5 pain items summed; 10 function items summed and halved; total 0-100",
    ),
    (
        "I4",
        "Poltawski L, Watson T. Hand Therapy 2011;16(3):52-57",
        "from memory",
        "7 points or 22 %: a little better; 11 points or 37 %: much better",
    ),
    (
        "I5",
        "Physiother Theory Pract 2025, doi 10.1080/09593985.2025.2450090",
        "seen (abstract)",
        "smallest important change 14.8, detectable with 90 % confidence 9.7; n = 143",
    ),
    (
        "J3",
        "Clifford C et al. 2019, in table 2 of BMJ Open Sport Exerc Med 2020;6:e000760",
        "seen",
        "counts who did at least 80 % of the sessions",
    ),
)
SOURCES = {
    key: Source(key, Provenance.PUBLISHED, citation, known, note) for key, citation, known, note in _ROWS
}


def citations(figure: Figure) -> tuple[str, ...]:
    """Where a figure's number is from, one citation a row. Raises KeyError for a programme's own rows."""
    return tuple(SOURCES[row].citation for row in figure.rows)
