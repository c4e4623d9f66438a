"""What each kind of due work does. Every act is safe to repeat and to interrupt."""

from collections.abc import Callable

from core.records import Due
from core.use_cases.asking import ask, close, remind
from core.use_cases.digesting import send_digest
from core.use_cases.raising import look_at_danger
from core.use_cases.work import Work

ACTS: dict[Due, Callable[[Work, str], None]] = {
    Due.CLOSE: close, Due.ASK: ask, Due.REMIND: remind, Due.DIGEST: send_digest, Due.DANGER: look_at_danger,
}  # fmt: skip


def do_due(work: Work, what: Due, limit: int = 200) -> int:
    """Do what is due of one kind in this unit of work; returns how much that was."""
    found = work.uow.due(what, work.now, limit)
    for which in found:
        ACTS[what](work, which)
    return len(found)
