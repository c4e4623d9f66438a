"""What buttons carry: the version of this scheme, a verb, and what it is about; never more than 64 bytes.

Those of the evening carry the check-in's id, so that an old one can never answer for today.
"""

from enum import StrEnum

VERSION = "1"


class Verb(StrEnum):
    """What a patient's button does, a command of either side's, or whatever the staff's verb after it says."""

    COMMAND = "m"
    ANSWER = "f"  # to the question that is open: the name of its flow follows
    PAIN = "p"
    SETS = "s"
    WOKE_WORSE = "v"
    CHANGE = "c"
    LAST_ANSWER = "e"  # of the side that was chosen, where /change asks which
    YES = "y"  # to a changed answer
    NO = "n"
    RED_FLAG = "r"
    SIGN = "w"
    WEIGHT = "k"
    MEANWHILE = "b"  # how much was done while nobody answered
    GUIDED = "g"
    IN_THE_WAY = "h"
    PASS_FILE = "x"
    GOALS = "o"
    TOPIC = "q"
    LEARN = "l"
    STAFF = "t"


STAFF_VERBS = {
    "open": "o", "decisions": "d", "dealt_with": "f", "export": "x", "confirm": "c", "stranger": "s",
    "colleague": "t", "invite": "a", "hours": "h", "yes": "y", "no": "m", "undo": "r", "page": "i",
    "notices_page": "j", "zone": "zone",
    "task": "task", "task_done": "did", "end": "end", "gone": "gone",
    "up": "u", "back": "b", "to": "g", "stay": "p", "go_on": "l", "clear": "l", "unpin": "l", "pause": "z",
    "evening": "e", "gate": "gate", "looked": "look", "dose": "dose", "write": "w", "note": "n", "score": "q",
    "hand_over": "v", "discharge": "k", "morning": "morning", "second": "second", "diary": "diary",
    "papers": "papers", "sheet": "sheet", "letter": "letter", "summary": "summary", "signed": "signed",
    "add_side": "other", "end_side": "ended",
}  # fmt: skip


def carried(verb: Verb, *about: object) -> str:
    """What a button carries: "1.p.c7.4"."""
    return ".".join((VERSION, verb, *map(str, about)))
