"""Signs of danger in a text, the most serious one, with what takes a sign back."""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from core.answers.lexicon import Lexicon, Scope, Signs
from core.answers.phrases import Match
from core.answers.tokens import BREAKS, STOPS, Token
from core.model import DANGER, Flag

_MASKED = Token("_")
_MANY_TABLETS = 8  # above any packet's daily maximum of single tablets; from memory, on the careful side


@dataclass(frozen=True, slots=True)
class Danger:
    """The most serious flag a text raises; `asked`: places inside a clinical question, whose numbers are no answer."""

    flag: Flag | None
    asked: frozenset[int]


def find_danger(
    tokens: Sequence[Token], lexicon: Lexicon, of_messages: AbstractSet[int] = frozenset()
) -> Danger:
    """What the text raises, if anything.

    `of_messages`: places of tokens that ask about the messages themselves, so that they are no clinical question.
    """
    seen = _without_figures(tokens, lexicon)
    signs = [
        sign for sign in _signs(seen, lexicon) if sign.kind.flag in DANGER or sign.start not in of_messages
    ]
    raised = {sign.kind.flag for sign in signs}
    if _took_many(tokens, lexicon):
        raised.add(Flag.URGENT)
    questions = (sign for sign in signs if sign.kind.flag is Flag.CLINICAL_QUESTION)
    asked = frozenset(at for sign in questions for at in range(sign.start + 1, sign.end))
    return Danger(next((flag for flag in Flag if flag in raised), None), asked)


def _without_figures(tokens: Sequence[Token], lexicon: Lexicon) -> list[Token]:
    """Figures of speech made unreadable, so that no sign is found inside one."""
    seen = list(tokens)
    for match in lexicon.figures.find(tokens):
        seen[match.start : match.end] = [_MASKED] * (match.end - match.start)
    return seen


def _took_many(tokens: Sequence[Token], lexicon: Lexicon) -> bool:
    return any(max(match.numbers) > _MANY_TABLETS for match in lexicon.doses.find(tokens))


def _signs(tokens: list[Token], lexicon: Lexicon) -> list[Match[Signs]]:
    found = list(lexicon.dangers.find(tokens))
    if not found:
        return []
    dangers = [match for match in found if match.kind.flag in DANGER]
    inside = {at for match in dangers for at in range(match.start, match.end)}
    around = list(lexicon.scopes.find(tokens))
    harmless = _harmless(around)
    return [
        match
        for match in found
        if match.kind.flag not in DANGER
        or not ((harmless and match.kind.forgivable) or _taken_back(tokens, match, around, inside, lexicon))
    ]


def _harmless(around: Sequence[Match[str]]) -> bool:
    """A harmless cause is given, and it has passed."""
    kinds = {match.kind for match in around}
    return {"causes", "passed"} <= kinds


def _taken_back(
    tokens: Sequence[Token], sign: Match[Signs], around: Sequence[Match[str]], inside: set[int], lexicon: Lexicon
) -> bool:
    scope = lexicon.scope
    if _denied(tokens, sign, inside, lexicon) or (sign.kind.anybodys and _someone_else(tokens, sign, scope)):
        return True
    if sign.kind.flag is Flag.DISTRESS:
        return False
    if _in_sentence(tokens, sign, around, "long_ago") or _after(tokens, sign, around, "what_if"):
        return True
    return sign.kind.flag is Flag.RED_FLAG and _gone(tokens, sign, around, scope)


def _denied(tokens: Sequence[Token], sign: Match[Signs], inside: set[int], lexicon: Lexicon) -> bool:
    """ "no numbness or tingling", "is not numb": a denial before it, with nothing between that ends its reach."""
    scope = lexicon.scope
    adjective = tokens[sign.start].text in lexicon.sign_adjectives
    for at in range(sign.start - 1, -1, -1):
        word = tokens[at].text
        between = range(at + 1, sign.start)
        if word in scope.not_ and all(tokens[i].text in scope.through_not or i in inside for i in between):
            return True
        if word in scope.no and all(_through_no(tokens, i, sign, inside, scope) for i in between):
            return not adjective or at == sign.start - 1
        if not _passable(tokens, at, sign, inside, scope):
            return False
    return False


def _passable(tokens: Sequence[Token], at: int, sign: Match[Signs], inside: set[int], scope: Scope) -> bool:
    return (
        at in inside
        or tokens[at].text in scope.through_not | scope.through_no
        or _through_no(tokens, at, sign, inside, scope)
    )


def _through_no(
    tokens: Sequence[Token], at: int, sign: Match[Signs], inside: set[int], scope: Scope
) -> bool:
    """May "no" reach over this token: a noun, a list word, or the comma of a list of signs."""
    word = tokens[at].text
    if word in scope.through_no or word in scope.list_words or at in inside:
        return True
    if word not in scope.and_ and word != ",":
        return False
    after = tokens[sign.end].text if sign.end < len(tokens) else ""
    return at - 1 in inside or after in scope.list_words or tokens[sign.start - 1].text in scope.list_words


def _someone_else(tokens: Sequence[Token], sign: Match[Signs], scope: Scope) -> bool:
    """ "my mum had a stroke", "a film about a stroke": the sign belongs to a person or thing named just before."""
    for at in range(sign.start - 1, -1, -1):
        word = tokens[at].text
        if word in scope.others:
            return True
        if word in scope.topics:
            return sign.kind.flag is not Flag.DISTRESS or word != "ward"
        if word not in scope.through_other and word != "about":
            return False
    return False


def _sentence(tokens: Sequence[Token], sign: Match[Signs]) -> tuple[int, int]:
    start = next((at + 1 for at in range(sign.start - 1, -1, -1) if tokens[at].text in STOPS), 0)
    end = next((at for at in range(sign.end, len(tokens)) if tokens[at].text in STOPS), len(tokens))
    return start, end


def _in_sentence(tokens: Sequence[Token], sign: Match[Signs], around: Sequence[Match[str]], kind: str) -> bool:
    start, end = _sentence(tokens, sign)
    return any(match.kind == kind and start <= match.start and match.end <= end for match in around)


def _after(tokens: Sequence[Token], sign: Match[Signs], around: Sequence[Match[str]], kind: str) -> bool:
    """A phrase of that kind stands before the sign in its sentence: "what if it goes numb"."""
    start, _ = _sentence(tokens, sign)
    return any(match.kind == kind and start <= match.start < sign.start for match in around)


_GONE_WITHIN = 4  # words between a sign and "has gone"


def _gone(tokens: Sequence[Token], sign: Match[Signs], around: Sequence[Match[str]], scope: Scope) -> bool:
    for match in around:
        if match.kind != "gone" or not sign.end <= match.start <= sign.end + _GONE_WITHIN:
            continue
        words = {token.text for token in tokens[sign.end : match.end + 1]}
        broken = any(token.text in BREAKS for token in tokens[sign.end : match.start])
        if not broken and not words & scope.not_gone:
            return True
    return False
