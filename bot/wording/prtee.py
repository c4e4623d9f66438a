"""A change of the questionnaire in words: points, percent, what it is worth, and which study says so."""

from bot.wording.catalogue import Text
from core.scores.change import citations
from core.scores.prtee import PrteeChange


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
