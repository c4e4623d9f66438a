"""The words around a sign or a weight that say whether it is meant: their kinds, as a language fills them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from core.answers.phrases import Phrases


@dataclass(frozen=True)
class Scope:
    """The words that take a sign of danger back, or give it to someone else."""

    no: frozenset[str]  # before a noun: "no numbness"
    not_: frozenset[str]  # before a verb or adjective: "not numb", "never had"
    until_now: frozenset[str]  # "never numb before": but now
    through_no: frozenset[str]  # may stand between "no" and the noun
    through_not: frozenset[str]
    only_after: Mapping[str, frozenset[str]]  # of these, words that must follow certain others
    sign_nouns: frozenset[str]
    list_words: frozenset[str]  # "or", "nor"
    and_: frozenset[str]
    others: frozenset[str]  # "mum", "he"
    others_and: frozenset[str]  # "fell and broke": words before an "and" that goes on about the same person
    others_do: frozenset[str]  # what follows somebody who is spoken of: "had", "his hand"
    through_other: frozenset[str]
    turns: frozenset[str]  # never between somebody and their sign: "i", "says", "when"
    says: frozenset[str]
    nominative: frozenset[str]  # "she": always who does
    body: frozenset[str]  # what belongs to the one who writes, unless said otherwise
    owners: frozenset[str]  # said otherwise: "his chest", "has chest pain"
    theirs: frozenset[str]  # "bumped his head"
    sides: frozenset[str]  # "his left arm"
    me: frozenset[str]
    us: frozenset[str]
    no_thing: frozenset[str]  # "it", "bit": may be a part of the body
    determiners: frozenset[str]
    openers: frozenset[str]  # may stand before the somebody at the beginning of a clause
    topics: frozenset[str]  # "film", "leaflet"
    about: frozenset[str]
    gone: Phrases
    not_gone: frozenset[str]
    long_ago: Phrases
    present: frozenset[str]  # "now", "again": not long ago after all
    what_if: Phrases
    causes: Phrases
    passed: Phrases
    otherwise: frozenset[str]  # "otherwise fine" is not passed
    gone_to: frozenset[str]  # "gone", "went": an end only where one of `after_gone` or nothing follows
    after_gone: frozenset[str]
    because_it_hurts: Phrases
    on_waking: Phrases
    unhurt: Phrases  # after a fall: the elbow is said to be fine
    other_place: Phrases  # an injection elsewhere
    near_faint: Phrases  # with the sets: a matter of pressure

    @cached_property
    def sides_and_body(self) -> frozenset[str]:
        return self.sides | self.body


@dataclass(frozen=True, slots=True)
class Weights:
    """How a weight used for the sets is told."""

    grams: Mapping[str, float]  # of one of each unit
    halves: Mapping[str, float]
    between: frozenset[str]  # may stand between number and unit: "half a kilo"
    using: frozenset[str]  # soon before it
    done: frozenset[str]  # in its clause
    fillers: frozenset[str]  # a clause of nothing else tells it by itself
    other: frozenset[str]  # in its clause: another day, a wish, other things that are weighed
