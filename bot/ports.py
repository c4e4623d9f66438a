"""The seams of the program: a messaging channel (what comes in, what goes out, how sending fails), and who measures."""

import contextlib
import datetime as dt
from contextlib import AbstractContextManager
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol, Self

from core.errors import HoldlowerError
from core.records import Button, Worded


class Came(StrEnum):
    """What kind of thing a person did."""

    TEXT = "text"
    COMMAND = "command"  # "/today", "/start CODE"
    TAP = "tap"  # a button; `data` carries what we put into it
    EDIT = "edit"  # an earlier message changed
    BLOCKED = "blocked"
    UNBLOCKED = "unblocked"
    OTHER = "other"  # a sticker, a voice message, a picture: nothing we can read


@dataclass(frozen=True, slots=True)
class Incoming:
    """One thing a person did, free of the channel's own types."""

    came: Came
    channel: str
    address: str
    at: dt.datetime  # when the person did it, as the service says
    text: str = ""  # the text; for a command what follows it
    command: str = ""  # without the slash, lower case
    data: str = ""
    message_id: str | None = None
    name: str = ""  # what the service calls the person
    language: str | None = None
    file: str = ""  # what came with it that we cannot read: "voice", "photo", "video", "file"


@dataclass(frozen=True, slots=True)
class Rendered:
    """A message ready to be sent. `picture` is a PNG, `moving` a GIF, `voice` a clip of Opus in Ogg, `document` a file
    name and its bytes.

    `further` texts follow the first one as messages of their own; buttons stand under the last.
    """

    text: str
    buttons: tuple[tuple[Button, ...], ...] = ()
    picture: bytes | None = None
    document: tuple[str, bytes] | None = None
    further: tuple[str, ...] = ()
    may_be_kept: bool = False  # a picture that may be saved and passed on, as documents may
    moving: bytes | None = None
    voice: bytes | None = None
    silent: bool = False  # makes no sound where it arrives
    copied: tuple[str, str] | None = None  # (chat, message) of somebody's own message, which follows as it was sent

    @classmethod
    def of(
        cls, words: Worded, picture: bytes | None = None, *, moving: bytes | None = None, voice: bytes | None = None
    ) -> Self:
        """What was worded, with what was drawn for it."""
        document = (words.document[0], words.document[1].encode()) if words.document else None
        return cls(
            words.text, words.buttons, picture, document, words.further, moving=moving, voice=voice,
            silent=words.silent, copied=words.copied,
        )  # fmt: skip


class DeliveryError(HoldlowerError):
    """A message was not confirmed; the kind says what that means."""


class NotDelivered(DeliveryError):
    """Certainly not delivered, and worth another try (no connection, 5xx)."""


class DeliveryUnknown(DeliveryError):
    """It may have been delivered (time-out after sending)."""


class Refused(DeliveryError):
    """Refused for good (400): the same message will never pass."""


class Unreachable(DeliveryError):
    """The person blocked the bot or is gone (403)."""


class TooFast(DeliveryError):
    """The service asks to wait (429) for `seconds`."""

    def __init__(self, seconds: float) -> None:
        super().__init__(f"the messaging service asks to wait {seconds:g} s")
        self.seconds = seconds


class Channel(Protocol):
    """Where messages go out. `send` returns the service's message id, or raises a DeliveryError.

    `edit` puts text and buttons in the place of those of a message that was sent; the same once more is no error.
    """

    name: str

    async def send(self, address: str, message: Rendered) -> str | None: ...
    async def edit(self, address: str, message_id: str, message: Rendered) -> None: ...


class Meter:
    """Takes figures; this one forgets them. Each label comes from a fixed set in the code."""

    def sent(self, kind: str, result: str) -> None:
        """One attempt to send a message of that kind, and what became of it."""

    def lost(self, kind: str, count: int) -> None:
        """So many messages of that kind were given up without having been delivered."""

    def late(self, seconds: float) -> None:
        """An evening's question left so long after its time."""

    def refused(self, why: str) -> None:
        """A call to the webhook was refused."""

    def handling(self) -> AbstractContextManager[object]:
        """Measures one update from the claim to the commit."""
        return contextlib.nullcontext()

    def deciding(self) -> AbstractContextManager[object]:
        """Measures the rule at work on one evening and those after it."""
        return contextlib.nullcontext()


UNMETERED = Meter()
