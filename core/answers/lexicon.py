"""What a language brings: words, phrases and spelling as data. The mechanism that reads them knows no language."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from core.answers.phrases import Classes, Phrasebook, Phrases, words_of
from core.answers.scope import Scope, Weights
from core.answers.tokens import Speller
from core.model import Circumstance, Flag, Urgency, Wish

_BROKEN = re.compile(r"\|\s*\n\s*")


def phrases(text: str) -> Phrases:
    """Phrases out of a block of text, one a line or with semicolons between; a line may break after "|"."""
    lines = _BROKEN.sub("|", text).splitlines()
    return tuple(phrase for line in lines for part in line.split(";") if (phrase := part.strip()))


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


@dataclass(frozen=True, slots=True)
class Signs:
    """Phrases for one family of signs, with how soon they must be seen, or which circumstance they tell.

    `flag` None: a complaint that is the condition itself (a weak grip), asked about and never stopped for.
    `forgivable`: a harmless cause, given and gone, takes them back.
    `anybodys`: may be said of someone else ("my wife called an ambulance" is not). `of_things`: may be said of a
    thing ("the lift got stuck"). `literal`: meant, even inside a figure of speech ("my chest is killing me").
    `stated`: a fact and no question, so that what takes a sign back takes it back. `unless`: the scope phrases that
    take it back wherever they stand in its sentence. `part`: what it adds to a sign of two parts (`Lexicon.together`).
    `limits`: least and most of its numbers in order; one within them is enough.
    """

    flag: Flag | None
    phrases: Phrases
    urgency: Urgency | None = None
    circumstance: Circumstance | None = None
    forgivable: bool = False
    anybodys: bool = True
    of_things: bool = False
    literal: bool = False
    stated: bool = True
    unless: str = ""
    part: str = ""
    limits: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Lexicon:
    """One language. Every phrase is in the notation of `core.answers.phrases`."""

    number_words: Mapping[str, int]
    tens: frozenset[str]
    and_a_half: tuple[tuple[str, ...], ...]
    point: str
    of: str
    out_of: tuple[str, str]  # "a for out of ten"
    pronoun_numbers: frozenset[str]  # "one"
    before_pronoun: frozenset[str]
    determiners: frozenset[str]  # "the one set" is a number
    after_pronoun: frozenset[str]
    sound_alikes: Mapping[str, int]  # voice typing: "for", "ate"
    sure_sound_alikes: frozenset[str]  # after such a word they can be nothing else
    before_sound_alike: frozenset[str]
    after_sound_alike: frozenset[str]
    set_nouns: frozenset[str]
    joins: frozenset[str]  # "and", "but"
    plural_endings: tuple[str, ...]
    glued_units: Mapping[str, str]
    written_short: Mapping[str, str]  # "b4", "2day": words with digits inside
    expansions: Mapping[str, str]  # "can't" to "can not"
    contraction_endings: Mapping[str, str]  # "n't" to "not"
    classes: Classes
    says: Mapping[Says, Phrases]
    idioms: Phrases  # figures of speech
    signs: tuple[Signs, ...]
    sign_adjectives: frozenset[str]  # not negated by a far "no": "no pain, numb hand"
    together: tuple[frozenset[str], ...]  # parts of signs that are for today when told together
    wishes: Mapping[Wish, Phrases]
    bare_wishes: Mapping[str, Wish]  # the whole text
    polite: frozenset[str]  # left out of a whole text
    scope: Scope
    weights: Weights
    worse_morning: Phrases
    too_heavy: Phrases
    topics: frozenset[str]  # of which a therapist wants to read
    turned_worse: Phrases  # of a complaint: "without pain", "suddenly"
    conditions: frozenset[str]  # "if": what follows is not told
    condition: Phrases  # "if i go": what follows is no wish
    wish_told: Phrases  # "had to" stop
    through_wish: frozenset[str]  # may stand between a denial and a wish: "do not ever stop"
    run_together: frozenset[str]  # "didall"
    spelled: frozenset[str]  # what slips are corrected to
    real_words: frozenset[str] = field(repr=False)  # one slip from these, and left as typed
    foreign_words: frozenset[str] = field(repr=False)  # the same, of other languages
    fillers: frozenset[str] = field(repr=False)  # carry nothing by themselves
    others: Mapping[str, frozenset[str]] = field(repr=False)  # small words of languages that this one is told from

    @cached_property
    def after_whole(self) -> frozenset[str]:
        """What goes on with a number: "and a half", "point 5"."""
        return frozenset({self.point, *(words[0] for words in self.and_a_half)})

    @cached_property
    def answers(self) -> Phrasebook[Says]:
        return Phrasebook(self.says.items(), self.classes, over_numbers=False)

    @cached_property
    def figures(self) -> Phrasebook[None]:
        return Phrasebook([(None, self.idioms)], self.classes)

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
        return Phrasebook(self.wishes.items(), self.classes)

    @cached_property
    def conditional(self) -> Phrasebook[None]:
        return Phrasebook([(None, self.condition)], self.classes)

    @cached_property
    def told_wish(self) -> Phrasebook[None]:
        return Phrasebook([(None, self.wish_told)], self.classes)

    @cached_property
    def worse_mornings(self) -> Phrasebook[None]:
        return Phrasebook([(None, self.worse_morning)], self.classes)

    @cached_property
    def heavies(self) -> Phrasebook[None]:
        return Phrasebook([(None, self.too_heavy)], self.classes)

    @cached_property
    def turns(self) -> Phrasebook[None]:
        return Phrasebook([(None, self.turned_worse)], self.classes)

    @cached_property
    def scopes(self) -> Phrasebook[str]:
        """Words of `scope` that stand anywhere in the sentence, by field name."""
        names = ["gone", "long_ago", "what_if", "causes", "passed"]
        names += ["because_it_hurts", "on_waking", "near_faint", "other_place", "unhurt"]
        return Phrasebook([(name, getattr(self.scope, name)) for name in names], self.classes)

    @cached_property
    def answer_words(self) -> frozenset[str]:
        return frozenset[str]().union(*(words_of(group, self.classes) for group in self.says.values()))

    @cached_property
    def vocabulary(self) -> frozenset[str]:
        groups = [*self.says.values(), self.idioms, *(family.phrases for family in self.signs)]
        groups += [*self.wishes.values(), self.scope.gone, self.scope.causes, self.scope.passed]
        words = frozenset[str]().union(*(words_of(group, self.classes) for group in groups))
        return words | self.number_words.keys() | self.sound_alikes.keys() | self.expansions.keys()

    @cached_property
    def speller(self) -> Speller:
        return Speller(self.spelled, self.known, self.run_together, self.foreign_words | self.languages_of.keys())

    @cached_property
    def languages_of(self) -> Mapping[str, tuple[str, ...]]:
        """In which other languages a word is a small word."""
        words = frozenset[str]().union(*self.others.values())
        return {word: tuple(name for name, small in self.others.items() if word in small) for word in words}

    @cached_property
    def plain(self) -> frozenset[str]:
        """Words that tell nothing but an answer or a wish, or nothing at all: not those of signs."""
        wishes = frozenset[str]().union(*(words_of(group, self.classes) for group in self.wishes.values()))
        return self.answer_words | wishes | self.polite | self.fillers

    @cached_property
    def known(self) -> frozenset[str]:
        """Every word of the language that is listed for whatever reason."""
        return self.vocabulary | self.real_words | self.fillers
