"""One thing a member of staff did, and everything needed to answer it within one transaction."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from bot.conversation.flood import say_slow
from bot.conversation.talk import Words, plain
from bot.ports import Incoming
from core.records import Dialogue, Priority, Staff
from core.use_cases.queueing import Recipient, queue
from core.use_cases.work import Work


@dataclass(slots=True)
class StaffTalk:
    """Like a patient's talk, but with staff. `link` turns a code into an address to open, by its gap {code}."""

    work: Work
    staff: Staff
    came: Incoming
    words: Words
    emergency: str
    update_key: str
    link: str = ""
    newest_copy: Callable[[], dt.datetime | None] = lambda: None
    quiet: bool = False  # they send far too much: see flood
    replies: list[tuple[str, str, dict[str, Any]]] = field(default_factory=list)

    def say(self, kind: str, about: str = "", /, **facts: Any) -> None:
        """Answer with a message of that kind; `about` is the one patient it tells of, so that erasing finds it.

        Of a message about several the ids stand in its buttons, or in `Worded.people`.
        """
        self.replies.append((kind, about, facts))

    @property
    def dialogue(self) -> Dialogue:
        return self.work.uow.dialogue(self.staff.id)

    def wait_for(self, flow: str, step: str = "", **facts: Any) -> None:
        """Remember which question is open; the id of the patient it is about belongs to the facts."""
        self.work.uow.save_dialogue(Dialogue(self.staff.id, flow, step, facts=facts))

    def nothing_open(self) -> None:
        self.work.uow.save_dialogue(Dialogue(self.staff.id, ""))

    def save(self, staff: Staff) -> None:
        """Keep what has changed of the member of staff."""
        self.work.uow.save_staff(staff)
        self.staff = staff

    def typed(self, key: str) -> bool:
        """Whether the whole text is one of the words the catalogue lists under `key`."""
        return plain(self.came.text) in self.words(key, self.staff.language)

    def as_text(self, text: str) -> "StaffTalk":
        """The same talk as if they had typed `text`; replies go to the same list."""
        return replace(self, came=replace(self.came, text=text))

    def send(self) -> None:
        """Queue the replies. Their keys hold the update's own key, so that a repeat cannot double them."""
        if self.quiet and self.replies:
            self.replies.clear()
            say_slow(self.work, Recipient.of(self.staff), self.emergency)
        for number, (kind, about, facts) in enumerate(self.replies):
            key = f"reply:{self.update_key}:{number}"
            queue(self.work, Recipient.of(self.staff), kind, facts, key=key, priority=Priority.REPLY, about=about)
        self.replies.clear()
