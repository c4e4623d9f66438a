"""A weekly trend and a change of score in words. A slope of 0 is given as the number it is, never as "no change"."""

from bot.wording.catalogue import Text
from core.digest.slope import LEAST_FOR_INTERVAL
from core.digest.weekly_trend import LEAST_WEEKS, WEEKS, Direction, WeeklyTrend
from core.scores.change import citations
from core.scores.prtee import PrteeChange


def trend_words(text: Text, trend: WeeklyTrend) -> str:
    """The trend with its interval, tau_b and how many weeks it rests on; or why it cannot be told."""
    direction = trend.direction
    key = f"therapist.trend.{direction.value}"
    if direction is Direction.TOO_FEW:
        return text.many(key, trend.means, weeks=WEEKS, need=LEAST_WEEKS)
    if direction is Direction.NO_VARIATION:
        return text(key, n=trend.means, mean=text.number(trend.mean or 0.0))
    numbers = {
        "slope": per_week(text, trend.slope), "low": per_week(text, trend.low), "high": per_week(text, trend.high),
        "tau": per_week(text, trend.tau_b),
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
