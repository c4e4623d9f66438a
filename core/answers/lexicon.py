"""One language, read from its folder: words, phrases and spelling as data. What reads them knows no language."""

import tomllib
from collections.abc import Callable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, is_dataclass
from functools import cache, cached_property
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Annotated, TypeVar, get_args, get_origin, get_type_hints

from core.answers.phrases import Phrasebook, words_of
from core.answers.tokens import Speller
from core.answers.wordlists import Beside, PhraseList, Says, Scope, Signs, Spelling, WordClasses, Words
from core.errors import LanguageError
from core.understanding import Wish

_FOLDERS = files("core.answers").joinpath("languages")
_FIRST = "en"  # whatever has no folder of its own is read with this one


def _book_of(name: str) -> cached_property[Phrasebook[None]]:
    """The phrases of one list of `beside`, to be found."""
    return cached_property(lambda lexicon: Phrasebook([(None, getattr(lexicon.beside, name))], lexicon.classes))


@dataclass(frozen=True)
class Lexicon:
    """One language, a field for each of its files. Every phrase is in the notation of `core.answers.phrases`."""

    language: str
    words: Spelling
    classes: WordClasses
    says: Mapping[Says, PhraseList]
    idioms: Mapping[str, PhraseList]  # figures of speech
    emergencies: Mapping[str, Signs]
    despair: Mapping[str, Signs]
    red_flags: Mapping[str, Signs]
    circumstances: Mapping[str, Signs]
    questions: Mapping[str, Signs]
    scope: Scope
    beside: Beside
    others: Mapping[str, Words]  # small words of languages that this one is told from

    conditional = _book_of("condition")
    told_wish = _book_of("wish_told")
    worse_mornings = _book_of("worse_morning")
    heavies = _book_of("too_heavy")
    turns = _book_of("turned_worse")

    @cached_property
    def signs(self) -> tuple[Signs, ...]:
        families = (self.emergencies, self.despair, self.red_flags, self.circumstances, self.questions)
        return tuple(signs for each in families for signs in each.values())

    @cached_property
    def after_whole(self) -> frozenset[str]:
        """What goes on with a number: "and a half", "point 5"."""
        return frozenset({self.words.point, *(words[0] for words in self.words.and_a_half)})

    @cached_property
    def answers(self) -> Phrasebook[Says]:
        return Phrasebook(self.says.items(), self.classes, over_numbers=False)

    @cached_property
    def figures(self) -> Phrasebook[None]:
        return Phrasebook([(None, phrases) for phrases in self.idioms.values()], self.classes)

    @cached_property
    def dangers(self) -> Phrasebook[Signs]:
        return self._book_of_signs(literal=False)

    @cached_property
    def literal_dangers(self) -> Phrasebook[Signs]:
        return self._book_of_signs(literal=True)

    def _book_of_signs(self, literal: bool) -> Phrasebook[Signs]:
        """A denial ends a gap: "chest not tight" is no tight chest."""
        families = [(family, family.phrases) for family in self.signs if family.literal is literal]
        return Phrasebook(families, self.classes, not_over=self.scope.no | self.scope.not_)

    @cached_property
    def wanted(self) -> Phrasebook[Wish]:
        return Phrasebook(self.beside.wishes.items(), self.classes)

    @cached_property
    def bare_wishes(self) -> Mapping[str, Wish]:
        return {text: wish for wish, texts in self.beside.bare_wishes.items() for text in texts}

    @cached_property
    def scopes(self) -> Phrasebook[str]:
        """Words of `scope` that stand anywhere in the sentence, by field name."""
        names = ["gone", "long_ago", "what_if", "causes", "passed"]
        names += ["because_it_hurts", "on_waking", "near_faint", "other_place", "unhurt"]
        return Phrasebook([(name, getattr(self.scope, name)) for name in names], self.classes)

    @cached_property
    def answer_words(self) -> frozenset[str]:
        return words_of(self.says.values(), self.classes)

    @cached_property
    def vocabulary(self) -> frozenset[str]:
        groups = [*self.says.values(), *self.idioms.values(), *(family.phrases for family in self.signs)]
        groups += [*self.beside.wishes.values(), self.scope.gone, self.scope.causes, self.scope.passed]
        listed = self.words.numbers.keys() | self.words.sound_alikes.keys() | self.words.expansions.keys()
        return words_of(groups, self.classes) | listed

    @cached_property
    def speller(self) -> Speller:
        elsewhere = self.words.foreign_words | self.languages_of.keys()
        return Speller(self.words.spelled, self.known, self.words.run_together, elsewhere)

    @cached_property
    def languages_of(self) -> Mapping[str, tuple[str, ...]]:
        """In which other languages a word is a small word."""
        words = frozenset[str]().union(*self.others.values())
        return {word: tuple(name for name, small in self.others.items() if word in small) for word in words}

    @cached_property
    def plain(self) -> frozenset[str]:
        """Words that tell nothing but an answer or a wish, or nothing at all: not those of signs."""
        wishes = words_of(self.beside.wishes.values(), self.classes)
        return self.answer_words | wishes | self.beside.polite | self.words.fillers

    @cached_property
    def known(self) -> frozenset[str]:
        """Every word of the language that is listed for whatever reason."""
        return self.vocabulary | self.words.real_words | self.words.fillers


def lexicon_of(language: str) -> Lexicon:
    """The lexicon of a language, the English one where it has no folder."""
    code = language.partition("-")[0].lower()
    return _language(code if code in _languages() else _FIRST)


@cache
def _languages() -> frozenset[str]:
    return frozenset(folder.name for folder in _FOLDERS.iterdir() if folder.is_dir())


@cache
def _language(language: str) -> Lexicon:
    return read_language(_FOLDERS.joinpath(language))


def read_language(folder: Traversable) -> Lexicon:
    """The language of a folder. Raises LanguageError that names the file and key that is unknown, missing or wrong."""
    hints = get_type_hints(Lexicon, include_extras=True)
    parts = {part: hint for part, hint in hints.items() if part not in ("language", "others")}
    found = {file.name: _toml(file) for file in folder.iterdir() if file.name.endswith(".toml")}
    _complain(folder.name, unknown=found.keys() - map(_file, parts), missing=set(map(_file, parts)) - found.keys())
    read = {part: _read(hint, found[_file(part)], f"{folder.name}/{_file(part)}") for part, hint in parts.items()}
    small = _toml(_FOLDERS.joinpath(_file("small_words")))
    others = {name: words for name, words in small.items() if name != folder.name}
    made: Callable[..., Lexicon] = Lexicon
    return made(**read, language=folder.name, others=_read(hints["others"], others, _file("small_words")))


def _file(part: str) -> str:
    return f"{part}.toml"


def _complain(at: str, **wrong: AbstractSet[str]) -> None:
    for what, names in wrong.items():
        if names:
            raise LanguageError(f"{at}: {what}: {', '.join(sorted(names))}")


def _toml(file: Traversable) -> Mapping[str, object]:
    try:
        return tomllib.loads(file.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise LanguageError(f"{file.name} is not TOML: {error}") from error


Filled = TypeVar("Filled")


def _filled(kind: Callable[..., Filled], table: Mapping[str, object], at: str) -> Filled:
    """A dataclass out of a table that stands at `at`."""
    hints = get_type_hints(kind, include_extras=True)
    required = {name for name in hints if not hasattr(kind, name)}
    _complain(at, unknown=table.keys() - hints, missing=required - table.keys())
    return kind(**{name: _read(hints[name], value, f"{at}, {name}") for name, value in table.items()})


def _read(hint: object, value: object, at: str) -> object:
    """What a `hint` of a dataclass asks for, out of a value of TOML."""
    kind, *details = get_args(hint) or (hint,)
    if is_dataclass(kind) and isinstance(kind, type) and isinstance(value, Mapping):
        return _filled(kind, value, at)
    try:
        if get_origin(hint) is Annotated:
            return details[0](value)
        if isinstance(value, Mapping) and details:
            return {kind(key): _read(details[0], each, f"{at}, {key}") for key, each in value.items()}
    except (AttributeError, TypeError, ValueError) as error:
        raise LanguageError(f"{at}: {error}") from error
    if not isinstance(value, kind):
        raise LanguageError(f"{at}: expected {kind.__name__}, found {value!r:.60}")
    return value
