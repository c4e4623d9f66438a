"""The words of a programme: a gettext catalogue for each language, `words.LANGUAGE.po` beside the numbers."""

import io
import re
import string
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from babel.messages.pofile import PoFileError, read_po

from core.answers.understand import phrasebook
from core.errors import ProgrammeError
from core.programme.reading_level import hard_words, read
from core.programme.schema import ExercisePart, ProgrammePart

Words = Mapping[str, Mapping[str, str]]

FILE = re.compile(r"words\.([a-z]{2,3}(?:_[A-Z]{2})?)\.po")
HARDEST, LONG = 6.9, 12  # a sixth-grade level; texts of fewer words have no stable grade
INSTEAD = "instead."  # words in place of a text that every programme shares; who has those knows which there are
PHRASES = ".phrases"
NOT_READ = re.compile(r".*\.phrases|instead\.words\..*")  # what people type, not what they read
OF_EXERCISES = frozenset({"seconds", "reps", "lift", "lower", "least", "most", "kg"})
GRADED = "en"  # the formula is made for English


@dataclass(frozen=True, slots=True)
class Catalogue:
    """One language's texts by key, and the line that each stands on."""

    file: str
    language: str
    texts: Mapping[str, str]
    lines: Mapping[str, int]


def read_words(file: str, text: str) -> Catalogue:
    """The catalogue that `text` is. Raises ProgrammeError that names file and line when it is none."""
    named = FILE.fullmatch(file)
    if named is None:
        raise ProgrammeError(f"{file}: no catalogue of words; expected a name such as words.en.po")
    try:
        found = read_po(io.BytesIO(text.encode()), abort_invalid=True)
    except PoFileError as error:
        raise ProgrammeError(f"{file} is not a gettext catalogue: {error}; mend that place") from error
    entries = [message for message in found if isinstance(message.id, str) and message.id]
    return Catalogue(
        file,
        named[1],
        {str(each.id): str(each.string) for each in entries},
        {str(each.id): each.lineno or 0 for each in entries},
    )


def word_problems(file: ProgrammePart, catalogue: Catalogue) -> Iterator[str]:
    """Texts that are missing, belong to nothing, cannot be filled in, or are hard to read."""
    needed, texts = dict(_needed(file)), catalogue.texts
    may_be = dict(_possible(file))
    for key in needed:
        if not texts.get(key, "").strip():
            yield f"{catalogue.file}: {key}: missing; a text of that key is needed"
    for key, text in texts.items():
        where = f"{catalogue.file}: {key} (line {catalogue.lines[key]})"
        gaps = needed.get(key, may_be.get(key))
        if key.startswith(INSTEAD):
            gaps = _gaps(text)
        elif gaps is None:
            yield f"{where}: nothing in the programme has that key; take it out, or mend its name"
            continue
        yield from (f"{where}: {problem}" for problem in _text_problems(text, gaps))
        if key.endswith(PHRASES):
            yield from (f"{where}: {problem}" for problem in _phrase_problems(text, catalogue.language))
        if catalogue.language == GRADED and not NOT_READ.fullmatch(key):
            yield from (f"{where}: {problem}" for problem in _hard(text))


def _phrase_problems(text: str, language: str) -> Iterator[str]:
    try:
        phrasebook(language, (("", text),))
    except (ValueError, KeyError) as error:
        yield f"{error}: not the notation of phrases, see core/answers/phrases.py"


def _gaps(text: str) -> frozenset[str]:
    return frozenset(re.findall(r"{(\w+)}", text))


def _text_problems(text: str, gaps: frozenset[str]) -> Iterator[str]:
    try:
        found = {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}
    except ValueError as error:
        yield f"{error}; write {{{{ and }}}} for braces that are no gap"
        return
    if found - gaps:
        expected = ", ".join(sorted(gaps)) or "none"
        yield f"found the gap {', '.join(sorted(found - gaps))}; expected of these: {expected}"


def _hard(text: str) -> Iterator[str]:
    reading = read(re.sub(r"{\w+}", "3", text))
    if reading.words >= LONG and reading.grade > HARDEST:
        words = ", ".join(word for word, _ in hard_words(text)) or "none"
        yield f"reads at grade {reading.grade:.1f}; expected {HARDEST:g} or less; long words: {words}"


def _exercises(file: ProgrammePart) -> Iterator[ExercisePart]:
    yield from file.every_day
    for step in file.step:
        yield from step.exercise


def _needed(file: ProgrammePart) -> Iterator[tuple[str, frozenset[str]]]:
    """(key, gaps it may have) of every text without which something could not be said."""
    sides = (f"side.{side}" for side in file.sides)
    plain = ("title", "site", *sides, "release", "stop", "condition", "call")
    for key in (*plain, *(f"step.{step.key}" for step in file.step)):
        yield key, frozenset()
    for exercise in _exercises(file):
        yield from _of_exercise(exercise, guided=file.guiding is not None)
    yield from _of_pictures(file)
    for one in file.equipment:
        yield f"equipment.{one.key}", frozenset({"kg"})
    for topic in file.education:
        yield f"why.{topic.key}", frozenset()
    for topic in file.suggest:
        yield f"suggest.{topic.key}", frozenset()
    if file.question:
        yield "for_a_person.phrases", frozenset()
    for topic in file.question:
        for part in ("", ".answer", ".phrases"):
            yield f"question.{topic.key}{part}", frozenset()


def _of_pictures(file: ProgrammePart) -> Iterator[tuple[str, frozenset[str]]]:
    for picture in file.picture:
        yield f"picture.{picture.key}", frozenset({"limb"})
        for part in (f"{picture.key}.wrong", f"faces.{picture.faces}", f"above.{picture.faces}"):
            yield f"picture.{part}", frozenset()
    if file.picture or file.guiding:
        yield "limb.left", frozenset()
        yield "limb.right", frozenset()


def _of_exercise(exercise: ExercisePart, *, guided: bool) -> Iterator[tuple[str, frozenset[str]]]:
    yield f"exercise.{exercise.key}.how", OF_EXERCISES
    if exercise.other_hand_lifts:
        yield f"exercise.{exercise.key}.lifted_back", OF_EXERCISES
        yield "helping.how", frozenset()  # said to who is sore on both sides
    if guided and exercise.kind != "mobilising":
        yield f"exercise.{exercise.key}.guided", frozenset()
    if exercise.both_arms:
        yield "both_sides", frozenset()
        yield "both_sides.how", frozenset()


def _possible(file: ProgrammePart) -> Iterator[tuple[str, frozenset[str]]]:
    """Texts that stand in for another one where there is a weight."""
    for exercise in _exercises(file):
        yield f"exercise.{exercise.key}.how.weight", OF_EXERCISES
        yield f"exercise.{exercise.key}.guided.weight", frozenset()
    for picture in file.picture:
        yield f"picture.{picture.key}.weight", frozenset({"limb"})
