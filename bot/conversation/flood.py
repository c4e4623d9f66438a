"""Whoever sends far too much is heard all the same, but answered with one sentence until they pause.

Every message is still handled, so that nothing said is lost; only the replies are held back. Danger is answered always.
"""

from core.records import Outgoing, Priority
from core.use_cases.work import Work

KIND = "chat.slow"
STILL_SAID = frozenset({"danger", "left", "erase.done"})  # help, and what cannot be seen in any later reply
ONCE_IN_S = 600


def say_slow(
    work: Work, *, clinic_id: str, person_id: str, channel: str, address: str, language: str, emergency: str
) -> None:
    """Queue the sentence, once in ten minutes for each chat."""
    stretch = int(work.now.timestamp()) // ONCE_IN_S
    work.uow.enqueue(
        Outgoing(
            f"slow:{channel}:{address}:{stretch}", clinic_id, person_id, channel, address, KIND,
            {"language": language, "emergency": emergency}, Priority.REPLY, work.now,
        )
    )  # fmt: skip
