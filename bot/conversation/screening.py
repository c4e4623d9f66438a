"""What must be so, and what must not, before the first dose: groups, each with one button for "none of these".

Every yes needs a person first: it has its own advice, and the therapist is told. Once they let the person in, the rest
of the group is asked. Sources: evidence rows H1 to H6, L5 and L7.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from core.model import Urgency


@dataclass(frozen=True, slots=True)
class Group:
    """`items` in the order of their buttons; `fine` is the answer that lets the person go on to `then`."""

    items: tuple[str, ...]
    then: str
    fine: str = "no"


GROUPS: Mapping[str, Group] = {
    "fit": Group(("minor", "unseen", "elsewhere"), "signs", fine="yes"),
    "signs": Group(("numb", "weak", "locks", "hot", "injury", "lump", "night"), "past"),
    "past": Group(("surgery", "cancer", "weight", "neck", "joints"), "injection"),
    "heart": Group(("pressure", "heart", "vessel", "eye"), "side"),
}
URGENCIES = dict.fromkeys((*GROUPS["signs"].items, "cancer", "weight", "neck", "joints"), Urgency.SOON) | {
    "hot": Urgency.TODAY, "injury": Urgency.TODAY,
}  # fmt: skip


def left_to_ask(group: str, told: list[str]) -> tuple[str, ...]:
    """The items of a group that were not told yet."""
    return tuple(item for item in GROUPS[group].items if item not in told)


def next_place(group: str, told: list[str]) -> str:
    """Where the enrolment goes on once a therapist has looked at what was told: the rest of the group, or the next."""
    return group if left_to_ask(group, told) else GROUPS[group].then
