"""What takes a sign of danger back: a denial, somebody else, long ago, a harmless cause that has passed.

Wherever the words leave it open, the sign stands.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum, auto
from itertools import accumulate
from typing import Self

from core.answers.lexicon import Lexicon
from core.answers.phrases import Match
from core.answers.tokens import BREAKS, STOPS, Token
from core.answers.wordlists import Scope, Signs
from core.model import Flag

_ANYWHERE = 10_000
_BESIDE = 2  # words between despair and "ten years ago", lest "I used to be happy" take it back
_GONE_WITHIN = 4  # words between a sign and "has gone"
_FREE = 5  # words of no known kind that may stand between somebody and their sign
_ADJECTIVES = 3  # places before somebody in which "the" is looked for
_REACH = 30  # words that a denial or somebody reaches at most: a longer list is no list
_CLAUSE = 12  # words before a sign in which its thing is looked for
_LAST = 20  # phrases from the end on that are looked at for "it passed"
_THING = 2  # words a thing takes at least: "the lift"


class Taken(Enum):
    """Whether a sign is taken back, and how."""

    NOT = auto()
    BACK = auto()
    IMAGINED = auto()  # "what if it goes numb"
    DOUBTED = auto()  # "fell off my bike, but the elbow is fine": stands, and is asked about


@dataclass(frozen=True, slots=True)
class Told:
    """One text with its signs. `inside`: places inside any sign; `around`: the phrases that can take one back, by kind
    and in order; `sentences`: where they begin and end; `present`: how many words of the present stand before a place.
    """

    tokens: Sequence[Token]
    inside: frozenset[int]
    around: Mapping[str, Sequence[Match[str]]]
    sentences: Sequence[int]
    present: Sequence[int]
    scope: Scope

    @classmethod
    def of(cls, tokens: Sequence[Token], signs: Sequence[Match[Signs]], lexicon: Lexicon) -> Self:
        inside = frozenset(at for sign in signs for at in range(sign.start, sign.end))
        around: dict[str, list[Match[str]]] = {}
        for match in lexicon.scopes.find(tokens) if signs else ():
            around.setdefault(match.kind, []).append(match)
        sentences = [at for at, token in enumerate(tokens) if token.text in STOPS]
        present = [0, *accumulate(token.text in lexicon.scope.present for token in tokens)]
        return cls(tokens, inside, around, sentences, present, lexicon.scope)

    def taken_back(self, sign: Match[Signs]) -> Taken:
        """Does the text take this sign back?"""
        if self._denied(sign) or (sign.kind.anybodys and self._someone_else(sign)):
            return Taken.BACK
        if sign.kind.of_things and self._of_a_thing(sign):
            return Taken.BACK
        if sign.kind.flag is Flag.DISTRESS:
            return Taken.BACK if self._long_ago(sign, _BESIDE) else Taken.NOT
        if any(match.start < sign.start for match in self._in_sentence(sign, "what_if")[:1]):
            return Taken.IMAGINED
        if sign.kind.unless and self._in_sentence(sign, sign.kind.unless):
            return Taken.BACK
        if self._long_ago(sign) or (sign.kind.flag is Flag.RED_FLAG and self._gone(sign)):
            return Taken.BACK
        if sign.kind.forgivable and self._passed(sign):
            return Taken.BACK
        return Taken.DOUBTED if sign.kind.part == "injury" and self._in_sentence(sign, "unhurt") else Taken.NOT

    def _denied(self, sign: Match[Signs]) -> bool:
        """ "no numbness or tingling", "is not numb": a denial before it that reaches it."""
        for at in range(sign.start - 1, max(sign.start - 1 - _REACH, -1), -1):
            word = self.tokens[at].text
            between = range(at + 1, sign.start)
            if word in self.scope.not_ and all(self._through_not(place) for place in between):
                return self.tokens[sign.end].text not in self.scope.until_now
            if word in self.scope.no and all(self._through_no(place, sign) for place in between):
                adjective = self.tokens[sign.start].text in self.scope.sign_adjectives
                return at == sign.start - 1 or not (adjective or self._stands_beside(sign))
            if not (self._through_not(at) or self._through_no(at, sign)):
                return False
        return False

    def _through_not(self, at: int) -> bool:
        """May "not" reach over this word?"""
        word = self.tokens[at].text
        if at in self.inside or word in self.scope.list_words:
            return True
        return (word in self.scope.through_not or word in self.scope.sign_nouns) and self._follows(at)

    def _follows(self, at: int) -> bool:
        """Does this word stand after one of those that it must follow, if any?"""
        after = self.scope.only_after.get(self.tokens[at].text)
        return after is None or self.tokens[at - 1].text in after

    def _through_no(self, at: int, sign: Match[Signs]) -> bool:
        """May "no" reach over this word: a noun, a list word, or the comma of a list of signs?"""
        word = self.tokens[at].text
        if at in self.inside or word in self.scope.through_no | self.scope.sign_nouns | self.scope.list_words:
            return True
        listed = at - 1 in self.inside or self._in_list(sign)
        return listed and (word == "," or word in self.scope.and_)

    def _in_list(self, sign: Match[Signs]) -> bool:
        """Does "or" stand directly before or after the sign?"""
        neighbours = (self.tokens[sign.start - 1].text, self.tokens[sign.end].text)
        return not self.scope.list_words.isdisjoint(neighbours)

    def _stands_beside(self, sign: Match[Signs]) -> bool:
        """ "no pain tingling in fingers": a noun before it without "or" takes the "no" for itself."""
        return self.tokens[sign.start - 1].text in self.scope.sign_nouns and not self._in_list(sign)

    def _someone_else(self, sign: Match[Signs]) -> bool:
        """ "my mum had a stroke", "a film about a stroke": the sign belongs to whom or what was just named."""
        free = _FREE
        said = {token.text for token in self.tokens[sign.start : sign.end]}
        if not (self._may_be_theirs(sign.start) and said.isdisjoint(self.scope.me)):
            return False
        if not said.isdisjoint(self.scope.theirs):
            return True
        for at in range(sign.start - 1, max(sign.start - 1 - _REACH, -1), -1):
            word = self.tokens[at].text
            if word in self.scope.others:
                return self._is_subject(at)
            if word in self.scope.topics:
                return True
            goes_on = word in self.scope.and_ and self.tokens[at - 1].text in self.scope.others_and
            if not goes_on and word not in self.scope.through_other | self.scope.about:
                free -= 1
                quoted = word in self.scope.says and sign.kind.flag is Flag.DISTRESS  # "my son says life is hell"
                if not free or (word in self.scope.turns | BREAKS and not quoted):
                    return False
            if not self._may_be_theirs(at):
                return False
        return False

    def _may_be_theirs(self, at: int) -> bool:
        """ "his chest", "has chest pain"; a part of the body that nobody is said to own is the writer's."""
        if self.tokens[at].text not in self.scope.body:
            return True
        before = at - 1
        while before >= max(at - _REACH, 0) and self.tokens[before].text in self.scope.sides_and_body:
            before -= 1
        return before >= 0 and self.tokens[before].text in self.scope.owners | self.scope.others

    def _is_subject(self, at: int) -> bool:
        """ "my son had ...", not "lifted my son and ...": somebody who does, or begins the clause."""
        if self.tokens[at].text in self.scope.nominative or self.tokens[at + 1].text in self.scope.others_do:
            return True
        before = at - 1
        for place in range(at - 1, max(at - 1 - _ADJECTIVES, -1), -1):  # "the old man", "me wee brother"
            if self.tokens[place].text in self.scope.determiners:
                before = place
                break
        while before >= max(at - _REACH, 0) and self.tokens[before].text in self.scope.determiners:
            before -= 1
        return before < 0 or self._opens(before)

    def _opens(self, at: int) -> bool:
        token = self.tokens[at]
        return token.value is not None or token.text in self.scope.openers | BREAKS

    def _of_a_thing(self, sign: Match[Signs]) -> bool:
        """ "the lift got stuck", "the tea they gave us was weak": a thing is named first, and no body and no "i"."""
        start = sign.start
        while start > max(sign.start - _CLAUSE, 0) and not self._opens(start - 1):
            start -= 1
        if sign.start - start < _THING or self.tokens[start].text not in self.scope.determiners:
            return False
        words = {token.text for token in self.tokens[start + 1 : sign.end]}
        return words.isdisjoint(self.scope.body | self.scope.me | self.scope.no_thing)

    def _between(self, kind: str, start: int, end: int) -> Sequence[Match[str]]:
        """The phrases of that kind that begin from `start` to before `end`."""
        phrases = self.around.get(kind, ())
        first = bisect_left(phrases, start, key=_start)
        return phrases[first : bisect_left(phrases, end, lo=first, key=_start)]

    def _in_sentence(self, sign: Match[Signs], kind: str) -> Sequence[Match[str]]:
        """The phrases of that kind in the sign's sentence."""
        before, after = bisect_left(self.sentences, sign.start), bisect_left(self.sentences, sign.end)
        start = self.sentences[before - 1] + 1 if before else 0
        return self._between(kind, start, self.sentences[after])

    def _long_ago(self, sign: Match[Signs], within: int = _ANYWHERE) -> bool:
        """Of the phrases before and after the sign the nearest decides: one further off has the same words between."""
        ago = self._in_sentence(sign, "long_ago")
        after = bisect_left(ago, sign.start, key=_start)
        for match in (*ago[max(after - 1, 0) : after], *ago[after : after + 1]):
            near = max(sign.start - match.end, match.start - sign.end) <= within
            if near and self.present[min(sign.start, match.start)] == self.present[max(sign.end, match.end)]:
                return True
        return False

    def _gone(self, sign: Match[Signs]) -> bool:
        """ "the numbness has gone": said soon after the sign, in the same clause."""
        for match in self._between("gone", sign.end, sign.end + _GONE_WITHIN + 1):
            between = {token.text for token in self.tokens[sign.end : match.start]}
            after = self.tokens[match.end].text if match.end < len(self.tokens) else ""
            ends = self._ends(match) and after not in self.scope.not_gone
            if ends and between.isdisjoint(BREAKS | self.scope.not_gone):
                return True
        return False

    def _ends(self, match: Match[str]) -> bool:
        """ "has gone", "has gone away", not "has gone white" or "has gone into my thumb"."""
        if self.tokens[match.end - 1].text not in self.scope.gone_to or match.end >= len(self.tokens):
            return True
        after = self.tokens[match.end]
        return after.value is not None or after.text in BREAKS | self.scope.after_gone

    def _passed(self, sign: Match[Signs]) -> bool:
        """A harmless cause is given, and after the sign it is said to have passed."""
        if "causes" not in self.around:
            return False
        return any(self._is_passed(match) for match in self._between("passed", sign.end, sign.end + _ANYWHERE)[-_LAST:])

    def _is_passed(self, match: Match[str]) -> bool:
        beside = {self.tokens[match.start - 1].text, self.tokens[min(match.end, len(self.tokens) - 1)].text}
        return self._ends(match) and self.scope.otherwise.isdisjoint(beside)


def _start(match: Match[str]) -> int:
    return match.start
