"""The PRTEE score, by the published arithmetic: no item is worded here, they are under their author's copyright.

Five pain items and ten function items, each 0-10; pain is their sum (0-50), function half of theirs (0-50), the total
their sum (0-100, higher is worse). Source: MacDermid JC, user manual (the arithmetic from memory).
"""

import datetime as dt
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from enum import StrEnum

from core.errors import ScoreError
from core.model import Figure, Provenance

PAIN_ITEMS, FUNCTION_ITEMS = 5, 10
ITEMS = PAIN_ITEMS + FUNCTION_ITEMS
ITEM_MOST, TOTAL_MOST = 10, 100

# The manual replaces a missing item by the mean of the others; that half of them must be there is judgement.
LEAST_ANSWERED = Figure("prtee.least_answered_share", 0.5, Provenance.JUDGEMENT)

# 14.8 is what an elbow study found; totals move by halves, so that 15 is the first to reach it.
COUNTS = Figure("prtee.counts", 15.0, Provenance.JUDGEMENT, ("I5",))
SMALLEST_IMPORTANT = Figure("prtee.smallest_important", 14.8, Provenance.PUBLISHED, ("I5",))
DETECTABLE = Figure("prtee.detectable", 9.7, Provenance.PUBLISHED, ("I5",))
LITTLE_BETTER = Figure("prtee.little_better", 7.0, Provenance.PUBLISHED, ("I4",))
LITTLE_BETTER_SHARE = Figure("prtee.little_better_share", 0.22, Provenance.PUBLISHED, ("I4",))
MUCH_BETTER = Figure("prtee.much_better", 11.0, Provenance.PUBLISHED, ("I4",))
MUCH_BETTER_SHARE = Figure("prtee.much_better_share", 0.37, Provenance.PUBLISHED, ("I4",))


WEEKS = (0, 6, 12, 26)  # of a course: when it is filled in (Lucado 2022: at the start and later; the weeks: judgement)
NEAR = 1  # week before its time a score may be


def due_in_week(started: dt.date, scored: Collection[int], monday: dt.date) -> int | None:
    """The week of asking that a course reaches between `monday` and the Sunday after, where no score is near it.

    The first one is due in the week in which the course begins, and in the next.
    """
    for week in WEEKS:
        day = started + dt.timedelta(weeks=week)
        since = monday if week else monday - dt.timedelta(weeks=1)
        if since <= day < monday + dt.timedelta(weeks=1):
            return None if any(each >= week - NEAR for each in scored) else week
    return None


@dataclass(frozen=True, slots=True)
class PrteeScore:
    """A total (0-100) with its subscales (0-50 each); they and `answered` are None when only a total was given."""

    total: float
    pain: float | None = None
    function: float | None = None
    answered: int | None = None


class Verdict(StrEnum):
    """What a change of the total is worth."""

    BETTER = "better"  # it counts
    UNSURE = "unsure"  # more than chance, less than what counts
    CHANCE = "chance"  # within what the questionnaire varies by itself
    WORSE = "worse"  # a rise as large as a fall that counts: judgement


@dataclass(frozen=True, slots=True)
class PrteeChange:
    """From one total to a later one. Below zero is better; `share` is of the first, None when that was 0.

    `by` is the threshold that gave the verdict. `reached` names each published threshold of improvement with whether
    the fall is that large.
    """

    points: float
    share: float | None
    verdict: Verdict
    by: Figure
    reached: tuple[tuple[Figure, bool], ...]


def score(answers: Sequence[int | None]) -> PrteeScore:
    """The score of fifteen answers, pain first; None is missing and counts as the mean of its subscale's others (I2).

    Raises ScoreError when there are not fifteen, when one is outside 0-10, or when more than half of a subscale is
    missing.
    """
    if len(answers) != ITEMS:
        raise _wrong_count(len(answers))
    for place, answer in enumerate(answers, start=1):
        if answer is not None and not 0 <= answer <= ITEM_MOST:
            raise _bad_answer(place, str(answer))
    pain = _subscale(answers[:PAIN_ITEMS], "pain")
    function = _subscale(answers[PAIN_ITEMS:], "function") / 2
    return PrteeScore(pain + function, pain, function, sum(answer is not None for answer in answers))


def score_of_total(total: float) -> PrteeScore:
    """A total from the paper form. Raises ScoreError outside 0-100."""
    if not 0 <= total <= TOTAL_MOST:
        found = f"{total:g}"
        raise ScoreError(f"the total {found} is not possible; expected 0 to {TOTAL_MOST}", "total", found=found)
    return PrteeScore(float(total))


def change(first: PrteeScore, now: PrteeScore) -> PrteeChange:
    """How far `now` is from `first`, and which published thresholds of improvement that reaches."""
    points = round(now.total - first.total, 9)
    share = round(points / first.total, 9) if first.total else None
    fall, fallen = -points, 0.0 if share is None else -share
    in_points = (LITTLE_BETTER, MUCH_BETTER, DETECTABLE, SMALLEST_IMPORTANT, COUNTS)
    reached = [(figure, fall >= figure.value) for figure in in_points]
    reached += [(figure, fallen >= figure.value) for figure in (LITTLE_BETTER_SHARE, MUCH_BETTER_SHARE)]
    return PrteeChange(points, share, *_verdict(points, fallen), tuple(reached))


def read_prtee(text: str) -> PrteeScore:
    """The score of what a therapist typed: fifteen whole numbers, or one total such as "55" or "56.3".

    Spaces, commas and semicolons part numbers; a dash or x stands for a missing one. Digits of any script are read.
    Raises ScoreError that names the number which is wrong and what is expected.
    """
    words = [word for word in _PARTED.split(text.strip()) if word]
    if _COMMA_TOTAL.fullmatch(text.strip()):
        return _read_comma_total(text.strip())
    if len(words) == 1 and words[0] not in _MISSING:
        if not _TOTAL.fullmatch(words[0]):
            raise ScoreError(
                f"{_shown(words[0])} is no total; expected a number from 0 to {TOTAL_MOST}, such as 55 or 56.3, "
                f"or {ITEMS} numbers from 0 to {ITEM_MOST}",
                "total",
                found=words[0],
            )
        return score_of_total(float(words[0]))
    if len(words) == ITEMS:
        return score([_item(place, word) for place, word in enumerate(words, start=1)])
    raise _wrong_count(len(words))


_PARTED = re.compile(r"[\s,;]+")
_MISSING = frozenset({"-", "–", "—", "−", "x", "X"})
_ITEM = re.compile(r"\d{1,4}")
_TOTAL = re.compile(r"\d{1,4}(?:\.\d{1,2})?")
_COMMA_TOTAL = re.compile(r"(\d{1,4}),(\d{1,2})")


def _read_comma_total(text: str) -> PrteeScore:
    """A decimal comma, where it cannot be two answers of the fifteen."""
    whole, part = text.split(",")
    if int(whole) <= ITEM_MOST:
        raise ScoreError(
            f"{_shown(text)} may be two answers or one total; write a total with a point, such as {whole}.{part}",
            "comma",
            found=text,
        )
    return score_of_total(float(f"{whole}.{part}"))


def _item(place: int, word: str) -> int | None:
    if word in _MISSING:
        return None
    if not _ITEM.fullmatch(word):
        raise _bad_answer(place, word)
    return int(word)


def _wrong_count(found: int) -> ScoreError:
    return ScoreError(
        f"{found} answers; expected {ITEMS}: {PAIN_ITEMS} of pain, then {FUNCTION_ITEMS} of function, "
        "with - for one that is missing; or one total from 0 to 100",
        "count",
        found=found,
    )


def _bad_answer(place: int, found: str) -> ScoreError:
    return ScoreError(
        f"answer {place} of {ITEMS} is {_shown(found)}; expected a whole number from 0 to {ITEM_MOST}, "
        "or - when it is missing",
        "answer",
        place=place,
        found=found,
    )


def _shown(found: str) -> str:
    return repr(found if len(found) <= 20 else found[:20] + "…")


def _subscale(answers: Sequence[int | None], name: str) -> float:
    given = [answer for answer in answers if answer is not None]
    if len(given) < LEAST_ANSWERED.value * len(answers):
        raise ScoreError(
            f"only {len(given)} of the {len(answers)} answers about {name} are given; "
            "a score needs at least half of them, so ask for the missing ones",
            "missing",
            subscale=name,
            given=len(given),
            items=len(answers),
        )
    return sum(given) * len(answers) / len(given)


def _verdict(points: float, fallen: float) -> tuple[Verdict, Figure]:
    """A mild start cannot fall by so many points: there a fall by the share that is much better counts, too."""
    if abs(points) < DETECTABLE.value:
        return Verdict.CHANCE, DETECTABLE
    if points > -COUNTS.value and fallen >= MUCH_BETTER_SHARE.value:
        return Verdict.BETTER, MUCH_BETTER_SHARE
    if abs(points) < COUNTS.value:
        return Verdict.UNSURE, COUNTS
    return (Verdict.BETTER if points < 0 else Verdict.WORSE), COUNTS
