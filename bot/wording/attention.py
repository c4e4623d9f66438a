"""Why a patient is looked at, each reason in a few words."""

from bot.wording.catalogue import Text
from core.digest.attention import Attention
from core.digest.patient_week import PatientWeek


def why(text: Text, week: PatientWeek) -> tuple[str, ...]:
    """Every reason, the most urgent first."""
    return tuple(_reason(text, week, code) for code in week.attention)


def _reason(text: Text, week: PatientWeek, code: Attention) -> str:
    key = f"therapist.attention.{code.value}"
    if code is Attention.STOPPED and week.stopped_for:
        return text(f"{key}.{week.stopped_for.value}")
    if code is Attention.SILENT:
        return text.many(key, week.silent_days)
    if code is Attention.FLARE:
        return text(key, day=text.day(week.flares[-1]))
    if code is Attention.STEPPED_BACK:
        return text(key, step=next(each.step for each in reversed(week.moves) if not each.up))
    if code is Attention.RISING:
        return text(key, points=text.number(week.week_change or 0))
    if code is Attention.FEW_SETS:
        return text(key, share=percent(text, week.fortnight.done, week.fortnight.asked))
    if code is Attention.AWAY and week.who.away_until:
        return text(f"{key}.until", day=text.day(week.who.away_until))
    return text(key)


def percent(text: Text, part: int, whole: int) -> str:
    """A share as a whole number of percent; 100 and 0 only when nothing is missing or there."""
    if 0 < part < whole:
        return text.number(min(max(round(100 * part / whole), 1), 99), 0)
    return text.number(100 if part and part >= whole else 0, 0)
