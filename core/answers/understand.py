"""From one typed text to what it clearly gives."""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Self

from core.answers.danger import Danger, find_danger
from core.answers.ear import Ear, load, weigh
from core.answers.items import BETWEEN, Item, find_weight, is_told, items_of, unread
from core.answers.lexicon import Lexicon, lexicon_of
from core.answers.pain_and_sets import Answers, find_answers
from core.answers.phrases import Match, Phrasebook
from core.answers.reading import END, read, readable, readable_part
from core.answers.tokens import BREAKS, Token
from core.answers.wordlists import SETS_IN_WORDS, phrases
from core.model import DANGER, Flag
from core.understanding import Question, Unclear, Understanding, Wish

_MOST_TOKENS = 250  # of one answer; danger is looked for in all of a text

_NEEDS = {
    Question.BOTH: (Question.PAIN, Question.SETS),
    Question.PAIN: (Question.PAIN,),
    Question.SETS: (Question.SETS,),
}


def understand(
    text: str, language: str = "en", question: Question | str = Question.BOTH, prescribed: int = 4
) -> Understanding:
    """What `text` gives in answer to the open `question` when `prescribed` sets were asked of the day.

    Pure; never raises on any text. Only what is clearly given is taken: pain 0 to 10, sets 0 to `prescribed`, with
    what was told beyond them apart. A
    language without a lexicon of its own is read with the English one. A text in a language that cannot be read gives
    digits that stand alone, and all of it as unread. ValueError for an unknown `question`.
    """
    lexicon = lexicon_of(language)
    if readable(text, lexicon):
        return _understood(lexicon, text, Question(question), prescribed, load(lexicon.language))
    part = _understood(lexicon, readable_part(text, lexicon), Question(question), prescribed)
    return replace(part, unread=text.strip(), unreadable=True)


def _understood(
    lexicon: Lexicon, text: str, question: Question, prescribed: int, ear: Ear | None = None
) -> Understanding:
    tokens = read(text, lexicon)
    wished = find_wish(tokens, lexicon)
    danger = find_danger(tokens, lexicon, of_messages=wished.places)
    verdict = weigh(danger, ear, text)
    answer = tokens if len(tokens) <= _MOST_TOKENS else [*tokens[:_MOST_TOKENS], END]
    said = items_of(answer, lexicon)
    items = [item for item in said if _may_answer(item, danger)]
    answers = find_answers(items, question, max(prescribed, 0))
    understood = _understanding(answers, verdict.flag, _wish(wished.wish, verdict.flag, answers), question, prescribed)
    used = {understood.pain, understood.sets, (understood.sets or 0) + understood.sets_above}
    return replace(
        understood,
        urgency=verdict.urgency,
        circumstance=danger.circumstance,
        maybe=verdict.maybe,
        complaint=verdict.complaint,
        worse=verdict.complaint and any(True for _ in lexicon.turns.find(tokens)),
        weight_g=find_weight(answer, lexicon),
        unread=unread(tokens, said, used, danger.heard | wished.places, lexicon),
        worse_on_waking=is_told(answer, lexicon.worse_mornings, lexicon),
        too_heavy=is_told(answer, lexicon.heavies, lexicon),
    )


def _may_answer(item: Item, danger: Danger) -> bool:
    return item.start not in danger.asked and not (item.says in SETS_IN_WORDS and item.start in danger.grave)


def _wish(wish: Wish | None, flag: Flag | None, answers: Answers) -> Wish | None:
    if wish is Wish.HELP and flag in DANGER:
        return None  # the flag's own reply is the help
    return Wish.CORRECT if wish is None and answers.repairs else wish


def _understanding(
    answers: Answers, flag: Flag | None, wish: Wish | None, question: Question, prescribed: int
) -> Understanding:
    sets = answers.sets if prescribed > 0 else (None, None)
    settled = {Question.PAIN: answers.pain, Question.SETS: sets}
    needed = [part for part in _NEEDS[question] if part is Question.PAIN or prescribed > 0]
    missing = [part for part in needed if settled[part][0] is None]
    unclear = [
        (part, why or (answers.instead if part is missing[0] else Unclear.NOTHING))
        for part, (number, why) in settled.items()
        if number is None and (why or part in missing)
    ]
    told = sets[0]
    above = max(told - prescribed, 0) if told is not None else 0
    done = None if told is None else told - above
    return Understanding(answers.pain[0], done, flag, wish, tuple(unclear), sets_above=above)


_NEAR_A_WISH = 3  # words between somebody and what they do
_REACH = 8  # words that a denial reaches at most
_ORDER = (Wish.STOP, Wish.PAUSE, Wish.CORRECT, Wish.HELP)


@dataclass(frozen=True, slots=True)
class Wished:
    """The wish a text states, and the places of the tokens that state it."""

    wish: Wish | None = None
    places: frozenset[int] = frozenset()


def find_wish(tokens: Sequence[Token], lexicon: Lexicon) -> Wished:
    """What is wanted of the messages, if anything. "stop until monday" is a pause."""
    words = " ".join(token.text for token in tokens if token.text not in lexicon.beside.polite)
    if words in lexicon.bare_wishes:
        return Wished(lexicon.bare_wishes[words], frozenset(range(len(tokens))))
    last = " ".join(token.text for token in _last_clause(tokens) if token.text not in lexicon.beside.polite)
    if lexicon.bare_wishes.get(last) in (Wish.STOP, Wish.PAUSE):
        return Wished(lexicon.bare_wishes[last])
    wanted = list(lexicon.wanted.find(tokens))
    around = _Around.of(tokens, lexicon) if wanted else None
    found = [match for match in wanted if around and _is_wish(around, match, lexicon)]
    wished = {match.kind for match in found}
    if {Wish.STOP, Wish.PAUSE} <= wished:
        wished.remove(Wish.STOP)
    wish = next((wish for wish in _ORDER if wish in wished), None)
    return Wished(wish, frozenset(at for match in found for at in range(match.start, match.end)))


def _last_clause(tokens: Sequence[Token]) -> Sequence[Token]:
    """ "..., please stop": what stands after the last break that something follows."""
    end = len(tokens)
    while end and tokens[end - 1].text in BREAKS:
        end -= 1
    start = next((at + 1 for at in range(end - 1, -1, -1) if tokens[at].text in BREAKS), 0)
    return tokens[start:end]


@dataclass(frozen=True, slots=True)
class _Around:
    """What stands around wishes: where clauses begin, where conditions begin, where "had to" ends."""

    tokens: Sequence[Token]
    clauses: Sequence[int]
    conditions: Sequence[int]
    told: frozenset[int]

    @classmethod
    def of(cls, tokens: Sequence[Token], lexicon: Lexicon) -> Self:
        clauses = [0, *(at + 1 for at, token in enumerate(tokens) if token.text in BREAKS)]
        conditions = [match.start for match in lexicon.conditional.find(tokens)]
        return cls(tokens, clauses, conditions, frozenset(match.end for match in lexicon.told_wish.find(tokens)))

    def clause(self, at: int) -> int:
        """Where the clause of this place begins."""
        return self.clauses[bisect_right(self.clauses, at) - 1]

    def conditional(self, at: int) -> bool:
        """Does a condition stand before this place in its clause?"""
        return bisect_left(self.conditions, self.clause(at)) < bisect_left(self.conditions, at)


def _is_wish(around: _Around, match: Match[Wish], lexicon: Lexicon) -> bool:
    """Not "do not stop the messages", "if i go away", "had to pause", "was away" or "my son is away".

    "If you do not stop messaging me" is one after all.
    """
    if match.kind not in (Wish.STOP, Wish.PAUSE):
        return not _denied(around.tokens, match.start, frozenset(), lexicon)
    if match.start in around.told or _anothers(around, match, lexicon):
        return False
    denied = _denied(around.tokens, match.start, lexicon.beside.through_wish, lexicon)
    return denied == around.conditional(match.start)


def _denied(tokens: Sequence[Token], at: int, through: AbstractSet[str], lexicon: Lexicon) -> bool:
    """ "do not ever stop": a denial before it, with nothing between but words of `through`."""
    places = range(at - 1, max(at - 1 - _REACH, -1), -1)
    before = next((place for place in places if tokens[place].text not in through), -1)
    return before >= 0 and tokens[before].text in lexicon.scope.not_ | lexicon.scope.no


def _anothers(around: _Around, match: Match[Wish], lexicon: Lexicon) -> bool:
    """ "my son is on holiday until monday"."""
    near = max(around.clause(match.start), match.start - _NEAR_A_WISH)
    before = {token.text for token in around.tokens[near : match.start]}
    theirs = match.kind is Wish.PAUSE and not before.isdisjoint(lexicon.scope.others)
    return theirs and before.isdisjoint(lexicon.scope.us)


MOST = 2  # who asks more at once is better answered by a person
Asked = tuple[tuple[str, str], ...]


def ordinary(text: str, language: str, asked: Mapping[str, str], for_a_person: str) -> tuple[str, ...]:
    """The keys of the questions that a text asks, in the order of `asked`, which has the phrases of each.

    None where it asks none of them, too many at once, or says anything that is `for_a_person`.
    """
    tokens = read(text, lexicon_of(language))
    if next(phrasebook(language, (("", for_a_person),)).find(tokens), None):
        return ()
    found = {match.kind for match in phrasebook(language, tuple(asked.items())).find(tokens)}
    return tuple(key for key in asked if key in found) if len(found) <= MOST else ()


@lru_cache(maxsize=16)
def phrasebook(language: str, asked: Asked) -> Phrasebook[str]:
    """The phrases of each question. Raises ValueError or KeyError for one that cannot be read."""
    return Phrasebook([(key, phrases(text)) for key, text in asked], lexicon_of(language).classes)


def mattering(words: str, language: str, told: Sequence[str] = ()) -> str:
    """The lines of an evening's unread words that may matter, as they stand; '' when none does.

    A line does that an ear hears anything in, however faintly, that names something a therapist weighs (`topics` of
    the language), or that is in a language that cannot be read. What stands in one of the texts `told` is left out.
    """
    lexicon = lexicon_of(language)
    lines = [line for line in words.splitlines() if not any(_parts_of(line, text) for text in told)]
    return "\n".join(line for line in lines if _matters(line, language, lexicon))


def _parts_of(line: str, text: str) -> bool:
    return all(run in text for run in line.split(BETWEEN))


def _matters(line: str, language: str, lexicon: Lexicon) -> bool:
    if not readable(line, lexicon) or any(token.text in lexicon.words.topics for token in read(line, lexicon)):
        return True
    heard, ear = understand(line, language), load(lexicon.language)
    faintly = ear is not None and ear.hear(line).danger >= ear.agree
    return faintly or bool(heard.flag or heard.maybe or heard.complaint)
