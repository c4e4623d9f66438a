"""The lists of which a language is made, as its files hold them: text in TOML, read into words and phrases."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import Annotated

from core.answers.phrases import Phrases
from core.model import Flag
from core.understanding import Circumstance, Urgency, Wish

_BROKEN = re.compile(r"\|\s*\n\s*")


def phrases(text: str) -> Phrases:
    """Phrases out of a block of text, one a line or with semicolons between; a line may break after "|"."""
    lines = _BROKEN.sub("|", text).splitlines()
    return tuple(phrase for line in lines for part in line.split(";") if (phrase := part.strip()))


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


def _runs(text: str) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(run.split()) for run in phrases(text))


def _by_word(table: Mapping[str, str]) -> Mapping[str, str]:
    """What each word means, of a table that has the words under their meaning."""
    return {word: meaning for meaning, words in table.items() for word in words.split()}


def _numbers(table: Mapping[str, str]) -> Mapping[str, int]:
    return {word: int(number) for word, number in _by_word(table).items()}


def _classes(table: Mapping[str, str]) -> Mapping[str, frozenset[str]]:
    """Classes of words; one may name another in angle brackets."""
    classes = {f"<{name}>": words.split() for name, words in table.items()}
    return {
        name[1:-1]: frozenset(one for word in words for one in classes.get(word, (word,)))
        for name, words in classes.items()
    }


def _limits(pairs: Sequence[Sequence[float]]) -> tuple[tuple[float, float], ...]:
    return tuple((least, most) for least, most in pairs)


# What a list is, with what reads it from the text or table in its file.
Words = Annotated[frozenset[str], _words]
PhraseList = Annotated[Phrases, phrases]
Runs = Annotated[tuple[tuple[str, ...], ...], _runs]
Numbers = Annotated[Mapping[str, int], _numbers]
Meanings = Annotated[Mapping[str, str], _by_word]
WordClasses = Annotated[Mapping[str, frozenset[str]], _classes]


class Says(StrEnum):
    """What a run of words says about pain or sets."""

    IDLE = "idle"  # looks like an answer and is none: "all day", "half past"
    NUMBER = "number"  # a number by itself
    BREAK = "break"

    PAIN = "pain"  # a word that a pain number belongs to
    SETS = "sets"  # a word that a number of sets belongs to, before or after it
    DID = "did"  # the same, but only before its number
    ELSEWHERE = "elsewhere"  # another part of the body

    NO_PAIN = "no_pain"
    ALL = "all"
    DONE = "done"  # all, unless a number of sets is given as well
    ALL_OF = "all_of"  # "all 4"
    ALL_BUT = "all_but"  # "all but one", "missed 2"
    HALF = "half"
    SHARE = "share"  # "the first two", "the other two"
    BOTH = "both"  # all, when 2 were prescribed
    MORE_THAN_ALL = "more_than_all"
    NONE = "none"  # no sets, or no pain: as 0 in a number's place
    NO_SETS = "no_sets"
    YES = "yes"
    NO = "no"

    OUT_OF = "out_of"  # "2 of 4", "4/10"
    SETS_OF = "sets_of"  # "4 holds of 30 seconds": the number of sets comes first
    TIMES = "times"  # "4 x 30"
    RANGE = "range"
    BOUND = "bound"  # "at least 4", "nearly 5"
    PERCENT = "percent"
    COMPARED = "compared"
    VAGUE_PAIN = "vague_pain"
    VAGUE_SETS = "vague_sets"
    UNIT = "unit"  # seconds, repetitions, tablets, clock times ... with their number

    OTHER_DAY = "other_day"
    TODAY = "today"
    PART = "part"  # a time or an activity of today
    SIDE = "side"  # one arm
    AVERAGE = "average"
    WORST = "worst"

    CHANGE = "change"  # "no wait", "sorry"
    DECIDES = "decides"  # settles a range: "4 or 5, call it 5"
    REPAIR = "repair"  # the same, strong enough to point at an earlier answer by itself: "meant", "should be"
    EARLIER = "earlier"  # "i said", before a number
    PAIN_WRONG = "pain_wrong"  # "the pain was wrong", before or after which the right one comes
    SETS_WRONG = "sets_wrong"
    NOT = "not"  # "not 4"


SETS_IN_WORDS = frozenset({Says.ALL, Says.DONE, Says.NONE, Says.NO_SETS, Says.MORE_THAN_ALL, Says.YES, Says.NO})


@dataclass(frozen=True)
class Spelling:
    """words.toml: numbers in words, short forms, and what is a word at all."""

    numbers: Numbers
    tens: Words
    and_a_half: Runs
    point: str
    of: str
    out_of: str  # "a for out of ten"
    pronoun_numbers: Words  # "one"
    before_pronoun: Words
    determiners: Words  # "the one set" is a number
    after_pronoun: Words
    sound_alikes: Numbers  # voice typing: "for", "ate"
    sure_sound_alikes: Words  # after such a word they can be nothing else
    before_sound_alike: Words
    after_sound_alike: Words
    set_nouns: Words
    joins: Words  # "and", "but"
    plural_endings: PhraseList
    glued_units: Meanings
    written_short: Meanings  # "b4", "2day": words with digits inside
    expansions: Meanings  # "can't" to "can not"
    contraction_endings: Meanings  # "n't" to "not"
    run_together: Words  # "didall"
    spelled: Words  # what slips are corrected to
    real_words: Words  # one slip from these, and left as typed
    foreign_words: Words  # the same, of other languages
    fillers: Words  # carry nothing by themselves
    topics: Words  # of which a therapist wants to read
    unheard: Words  # answer the evening's question, so that the ear must not hear anything in them

    @cached_property
    def with_signs(self) -> Meanings:
        """Of those written short the ones that are no single word: "a&e"."""
        return {short: meaning for short, meaning in self.written_short.items() if not short.isalnum()}


@dataclass(frozen=True)
class Signs:
    """Phrases for one family of signs, with how soon they must be seen, or which circumstance they tell.

    `flag` None: a complaint that is the condition itself (a weak grip), asked about and never stopped for.
    `forgivable`: a harmless cause, given and gone, takes them back.
    `anybodys`: may be said of someone else ("my wife called an ambulance" is not). `of_things`: may be said of a
    thing ("the lift got stuck"). `literal`: meant, even inside a figure of speech ("my chest is killing me").
    `stated`: a fact and no question, so that what takes a sign back takes it back. `unless`: the scope phrases that
    take it back wherever they stand in its sentence. `part`: what it adds to a sign of two parts (`Scope.together`).
    `limits`: least and most of its numbers in order; one within them is enough.
    """

    phrases: PhraseList
    flag: Annotated[Flag | None, Flag] = None
    urgency: Annotated[Urgency | None, Urgency] = None
    circumstance: Annotated[Circumstance | None, Circumstance] = None
    forgivable: bool = False
    anybodys: bool = True
    of_things: bool = False
    literal: bool = False
    stated: bool = True
    unless: str = ""
    part: str = ""
    limits: Annotated[tuple[tuple[float, float], ...], _limits] = ()


@dataclass(frozen=True)
class Scope:
    """scope.toml: the words that take a sign of danger back, or give it to someone else."""

    no: Words  # before a noun: "no numbness"
    not_: Words  # before a verb or adjective: "not numb", "never had"
    until_now: Words  # "never numb before": but now
    through_no: Words  # may stand between "no" and the noun
    through_not: Words
    only_after: Mapping[str, Words]  # of these, words that must follow certain others
    sign_nouns: Words
    sign_adjectives: Words  # not negated by a far "no": "no pain, numb hand"
    list_words: Words  # "or", "nor"
    and_: Words
    others: Words  # "mum", "he"
    others_and: Words  # "fell and broke": words before an "and" that goes on about the same person
    others_do: Words  # what follows somebody who is spoken of: "had", "his hand"
    through_other: Words
    turns: Words  # never between somebody and their sign: "i", "says", "when"
    says: Words
    nominative: Words  # "she": always who does
    body: Words  # what belongs to the one who writes, unless said otherwise
    owners: Words  # said otherwise: "his chest", "has chest pain"
    theirs: Words  # "bumped his head"
    sides: Words  # "his left arm"
    me: Words
    us: Words
    no_thing: Words  # "it", "bit": may be a part of the body
    determiners: Words
    openers: Words  # may stand before the somebody at the beginning of a clause
    topics: Words  # "film", "leaflet"
    about: Words
    gone: PhraseList
    not_gone: Words
    long_ago: PhraseList
    present: Words  # "now", "again": not long ago after all
    what_if: PhraseList
    causes: PhraseList
    passed: PhraseList
    otherwise: Words  # "otherwise fine" is not passed
    gone_to: Words  # "gone", "went": an end only where one of `after_gone` or nothing follows
    after_gone: Words
    because_it_hurts: PhraseList
    on_waking: PhraseList
    unhurt: PhraseList  # after a fall: the elbow is said to be fine
    other_place: PhraseList  # an injection elsewhere
    near_faint: PhraseList  # with the sets: a matter of pressure
    together: Runs  # parts of signs that are for today when told together

    @cached_property
    def sides_and_body(self) -> frozenset[str]:
        return self.sides | self.body


@dataclass(frozen=True)
class Weights:
    """How a weight used for the sets is told."""

    grams: Mapping[str, float]  # of one of each unit
    halves: Mapping[str, float]
    between: Words  # may stand between number and unit: "half a kilo"
    using: Words  # soon before it
    done: Words  # in its clause
    fillers: Words  # a clause of nothing else tells it by itself
    other: Words  # in its clause: another day, a wish, other things that are weighed


@dataclass(frozen=True)
class Sides:
    """How the sides are named."""

    names: Meanings
    nouns: Words  # after a side, which is then surely one
    both: Words
    between: Words  # two numbers
    not_a_side: Runs  # "right now", "sets left"


@dataclass(frozen=True)
class Beside:
    """beside.toml: what is told beside pain and sets."""

    wishes: Mapping[Wish, PhraseList]
    bare_wishes: Mapping[Wish, PhraseList]  # the whole text
    polite: Words  # left out of a whole text
    conditions: Words  # "if": what follows is not told
    condition: PhraseList  # "if i go": what follows is no wish
    wish_told: PhraseList  # "had to" stop
    through_wish: Words  # may stand between a denial and a wish: "do not ever stop"
    weights: Weights
    worse_morning: PhraseList
    too_heavy: PhraseList
    turned_worse: PhraseList  # of a complaint: "without pain", "suddenly"
    sides: Sides
