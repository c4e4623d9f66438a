"""The second ear: a small linear model that hears danger in wordings that no list holds.

Multinomial logistic regression over the words of a text (runs of 1 to 3, and pairs a few words apart) and their letters
(runs of 2 to 5), each hashed to one of 2^16 places. Digits, and words that answer the evening's question, are taken out
first, so that no number is a cue. The weights are a language's data, trained by `python -m tests.training`; here they
are only added up.
"""

import math
import zlib
from collections.abc import Iterator
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from itertools import pairwise
from operator import itemgetter

from core.answers.danger import Danger
from core.answers.lexicon import lexicon_of
from core.answers.tokens import WORD, normalise
from core.model import DANGER, Flag
from core.understanding import Urgency

PLACES = 1 << 16
HEARS = (Flag.URGENT, Flag.DISTRESS, Flag.RED_FLAG, Flag.CIRCULATION)  # after them one class for nothing
_MOST_WORDS = 40  # heard at once; a longer text is heard in stretches of so many, each half over the one before
_FURTHEST = 4  # words apart, of a pair
_OTHER = "the ear's data do not have the shape that this version reads; train it anew with python -m tests.training"
QUANTUM = 32.0  # weights are whole numbers of 1/32
_SIGNED = bytes((byte + 128) & 255 for byte in range(256))  # from a signed byte to one that is 128 too high, and back


@dataclass(frozen=True, slots=True)
class Heard:
    """The likeliest sign of danger and how likely any sign is at all, 0 to 1."""

    flag: Flag
    danger: float


@dataclass(frozen=True, slots=True)
class Ear:
    """`weights`: one row a class (those of HEARS, then nothing), each 128 too high, so that bytes can hold it and are
    added up in half the time; `biases` alike.

    From `maybe` on it hears danger by itself, from `sure` on without doubt, from `agree` on it bears the rules out.
    """

    weights: tuple[bytes, ...]
    biases: tuple[float, ...]
    maybe: float
    sure: float
    agree: float
    unheard: frozenset[str] = frozenset()  # words that answer the evening's question

    def hear(self, text: str) -> Heard:
        """The most alarming of what is heard in the stretches of a text, and in each of its lines by itself."""
        parts = dict.fromkeys([text, *text.split("\n")])
        heard = (self._hear(places) for part in parts for places in _heard_at_once(part, self.unheard))
        return max(heard, key=lambda each: each.danger)

    def _hear(self, places: AbstractSet[int]) -> Heard:
        if not places:
            return _SILENCE
        scale = 1.0 / (QUANTUM * math.sqrt(len(places)))
        found = itemgetter(*places)
        above = len(places) << 7
        sums = [(sum(found(row)) - above) * scale + bias for row, bias in zip(self.weights, self.biases, strict=True)]
        top = max(sums)
        odds = [math.exp(each - top) for each in sums]
        loudest = max(range(len(HEARS)), key=odds.__getitem__)
        return Heard(HEARS[loudest], 1.0 - odds[-1] / sum(odds))


_SILENCE = Heard(Flag.RED_FLAG, 0.0)


def stretches(text: str, unheard: AbstractSet[str]) -> Iterator[list[str]]:
    """The words of a text that say something: neither digits nor those `unheard`."""
    words = _words(text, unheard)
    for start in range(0, max(len(words) - _MOST_WORDS // 2, 1), _MOST_WORDS // 2):
        yield words[start : start + _MOST_WORDS]


def _words(text: str, unheard: AbstractSet[str]) -> list[str]:
    return [word.replace("'", "") for word in WORD.findall(normalise(text)) if word not in unheard]


def _heard_at_once(text: str, unheard: AbstractSet[str]) -> Iterator[AbstractSet[int]]:
    """The places of each of its stretches: of two halves, each looked up once, and of what runs across."""
    words, half = _words(text, unheard), _MOST_WORDS // 2
    halves = [places_of(words[start : start + half]) for start in range(0, len(words), half)]
    if len(halves) < 2:
        yield from halves or [set()]
    for number, (one, other) in enumerate(pairwise(halves), 1):
        yield one | other | places_of(words[number * half - _FURTHEST : number * half + _FURTHEST])


def places_of(words: list[str]) -> set[int]:
    """Where its runs and pairs of words and its runs of letters are kept."""
    heard = [word.encode() for word in words]
    runs = set(heard)
    for size in (2, 3):
        runs.update(b" ".join(heard[at : at + size]) for at in range(len(heard) - size + 1))
    for apart in range(2, _FURTHEST + 1):
        runs.update(b"%b ... %b" % pair for pair in zip(heard, heard[apart:], strict=False))
    places = {zlib.crc32(run) & 0xFFFF for run in runs}
    for word in set(heard):
        places |= _letters(word)
    return places


@lru_cache(maxsize=8192)
def _letters(word: bytes) -> frozenset[int]:
    marked = b"_" + word + b"_"
    return frozenset(
        zlib.crc32(marked[at : at + size], size) & 0xFFFF
        for size in (2, 3, 4, 5)
        for at in range(len(marked) - size + 1)
    )


@cache
def load(language: str) -> Ear | None:
    """The ear of a language; None where it has none."""
    file = files("core.answers").joinpath("ears", f"{language}.bin")
    if not file.is_file():
        return None
    return unpack(file.read_bytes(), lexicon_of(language).words.unheard)


def pack(ear: Ear) -> bytes:
    """One line of figures, then the weights, compressed."""
    head = " ".join(f"{figure:.6g}" for figure in (*ear.biases, ear.maybe, ear.sure, ear.agree))
    body = b"".join(ear.weights).translate(_SIGNED)
    return head.encode() + b"\n" + zlib.compress(body, 9)


def unpack(data: bytes, unheard: frozenset[str] = frozenset()) -> Ear:
    """What `pack` made. ValueError when it is something else."""
    head, _, body = data.partition(b"\n")
    try:
        figures, raw = [float(figure) for figure in head.split()], zlib.decompress(body).translate(_SIGNED)
        rows = [raw[at : at + PLACES] for at in range(0, len(raw), PLACES)]
        *biases, maybe, sure, agree = figures
    except (ValueError, zlib.error) as error:
        raise ValueError(_OTHER) from error
    if len(biases) != len(rows) or len(rows) != len(HEARS) + 1 or len(rows[-1]) != PLACES:
        raise ValueError(_OTHER)
    return Ear(tuple(rows), tuple(biases), maybe, sure, agree, unheard)


_SERIOUS = tuple(Flag)
_HOW_SOON = {Flag.URGENT: Urgency.NOW, Flag.DISTRESS: Urgency.NOW}


@dataclass(frozen=True, slots=True)
class Verdict:
    """`flag`: sure, or no danger at all; `maybe`: heard by one ear alone; `complaint`: asked about instead."""

    flag: Flag | None
    maybe: Flag | None = None
    urgency: Urgency | None = None
    complaint: bool = False


def weigh(danger: Danger, ear: Ear | None, text: str) -> Verdict:
    """The verdict of both ears; that of the rules where a language has no learned one."""
    ruled = danger.flag if danger.flag in DANGER else None
    if ear is None:
        return Verdict(danger.flag, None, danger.urgency, danger.complaint)
    heard = ear.hear(text)
    if ruled is not None and (heard.danger < ear.agree or (danger.doubted and heard.flag is ruled)):
        return Verdict(None, ruled, danger.urgency)
    if ruled is not None or heard.danger >= ear.sure:
        sure = [heard.flag] if heard.danger >= ear.sure else []
        flag = min(sure if ruled is None else [ruled, *sure], key=_SERIOUS.index)
        return Verdict(flag, None, danger.urgency if flag is ruled else _HOW_SOON.get(flag, Urgency.TODAY))
    if heard.danger >= ear.maybe and not (danger.complaint and heard.flag is Flag.RED_FLAG):
        return Verdict(danger.flag, heard.flag, danger.urgency)
    return Verdict(danger.flag, None, danger.urgency, danger.complaint)
