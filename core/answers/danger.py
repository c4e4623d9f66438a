"""Signs of danger in a text, and the most serious flag they raise."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from core.answers.lexicon import Lexicon
from core.answers.phrases import Match
from core.answers.taken_back import Taken, Told
from core.answers.tokens import STOPS, Token
from core.answers.wordlists import Signs
from core.model import DANGER, Flag
from core.understanding import Circumstance, Urgency

_AT_ONCE = (Flag.URGENT, Flag.DISTRESS)
_IMAGINED = Signs(phrases=(), flag=Flag.CLINICAL_QUESTION)
_SURE = 12  # grave signs of one family that stand: after so many all do
_MASKED = Token("_")
_ASKED = "?"


@dataclass(frozen=True, slots=True)
class Danger:
    """The most serious flag a text raises, and what stands beside it.

    `doubted`: its signs are said to have left the elbow unhurt. `complaint`: a weak grip and the like, not said
    whether because it hurts. `asked`: places inside a clinical question, whose numbers are no answer; `grave`: places
    inside a grave sign, whose words are none ("I am done with everything"); `heard`: places inside any sign or
    question that stands.
    """

    flag: Flag | None
    asked: frozenset[int]
    grave: frozenset[int]
    urgency: Urgency | None = None
    circumstance: Circumstance | None = None
    complaint: bool = False
    heard: frozenset[int] = frozenset()
    doubted: bool = False


def find_danger(
    tokens: Sequence[Token], lexicon: Lexicon, of_messages: AbstractSet[int] = frozenset()
) -> Danger:
    """What the text raises, if anything.

    `of_messages`: places of tokens that ask about the messages themselves, so that they are no clinical question.
    """
    found = [*lexicon.dangers.find(_without_figures(tokens, lexicon)), *lexicon.literal_dangers.find(tokens)]
    signs = [sign for sign in found if _within_limits(sign)]
    questions = [sign for sign in signs if not sign.kind.stated and sign.start not in of_messages]
    standing = list(_standing(tokens, [sign for sign in signs if sign.kind.stated], lexicon))
    raised = [_IMAGINED if taken is Taken.IMAGINED else sign.kind for sign, taken in standing]
    real = [sign for sign, taken in standing if taken is not Taken.IMAGINED]
    doubted = {id(sign.kind) for sign, taken in standing if taken is Taken.DOUBTED}
    flags = {sign.flag for sign in raised}
    if questions:
        flags.add(Flag.CLINICAL_QUESTION)
    asked = _asked(tokens, questions)
    flag = next((flag for flag in Flag if flag in flags), None)
    told = [sign for sign in raised if sign.flag is flag is not None]
    return Danger(
        flag,
        asked,
        _places(sign for sign in real if sign.kind.flag in _AT_ONCE),
        _urgency(flag, told, raised, lexicon),
        next((sign.circumstance for sign in raised if sign.circumstance), None),
        complaint=flag not in DANGER and None in flags,
        heard=_places(real) | asked | frozenset(sign.start for sign in questions),
        doubted=all(id(sign) in doubted for sign in told) and bool(told),
    )


def _places(signs: Iterable[Match[Signs]]) -> frozenset[int]:
    return frozenset(at for sign in signs for at in range(sign.start, sign.end))


def _within_limits(sign: Match[Signs]) -> bool:
    """ "190 over 95": one of the numbers lies where it makes the sign."""
    limits = sign.kind.limits
    return not limits or any(low <= number <= high for number, (low, high) in zip(sign.numbers, limits, strict=False))


def _urgency(flag: Flag | None, told: Sequence[Signs], raised: Sequence[Signs], lexicon: Lexicon) -> Urgency | None:
    """The soonest that the signs of the flag ask for; two parts of one sign ("fell", "can not lift it") today."""
    if flag in _AT_ONCE:
        return Urgency.NOW
    urgencies = {sign.urgency for sign in told}
    parts = {sign.part for sign in raised}
    if flag is Flag.RED_FLAG and any(parts.issuperset(together) for together in lexicon.scope.together):
        urgencies.add(Urgency.TODAY)
    return next((urgency for urgency in Urgency if urgency in urgencies), None)


def _asked(tokens: Sequence[Token], questions: Sequence[Match[Signs]]) -> frozenset[int]:
    """The places inside questions; each ends at its question mark if it has one."""
    stops = [at for at, token in enumerate(tokens) if token.text in STOPS]
    places: set[int] = set()
    covered = 0
    for sign in sorted(questions, key=lambda sign: sign.start):
        after = bisect_left(stops, sign.end)
        marked = after < len(stops) and tokens[stops[after]].text == _ASKED
        end = stops[after] if marked else sign.end
        places.update(range(max(sign.start + 1, covered), end))
        covered = max(covered, end)
    return frozenset(places)


def _without_figures(tokens: Sequence[Token], lexicon: Lexicon) -> list[Token]:
    """Figures of speech made unreadable, so that no sign is found inside one."""
    seen = list(tokens)
    for match in lexicon.figures.find(tokens):
        seen[match.start : match.end] = [_MASKED] * (match.end - match.start)
    return seen


def _standing(
    tokens: Sequence[Token], signs: Sequence[Match[Signs]], lexicon: Lexicon
) -> Iterator[tuple[Match[Signs], Taken]]:
    """The signs that stand, in order, and those only imagined ("what if it goes numb"), which are questions.

    Of a family one that stands is enough; of a grave one the words of all are wanted.
    """
    told = Told.of(tokens, signs, lexicon)
    stand: Counter[int] = Counter()  # families by how many of their signs stand
    for sign in signs:
        grave = sign.kind.flag in _AT_ONCE
        enough = stand[id(sign.kind)] >= (_SURE if grave else 1)
        if enough and not grave:
            continue
        taken = Taken.NOT if enough else told.taken_back(sign)
        if taken is Taken.BACK or (taken is Taken.IMAGINED and sign.kind.flag is None):
            continue
        stand[id(sign.kind)] += taken is not Taken.IMAGINED
        yield sign, taken
