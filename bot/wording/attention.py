"""What figures about a patient are called: reasons to look, the trend, the questionnaire's score."""

from collections.abc import Iterable, Mapping, Sequence

from bot.wording.catalogue import Text
from bot.wording.filling import Pack, isolated, shown
from core.digest.attention import WORSE_RANK, Attention
from core.digest.patient_week import PatientWeek
from core.digest.weekly_trend import LEAST_FOR_INTERVAL, LEAST_WEEKS, WEEKS, Direction, WeeklyTrend
from core.scores import Band, Change, citations
from core.scores.prtee import PrteeChange, score_of_total
from core.scores.prtee import change as prtee_change

TASK_SHOWN = 60  # characters


def why(text: Text, week: PatientWeek) -> tuple[str, ...]:
    """Every reason, the most urgent first."""
    return tuple(reason(text, week, code) for code in week.attention)


def named(text: Text, week: PatientWeek, longest: int) -> str:
    """The name, at most so long; of a patient with two courses with the side."""
    name = shown(week.who.name, text("therapist.no_name"), longest)
    return text("therapist.side.named", name=name, side=side_of_week(text, week)) if week.who.one_of_two else name


def side_of_week(text: Text, week: PatientWeek) -> str:
    """What the programme calls the side: "right ..."."""
    pack, key = Pack(text, week.words), f"side.{week.who.side}"
    return pack(key) if pack.has(key) else text("therapist.file.side.none")


def why_of_both(text: Text, week: PatientWeek) -> tuple[str, ...]:
    """Every reason, and after them what the other side adds."""
    own, added = why(text, week), []
    for other in week.others:
        more = [each for each in why(text, other) if each not in own]
        added += [text("therapist.side.of", side=side_of_week(text, other), what=each) for each in more]
    return (*own, *added)


def reason(text: Text, week: PatientWeek, code: Attention) -> str:
    """One of a patient's reasons."""
    key = f"therapist.attention.{code.value}"
    if said := worse(text, code, week.change):
        return said
    if code is Attention.STOPPED and week.stopped_for:
        return text(f"{key}.{week.stopped_for.value}")
    if code is Attention.SILENT:
        return text.many(key, week.silent_days)
    return text(key, **_numbers(text, week, code)) if code is not Attention.AWAY else _away(text, week)


def worse(text: Text, code: Attention, change: Change | None) -> str:
    """A look at so many weeks of somebody who got worse, "12 weeks, and worse (5.9 to 7.3)"; "" of anybody else."""
    if code not in WORSE_RANK or change is None or change.band is not Band.WORSE:
        return ""
    key = f"therapist.attention.{code.value}.worse"
    return text(key, first=text.number(change.first), mean=text.number(change.first + change.points))


def _numbers(text: Text, week: PatientWeek, code: Attention) -> dict[str, object]:
    if code is Attention.FLARE:
        return {"day": text.day(week.flares[-1])}
    if code is Attention.STEPPED_BACK:
        return {"step": next(each.step for each in reversed(week.moves) if not each.up)}
    if code is Attention.RISING:
        return {"points": text.number(week.week_change or 0)}
    if code is Attention.WORSENING:
        return {"weeks": WEEKS, "trend": trend_short(text, week.trend)}
    if code in (Attention.FEW_SETS, Attention.FEWER_SETS):
        return {"share": percent(text, week.fortnight.done, week.fortnight.asked)}
    if code is Attention.TASK:
        return {"what": isolated(shown(week.who.tasks[0].text, "", TASK_SHOWN)), "day": text.day(week.who.tasks[0].due)}
    return {}


def _away(text: Text, week: PatientWeek) -> str:
    if week.who.away_until:
        return text("therapist.attention.away.until", day=text.day(week.who.away_until))
    return text("therapist.attention.away")


def suggestion(text: Text, words: Mapping[str, Mapping[str, str]], codes: Iterable[str]) -> str:
    """What the programme proposes for the first of those reasons; "" where it has nothing to say to it."""
    pack = Pack(text, words)
    keys = (f"suggest.{str(code).replace('_', '-')}" for code in codes)
    return next((pack(key) for key in keys if pack.has(key)), "")


def percent(text: Text, part: int, whole: int) -> str:
    """A share as a whole number of percent; 100 and 0 only when nothing is missing or there."""
    if 0 < part < whole:
        return text.number(min(max(round(100 * part / whole), 1), 99), 0)
    return text.number(100 if part and part >= whole else 0, 0)


def trend_words(text: Text, trend: WeeklyTrend, *, on_paper: bool = True) -> str:
    """The trend with its interval and how many weeks it rests on, on paper tau_b too; or why it cannot be told."""
    direction = trend.direction
    key = f"therapist.trend.{direction.value}"
    if direction is Direction.TOO_FEW:
        return text.many(key, trend.means, weeks=WEEKS, need=LEAST_WEEKS)
    if direction is Direction.NO_VARIATION:
        return text(key, n=trend.means, mean=text.number(trend.mean or 0.0))
    numbers = {
        "slope": per_week(text, trend.slope), "low": per_week(text, trend.low), "high": per_week(text, trend.high),
        "tau": text("therapist.trend.tau", tau=per_week(text, trend.tau_b)) if on_paper else "",
    }  # fmt: skip
    return text(key, n=trend.means, need=LEAST_FOR_INTERVAL, **numbers)


def trend_short(text: Text, trend: WeeklyTrend) -> str:
    """The slope and its interval for a column or a list; a dash where there is no slope."""
    if trend.slope is None:
        return text("therapist.file.none")
    slope = per_week(text, trend.slope)
    if trend.low is None or trend.tau_b is None:
        return slope
    low, high = per_week(text, trend.low), per_week(text, trend.high)
    return text("therapist.trend.short", slope=slope, low=low, high=high)


def per_week(text: Text, value: float | None) -> str:
    """Two decimals with a sign, which is left out for nothing at all: what only rounds to 0 keeps its sign."""
    if not value:
        return text.hundredths(0.0)
    return f"{'+' if value > 0 else '−'}{text.hundredths(abs(value))}"


def scores_words(text: Text, scores: Sequence[tuple[int, float]]) -> list[str]:
    """Each outcome score as (week, total), and what has changed since the first."""
    said = [text("therapist.file.prtee.one", total=text.number(total), week=week) for week, total in scores]
    if len(scores) > 1:
        (week, first), (_, latest) = scores[0], scores[-1]
        change = prtee_change(score_of_total(first), score_of_total(latest))
        if round(change.points, 1) == 0:
            study = "; ".join(citations(change.by))
            said.append(text("therapist.file.prtee.same", week=week, value=text.number(change.by.value), study=study))
        else:
            said.append(text("therapist.file.prtee.change", since=prtee_words(text, change), week=week))
    return said


def prtee_words(text: Text, change: PrteeChange) -> str:
    """ "-14.0 points (-58 %), better by as much as counts: 37 % or more is much better (Poltawski ...)"."""
    points = text("therapist.prtee.points", points=signed(text, change.points))
    if change.share is not None:
        points = text("therapist.prtee.share", points=points, percent=signed(text, 100 * change.share, 0))
    value = change.by.value
    why = text(f"therapist.{change.by.name}", value=text.number(value), percent=text.number(100 * value, 0))
    said = {"points": points, "why": why, "study": "; ".join(citations(change.by))}
    return text(f"therapist.prtee.{change.verdict.value}", **said)


def signed(text: Text, value: float, digits: int = 1) -> str:
    """A number with its sign; a true minus, and none before nothing."""
    shown_value = text.tenths(abs(value)) if digits else text.number(abs(value), 0)
    if round(value, digits) == 0:
        return shown_value
    return f"{'+' if value > 0 else '−'}{shown_value}"
