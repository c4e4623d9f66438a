"""What the digest's picture and its file show: words and numbers ready to be drawn; knows nothing of how."""

from dataclasses import dataclass

from bot.drawn.progress import Band, Day


@dataclass(frozen=True, slots=True)
class Line:
    """A course over the days `first` to `last`, both in; dates are ISO text, `means` are (middle day, mean)."""

    first: str
    last: str
    days: tuple[Day, ...]
    bands: tuple[Band, ...]
    flares: tuple[str, ...]
    means: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class LineWords:
    """Every word in a drawn course, from the catalogue; `day_month` carries placeholders."""

    evening: str
    weekly_mean: str
    missed: str
    flare: str
    nothing: str
    step_key: str  # key: what the numbers in the row above are
    day_month: str
    months: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Panel:
    """One patient's small picture. `mean` is the week's, in figures, "" when there is none."""

    number: str  # apart from the name, so that a name written from right to left cannot turn it
    name: str
    why: str
    mean: str
    line: Line


@dataclass(frozen=True, slots=True)
class PanelsFacts:
    """One picture of at most `core.digest.PANELS` patients."""

    title: str
    note: str  # what is drawn: scale and stretch of time
    panels: tuple[Panel, ...]
    words: LineWords


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a head, all of one length."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One patient's page of the file."""

    number: str  # the place in the caseload, as in the overview
    name: str
    about: str  # side, week of the course
    step: str
    why: str  # the reasons to look, "" when there are none
    line: Line
    weeks: Table
    facts: tuple[tuple[str, str], ...]  # (what, how it stands)
    decisions: Table
    numbers: tuple[str, tuple[str, ...]]  # (title, lines): where the numbers are from
    notices: tuple[str, tuple[str, ...]]  # (title, lines)


@dataclass(frozen=True, slots=True)
class Overview:
    """The first page of the file: counts as (number, what), and the caseload in order."""

    title: str
    lines: tuple[str, ...]
    counts: tuple[tuple[str, str], ...]
    caseload: Table


@dataclass(frozen=True, slots=True)
class FileFacts:
    """One PDF: the overview where it is the first of several files, then a page a patient."""

    title: str  # in the document's own properties
    clinic: str
    week: str
    foot: str  # "not a diagnosis"
    page: str  # "page {page} of {pages}"
    further: str  # beside a name whose page goes on
    language: str
    made: str  # aware ISO time
    overview: Overview | None
    pages: tuple[Page, ...]
    words: LineWords
