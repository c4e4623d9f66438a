"""Whoever sends far too much is heard all the same, but answered with one sentence until they pause.

Every message is still handled, so that nothing said is lost; only the replies are held back. Danger is answered always.
"""

from core.records import Priority
from core.use_cases.queueing import Recipient, queue
from core.use_cases.work import Work

KIND = "chat.slow"
STILL_SAID = frozenset({"danger", "left", "erase.done"})  # help, and what cannot be seen in any later reply
ONCE_IN_S = 600


def say_slow(work: Work, to: Recipient, emergency: str) -> None:
    """Queue the sentence, once in ten minutes for each chat."""
    stretch = int(work.now.timestamp()) // ONCE_IN_S
    key = f"slow:{to.channel}:{to.address}:{stretch}"
    queue(work, to, KIND, {"emergency": emergency}, key=key, priority=Priority.REPLY)
