"""The labelled texts that the ear learns from: every table of typed answers, and lists written for it."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from core.answers.ear import HEARS

TABLES = Path(__file__).parents[1] / "core" / "answers"
LISTS = Path(__file__).parent / "texts"
NOTHING = len(HEARS)
_LABELS = {flag.value: place for place, flag in enumerate(HEARS)}


@dataclass(frozen=True, slots=True)
class Text:
    """`label`: a place in HEARS, or NOTHING; `ordinary`: an answer of the corpora in which nothing is wrong."""

    words: str
    label: int
    ordinary: bool


def texts() -> list[Text]:
    """Every text once, in one order always."""
    found: dict[str, Text] = {}
    for file in (*sorted(TABLES.glob("*.tsv")), *sorted(LISTS.glob("*.tsv"))):
        for label, words in _rows(file):
            place = _LABELS.get(label, NOTHING)
            ordinary = place == NOTHING and file.name.startswith("corpus_")
            found.setdefault(words.strip().casefold(), Text(words.strip(), place, ordinary))
    return list(found.values())


def _rows(file: Path) -> Iterator[tuple[str, str]]:
    lines = [line.split("\t") for line in file.read_text(encoding="utf-8").splitlines() if line[:1] not in ("#", "")]
    head = lines[0]
    if "flag" in head and "text" in head:
        for row in lines[1:]:
            yield row[head.index("flag")], row[head.index("text")]
