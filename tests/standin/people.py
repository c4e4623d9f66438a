"""People on the other side of the stand-in: they write, tap, change and block, and see what the bot sent."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

Emit = Callable[[str, dict[str, Any]], int]
BOT_USER = {"id": 7000000001, "is_bot": True, "first_name": "Evening check-in", "username": "fennel_lane_bot"}


@dataclass
class Seen:
    """One message of the bot as it lies in a chat."""

    message_id: int
    text: str
    buttons: list[list[dict[str, Any]]]
    photo: bytes | None = None
    document: tuple[str, bytes] | None = None
    protected: bool = False
    voice: bytes | None = None
    animation: bytes | None = None
    copied: tuple[int, int] | None = None  # (chat, message) of whose message it is a copy
    earlier: list[str] = field(default_factory=list)  # what it said before it was changed

    @property
    def labels(self) -> list[str]:
        """What stands on the buttons, in reading order."""
        return [button["text"] for row in self.buttons for button in row]


@dataclass
class Person:
    """A private chat. Every deed becomes an update; the number it gets is returned."""

    chat: int
    first_name: str
    language: str | None
    emit: Emit
    clock: Callable[[], dt.datetime]
    got: list[Seen] = field(default_factory=list)
    blocked: bool = False
    numbers: int = 0
    wrote: set[int] = field(default_factory=set)  # messages of theirs that are still in the chat

    def says(self, text: str, **more: Any) -> int:
        """Write a text or a command; `more` are further fields of the message. Returns the message's id."""
        message = self._message() | {"text": text}
        if text.startswith("/"):
            length = len(text.split(maxsplit=1)[0])
            message["entities"] = [{"type": "bot_command", "offset": 0, "length": length}]
        self.emit("message", message | more)
        return int(message["message_id"])

    def sends(self, **fields: Any) -> int:
        """Send something without words, such as a sticker."""
        message = self._message() | fields
        self.emit("message", message)
        return int(message["message_id"])

    def edits(self, message_id: int, text: str) -> int:
        """Change an earlier message of theirs."""
        message = self._message() | {"message_id": message_id, "text": text, "edit_date": self._now()}
        return self.emit("edited_message", message)

    def taps(self, label: str) -> str:
        """Tap the newest button with this label; returns the tap's id. LookupError when there is none."""
        for seen in reversed(self.got):
            for button in (button for row in seen.buttons for button in row):
                if button["text"] == label:
                    return self.taps_data(seen.message_id, button["callback_data"])
        raise LookupError(f"no button {label!r}; there are {[seen.labels for seen in self.got]}")

    def taps_data(self, message_id: int, data: str) -> str:
        """Tap a button by what it carries, be it ever so old."""
        under = {"message_id": message_id, "date": self._now(), "chat": self._chat(), "from": BOT_USER, "text": "-"}
        tap = f"{self.chat}{self.next_number():09d}"
        facts = {"id": tap, "from": self._user(), "message": under, "chat_instance": str(-self.chat), "data": data}
        self.emit("callback_query", facts)
        return tap

    def blocks(self) -> int:
        """Block the bot: it is told, and can send nothing any more."""
        self.blocked = True
        return self._member("member", "kicked")

    def unblocks(self) -> int:
        """Let the bot in again."""
        self.blocked = False
        return self._member("kicked", "member")

    @property
    def last(self) -> Seen:
        """The newest message they got."""
        return self.got[-1]

    @property
    def texts(self) -> list[str]:
        """All texts and captions they got, oldest first."""
        return [seen.text for seen in self.got]

    def next_number(self) -> int:
        """The next message id within this chat."""
        self.numbers += 1
        return self.numbers

    def _member(self, old: str, new: str) -> int:
        def member(status: str) -> dict[str, Any]:
            return {"status": status, "user": BOT_USER} | ({"until_date": 0} if status == "kicked" else {})

        facts = {"chat": self._chat(), "from": self._user(), "date": self._now()}
        return self.emit("my_chat_member", facts | {"old_chat_member": member(old), "new_chat_member": member(new)})

    def _message(self) -> dict[str, Any]:
        who = {"chat": self._chat(), "from": self._user()}
        number = self.next_number()
        self.wrote.add(number)
        return {"message_id": number, "date": self._now(), **who}

    def _chat(self) -> dict[str, Any]:
        return {"id": self.chat, "type": "private", "first_name": self.first_name}

    def _user(self) -> dict[str, Any]:
        user = {"id": self.chat, "is_bot": False, "first_name": self.first_name}
        return user | ({"language_code": self.language} if self.language else {})

    def _now(self) -> int:
        return int(self.clock().timestamp())
