"""Why a patient is looked at, each reason in a few words, and what the programme proposes to do about it."""

from collections.abc import Iterable, Mapping

from bot.wording.catalogue import Text
from bot.wording.names import isolated, shown
from bot.wording.pack import Pack
from bot.wording.trend import trend_short
from core.digest.attention import Attention
from core.digest.patient_week import PatientWeek
from core.digest.weekly_trend import WEEKS

TASK_SHOWN = 60  # characters


def why(text: Text, week: PatientWeek) -> tuple[str, ...]:
    """Every reason, the most urgent first."""
    return tuple(reason(text, week, code) for code in week.attention)


def reason(text: Text, week: PatientWeek, code: Attention) -> str:
    """One of a patient's reasons."""
    key = f"therapist.attention.{code.value}"
    if code is Attention.STOPPED and week.stopped_for:
        return text(f"{key}.{week.stopped_for.value}")
    if code is Attention.SILENT:
        return text.many(key, week.silent_days)
    return text(key, **_numbers(text, week, code)) if code is not Attention.AWAY else _away(text, week)


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
