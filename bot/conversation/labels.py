"""A typed label, or the number of a line in a list, taken for the button: of the last messages in the chat."""

import re
from collections.abc import Iterator

from bot.conversation.talk import plain
from bot.ports import Came, Incoming
from core.ports import UnitOfWork
from core.records import Button

LAST_MESSAGES = 3
LONGEST_LABEL = 64
OPEN_ONLY = "1.f."  # the answer to a question that is open: of the latest message alone
_NUMBERED = re.compile(r"(\d+)\.\s")


def typed_button(uow: UnitOfWork, came: Incoming, *, asked: bool, numbers: bool) -> str | None:
    """The data of the button whose label was typed; None where the line is none.

    While something is `asked`, only the latest message with buttons counts, so that an answer is never taken for an
    older button. `numbers`: a bare number means the line of a list, which is no answer to anything then.
    """
    line = plain(came.text)
    if came.came != Came.TEXT or not line or len(line) > LONGEST_LABEL or (line.isdecimal() and not numbers):
        return None
    for place, shown in enumerate(_shown(uow, came, asked=asked)):
        for button in shown:
            if place and button.data.startswith(OPEN_ONLY):
                continue
            if line == plain(button.label) or (numbers and line == _number(button.label)):
                return button.data
        if asked:
            break  # the others are not even read, at each answer of an evening
    return None


def _shown(uow: UnitOfWork, came: Incoming, *, asked: bool) -> Iterator[tuple[Button, ...]]:
    """The buttons of the last messages that have any, the latest first."""
    # while something is asked the latest has some, mostly, and the others need not be opened
    for most, known in ((1, 0), (LAST_MESSAGES, 1)) if asked else ((LAST_MESSAGES, 0),):
        for message in uow.outbox.latest(came.channel, came.address, most)[known:]:
            if message.words.buttons:
                yield tuple(button for row in message.words.buttons for button in row)


def _number(label: str) -> str | None:
    found = _NUMBERED.match(label)
    return found[1] if found else None
