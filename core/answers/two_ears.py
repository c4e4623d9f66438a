"""What the rules and the learned ear make of a text together: a stop, a question, or nothing.

Both hear danger, or the ear is sure: stop. What the rules hear it to be counts, unless the ear is sure of something
more serious. One alone: the person is asked by button, which costs a harmless line one tap and a sign no time.
"""

from dataclasses import dataclass

from core.answers.danger import Danger
from core.answers.ear import Ear
from core.model import DANGER, Flag, Urgency

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
    if ruled is not None and heard.danger < ear.agree:
        return Verdict(None, ruled, danger.urgency)
    if ruled is not None or heard.danger >= ear.sure:
        sure = [heard.flag] if heard.danger >= ear.sure else []
        flag = min(sure if ruled is None else [ruled, *sure], key=_SERIOUS.index)
        return Verdict(flag, None, danger.urgency if flag is ruled else _HOW_SOON.get(flag, Urgency.TODAY))
    if heard.danger >= ear.maybe and not (danger.complaint and heard.flag is Flag.RED_FLAG):
        return Verdict(danger.flag, heard.flag, danger.urgency)
    return Verdict(danger.flag, None, danger.urgency, danger.complaint)
