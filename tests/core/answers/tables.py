"""Tables of typed answers with what must be understood of each; empty cells mean nothing."""

from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

from core.answers import understand
from core.understanding import Understanding

COLUMNS = ("pain", "sets", "flag", "wish")
_FOLDER = Path(__file__).parent


@dataclass(frozen=True)
class Case:
    """One line of a table. `wanted` and `found` hold the columns as the table writes them."""

    question: str
    prescribed: int
    wanted: tuple[str, ...]
    text: str

    @cached_property
    def found(self) -> tuple[str, ...]:
        understood = understand(self.text, "en", self.question, self.prescribed)
        return tuple(_cell(understood, column) for column in COLUMNS)


def flag_of(understood: Understanding) -> str:
    """The flag, or `complaint` where there is none and a complaint is to be asked about."""
    return str(understood.flag or ("complaint" if understood.complaint else ""))


def _cell(understood: Understanding, column: str) -> str:
    cell = flag_of(understood) if column == "flag" else getattr(understood, column)
    return "" if cell is None else str(cell)


@cache
def cases(name: str) -> list[Case]:
    """The cases of one table, without comments and heading."""
    return [Case(row[0], int(row[1]), tuple(row[2:6]), row[6]) for row in _rows(name)]


def signs() -> list[tuple[str, str]]:
    """Flag and text of the list of signs."""
    return [(flag, text) for flag, text in _rows("signs")]


def other_languages() -> list[tuple[str, str, str, str]]:
    """Language, pain, sets and text of lines that cannot be read."""
    return [(language, pain, sets, text) for language, pain, sets, text in _rows("languages")]


def kept_words() -> list[tuple[str, str]]:
    """What is kept as unread of a text, and the text."""
    return [(kept, text) for kept, text in _rows("unread")]


def told_beside() -> list[tuple[tuple[str, str, str], str]]:
    """Flag, urgency and circumstance of a text without numbers."""
    return [((flag, urgency, circumstance), text) for flag, urgency, circumstance, text in _rows("urgency")]


def weights() -> list[tuple[tuple[str, ...], tuple[str, ...], str]]:
    """Wanted and found of the table of weights and mornings, with the text."""
    return [(tuple(row[2:6]), _weighed(row[0], int(row[1]), row[6]), row[6]) for row in _rows("weights")]


def _weighed(question: str, prescribed: int, text: str) -> tuple[str, ...]:
    found = understand(text, "en", question, prescribed)
    numbers = ("" if number is None else str(number) for number in (found.pain, found.sets, found.weight_g))
    return (*numbers, "yes" if found.worse_on_waking else "")


def _rows(name: str) -> list[list[str]]:
    lines = (_FOLDER / f"{name}.tsv").read_text(encoding="utf-8").splitlines()
    return [line.split("\t") for line in lines if line and not line.startswith("#")][1:]
