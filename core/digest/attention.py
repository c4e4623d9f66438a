"""Who needs the therapist, and why: codes, their order, and the facts of a week that call for them."""

from collections.abc import Collection
from enum import IntEnum, StrEnum

from core.model import NoticeKind
from core.scores import Band, Change


class Attention(StrEnum):
    """Why a patient is looked at; worded elsewhere."""

    STOPPED = "stopped"  # for danger, until the therapist clears it
    SEVERE_TWICE = "severe_twice"
    QUESTION = "question"  # one that only a person should answer
    UNANSWERED = "unanswered"  # the red-flag questions after a very bad day
    UNSURE = "unsure"  # perhaps a sign, and the question which was not answered
    INJECTION = "injection"
    CIRCUMSTANCE = "circumstance"  # surgery, a medicine, a pregnancy ...: to be weighed
    TASK = "task"  # something that the therapist put down to be done by now
    UNREACHABLE = "unreachable"
    SILENT = "silent"
    LEFT = "left"
    THIRD_SETBACK = "third_setback"
    PLATEAU_26_WEEKS = "plateau_26_weeks"
    PLATEAU_12_WEEKS = "plateau_12_weeks"
    PLATEAU_6_WEEKS = "plateau_6_weeks"
    LONG_GAP = "long_gap"
    FLARE = "flare"
    STEPPED_BACK = "stepped_back"
    RISING = "rising"  # the week's mean
    WORSENING = "worsening"  # the trend of the last weeks, and new
    FEWER_SETS = "fewer_sets"  # a large fall, and new
    SCORE_DUE = "score_due"  # the clinic's questionnaire, in the week after this one
    UNSEEN = "unseen"  # nobody on the staff has looked for weeks
    FEW_SETS = "few_sets"
    AWAY = "away"
    HALTED = "halted"  # by the therapist


class Urgency(IntEnum):
    """What a reason asks of the therapist."""

    ACT = 0  # something has to be done
    LOOK = 1  # the course should be looked at
    KNOW = 2  # good to know; no picture, no line of its own


# The one place that says who comes first. Danger and what only a person can settle lead; then whoever dropped out of
# sight; then a course that does not come right; then the week's own events. Judgement.
ORDER: tuple[tuple[Attention, Urgency], ...] = (
    (Attention.STOPPED, Urgency.ACT),
    (Attention.SEVERE_TWICE, Urgency.ACT),
    (Attention.QUESTION, Urgency.ACT),
    (Attention.UNANSWERED, Urgency.ACT),
    (Attention.UNSURE, Urgency.ACT),
    (Attention.INJECTION, Urgency.ACT),
    (Attention.CIRCUMSTANCE, Urgency.ACT),
    (Attention.TASK, Urgency.ACT),
    (Attention.UNREACHABLE, Urgency.ACT),
    (Attention.SILENT, Urgency.ACT),
    (Attention.LEFT, Urgency.ACT),
    (Attention.THIRD_SETBACK, Urgency.ACT),
    (Attention.PLATEAU_26_WEEKS, Urgency.ACT),
    (Attention.PLATEAU_12_WEEKS, Urgency.ACT),
    (Attention.PLATEAU_6_WEEKS, Urgency.LOOK),
    (Attention.LONG_GAP, Urgency.LOOK),
    (Attention.FLARE, Urgency.LOOK),
    (Attention.STEPPED_BACK, Urgency.LOOK),
    (Attention.RISING, Urgency.LOOK),
    (Attention.WORSENING, Urgency.LOOK),
    (Attention.FEWER_SETS, Urgency.LOOK),
    (Attention.SCORE_DUE, Urgency.KNOW),
    (Attention.UNSEEN, Urgency.KNOW),
    (Attention.FEW_SETS, Urgency.KNOW),
    (Attention.AWAY, Urgency.KNOW),
    (Attention.HALTED, Urgency.KNOW),
)
RANK = {code: place for place, (code, _) in enumerate(ORDER)}
URGENCY = dict(ORDER)
# Who got worse comes before those who stayed the same, of the same urgency, in the order of the weeks.
WORSE_RANK = {
    Attention.PLATEAU_26_WEEKS: RANK[Attention.PLATEAU_26_WEEKS] - 0.6,
    Attention.PLATEAU_12_WEEKS: RANK[Attention.PLATEAU_26_WEEKS] - 0.4,
    Attention.PLATEAU_6_WEEKS: RANK[Attention.PLATEAU_6_WEEKS] - 0.5,
}

NOTICED = {
    NoticeKind.SEVERE_TWICE: Attention.SEVERE_TWICE,
    NoticeKind.CLINICAL_QUESTION: Attention.QUESTION,
    NoticeKind.UNANSWERED: Attention.UNANSWERED,
    NoticeKind.UNSURE: Attention.UNSURE,
    NoticeKind.INJECTION: Attention.INJECTION,
    NoticeKind.CIRCUMSTANCE: Attention.CIRCUMSTANCE,
    NoticeKind.UNREACHABLE: Attention.UNREACHABLE,
    NoticeKind.LEFT: Attention.LEFT,
    NoticeKind.THIRD_SETBACK: Attention.THIRD_SETBACK,
    NoticeKind.PLATEAU_26_WEEKS: Attention.PLATEAU_26_WEEKS,
    NoticeKind.PLATEAU_12_WEEKS: Attention.PLATEAU_12_WEEKS,
    NoticeKind.PLATEAU_6_WEEKS: Attention.PLATEAU_6_WEEKS,
    NoticeKind.LONG_GAP: Attention.LONG_GAP,
}

# A mean that rose by a point does so by chance in 4 to 10 % of a stable person's weeks, by half a point in a fifth to a
# quarter (simulated, daily SD 1): half a point would fill the digest with nothing. Judgement.
RISING_POINTS = 1.0
# Few sets alone are the usual state of half a caseload; to be seen are those whose share fell by two fifths or more
# against the fortnight before, from enough to too few, and for the first time. Judgement.
FELL_SHARE = 0.4


def reasons_to_look(
    codes: Collection[Attention], notices: Collection[NoticeKind], settled: Collection[Attention] = (), *,
    unseen: bool = False,
) -> tuple[Attention, ...]:  # fmt: skip
    """Every reason that holds, of notices that are open too: the most urgent first and what is `settled` last."""
    holds = {*codes, *(NOTICED[kind] for kind in notices if kind in NOTICED)}
    if unseen and urgency(holds, settled) not in (Urgency.ACT, Urgency.LOOK):  # those are looked at anyway
        holds.add(Attention.UNSEEN)
    return tuple(sorted(holds, key=lambda code: (code in settled, RANK[code])))


def urgency(codes: Collection[Attention], settled: Collection[Attention] = ()) -> Urgency | None:
    """The most urgent of them; what is settled is but good to know; None when there is nothing to look at."""
    return min((Urgency.KNOW if code in settled else URGENCY[code] for code in codes), default=None)


def place(
    codes: Collection[Attention],
    settled: Collection[Attention],
    change: Change | None,
    mean: float | None,
    name: str,
    id_: str,
) -> tuple[object, ...]:
    """Where somebody stands in the digest and in the caseload alike: by the most urgent reason, then the next one ...

    By `change`, who is worse goes before who is the same; of equals the higher mean first. Total, as ids differ.
    """
    rank = RANK | (WORSE_RANK if change and change.band is Band.WORSE else {})
    ranks = tuple(rank[code] + (len(ORDER) if code in settled else 0) for code in codes)
    return *ranks, 2 * len(ORDER), -(mean or 0.0), name.casefold(), id_
