"""The shape of a programme's file, and where in its text a part stands."""

import re
from typing import Annotated, Literal

from pydantic import Field

from core.programme import Equipment, Gate, Guiding, Picture, Progress, Rule
from core.programme.stated import (
    Count,
    Days,
    Grams,
    Key,
    Pain,
    Part,
    Passed,
    Rating,
    Repetitions,
    Rests,
    Rhythm,
    Seconds,
    Stated,
    Words,
)  # fmt: skip

Path = tuple[str | int, ...]

_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?$")
_KEY = re.compile(
    r"""^\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*="""
)
_PART = re.compile(r"""[A-Za-z0-9_-]+|"[^"]*"|'[^']*'""")


def written(path: Path) -> str:
    """The path as people write it, counting from 1: `step[3].exercise[1].sets`."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text or "the file"


def line_of(text: str, path: Path) -> int | None:
    """The line, from 1, of the path or of the nearest table around it; None when nothing of it is written.

    Reads headers and keys only, not values: within a value of several lines it may name the value's first
    line.
    """
    index = _lines(text)
    for end in range(len(path), 0, -1):
        if path[:end] in index:
            return index[path[:end]]
    return None


def _lines(text: str) -> dict[Path, int]:
    index: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    for number, line in enumerate(text.splitlines(), start=1):
        if header := _HEADER.match(line):
            table = _resolve(_parts(header[2]), counts, new_item=header[1] == "[[")
            index.setdefault(table, number)
        elif key := _KEY.match(line):
            path = (*table, *_parts(key[1]))
            for end in range(len(table) + 1, len(path) + 1):
                index.setdefault(path[:end], number)
    return index


def _parts(dotted: str) -> tuple[str, ...]:
    return tuple(part.strip("\"'") for part in _PART.findall(dotted))


def _resolve(names: tuple[str, ...], counts: dict[Path, int], *, new_item: bool) -> Path:
    """Puts the index of the latest item after each name of an array of tables."""
    path: Path = ()
    for place, name in enumerate(names):
        path = (*path, name)
        if new_item and place == len(names) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


class SourcePart(Part):
    kind: Literal["published", "common practice", "judgement"]
    citation: str = ""
    known: str = ""
    note: str = ""


class ExercisePart(Part):
    key: Key
    kind: Literal["mobilising", "isometric", "eccentric", "isotonic"]
    sets: Stated[Count] | None = None
    reps: Stated[Repetitions] | None = None
    hold_s: Stated[Seconds] | None = None
    lift_s: Stated[Seconds] | None = None
    lower_s: Stated[Seconds] | None = None
    rest_s: Stated[Rests] | None = None
    last_s: Stated[Rests] | None = None
    pain_at_most: Stated[Pain] | None = None
    effort: Stated[Literal["light", "medium", "hard"]] | None = None
    spread: Stated[bool] | None = None
    both_arms: Stated[bool] | None = None
    other_hand_lifts: Stated[bool] | None = None


class LoadPart(Part):
    entry: Literal["start", "carry"] = "start"
    start_g: Stated[Grams] | None = None
    entry_rise_g: Stated[Grams] | None = None
    cap_g: Stated[Grams] | None = None
    rises: bool = False


class StepPart(Part):
    key: Key
    maintenance: bool = False
    least_days: Days
    training_days: Days | None = None
    rhythm: Stated[Rhythm] | None = None
    back_above: Rating | None = None
    passed_days: Stated[Passed] | None = None
    exercise: Annotated[list[ExercisePart], Field(min_length=1, max_length=3)]
    load: LoadPart
    gate: list[Gate] = Field(default_factory=list)


class TopicPart(Part):
    """Words by their key, with where they are from; a judgement says why."""

    key: Key
    rows: Annotated[list[str], Field(alias="from", min_length=1)]
    why: str = ""
    derived: str = ""


class SuggestionPart(TopicPart):
    """What a therapist may do; the key is the reason to look, as `core.digest.attention` calls it."""

    key: Literal[
        "stopped", "severe-twice", "question", "unanswered", "unsure", "injection", "circumstance", "unreachable",
        "silent", "left", "third-setback", "plateau-6-weeks", "plateau-12-weeks", "plateau-26-weeks",
    ]  # fmt: skip


class ProgrammePart(Part):
    """The whole file. `every_day` begins each dose and is all that a rest day asks."""

    name: Key
    body: Words
    sides: Annotated[list[Literal["left", "right"]], Field(max_length=2)]
    sources: dict[str, SourcePart]
    every_day: list[ExercisePart] = Field(default_factory=list)
    equipment: list[Equipment] = Field(default_factory=list)
    picture: list[Picture] = Field(default_factory=list)
    screen: list[TopicPart] = Field(default_factory=list)
    education: list[TopicPart] = Field(default_factory=list)
    question: list[TopicPart] = Field(default_factory=list)
    suggest: list[SuggestionPart] = Field(default_factory=list)
    step: Annotated[list[StepPart], Field(min_length=2, max_length=40)]
    guiding: Guiding | None = None
    progress: Progress | None = None
    rule: Rule
