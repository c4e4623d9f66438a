"""Random updates in the service's own shapes, and random texts. The same dice give the same things."""

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bot.conversation import commands, enrol, flows
from bot.conversation.staff import acts, router
from tests.standin.description import Description

ANSWERS = Path(__file__).parents[1] / "core" / "answers"
CHATS = tuple(range(101, 113))
ODD = (
    "", " ", "\n", "0", "10", "11", "4", "4 4", "٣, ٢ من ٤", "²", "½", "Ⅷ", "9" * 400, "-1", "4.5", "1e9", "NaN",
    "{0}", "{name}", "%s %(a)s", "<b>4</b>&amp;", "'; DROP TABLE people; --", "=cmd|'/c calc'!A1", "../../etc/passwd",
    "\u202e4\u202c", "\u200b", "e\u0301" * 50, "👩‍👩‍👧" * 30, "\x00\x07", "\ud800", "İ", "ß" * 99, "4, did all", "yes",
    "no", "not sure", "stop", "erase", "20:00", "Lisbon", "Europe/Lisbon", "10 days", "monday 8:00", "CODE1", "left",
    "right",
)  # fmt: skip
VALUES = (
    "yes", "no", "unsure", "left", "4", "10", "99", "7", "open", "last", "today", "id-1", "1900", "2026-03-20", "",
)  # fmt: skip


class Dice(random.Random):
    """Makes texts, button data and updates. `ids` are those of rows that a button may name."""

    def __init__(self, seed: int) -> None:
        super().__init__(seed)
        self.description = Description().types
        self.phrases = [
            line.split("\t")[-1]
            for file in sorted(ANSWERS.glob("*.tsv"))
            for line in file.read_text(encoding="utf-8").splitlines()
            if line and not line.startswith("#")
        ]
        self.ids: list[str] = ["id-1"]
        self.seen: list[str] = []  # data of buttons that were really sent

    def text(self) -> str:
        kind = self.randrange(8)
        if kind == 0:
            return self.choice(ODD)
        if kind == 1:
            name = self.choice([*commands.COMMANDS, *router.COMMANDS, "start", "nothing"])
            return f"/{name} {self.choice(ODD)}"[:4096]
        if kind == 2:
            return "".join(chr(self._letter()) for _ in range(self.randrange(1, 60)))
        if kind == 3:
            return " ".join(self.choice(self.phrases) for _ in range(self.randrange(2, 5)))
        if kind == 4:
            return (self.choice(self.phrases) * 200)[: self.randrange(1, 4097)]
        phrase = self.choice(self.phrases)
        return self._spoilt(phrase) if kind < 7 else phrase

    def data(self) -> str:
        """What stands in a button: one that was sent, one of the tables', or nonsense."""
        kind = self.randrange(6)
        if kind < 3 and self.seen:
            return self.choice(self.seen[-60:])
        about, value = self.choice(self.ids), self.choice(VALUES)
        if kind == 3:
            return f"1.t.{self.choice([*router.TAPS, *router.OF_A_PATIENT, *acts.VERBS])}.{about}.{value}"
        if kind == 4:
            flow = self.choice([*flows.FLOWS, "enrol"])
            step = f"{self.choice([*enrol._STEPS])}." if flow == "enrol" else ""
            return f"1.f.{flow}.{step}{value}"
        nonsense = ("1", "2.p.id-1.4", "....", self.text()[:64])
        return self.choice((f"1.{self.choice('pscynrmx')}.{about}.{value}", *nonsense))

    def update(self, number: int) -> dict[str, Any]:
        """One update: a likely one, one made of its type's fields at random, or a likely one with something wrong."""
        kind = self.randrange(10)
        if kind < 2:
            return self._of_type("Update", 0) | {"update_id": number}
        field = self.choice(_KINDS)
        made = {field: _MAKERS[field](self)}
        if kind > 7:
            self._break(made)
        return made | {"update_id": number}

    def _edit(self) -> dict[str, Any]:
        return self._message() | {"edit_date": self._moment()}

    def _message(self) -> dict[str, Any]:
        found = self._common() | {"message_id": self.randrange(1, 5000), "date": self._moment()}
        kind = self.randrange(12)
        if kind == 0:
            return found | {"caption": self.text(), "photo": []}
        if kind == 1:
            other = ({"sticker": {}}, {"pinned_message": {}}, {"text": ""}, {"voice": {"duration": 1}})
            return found | self.choice(other)
        return found | {"text": self.text()}

    def _tap(self) -> dict[str, Any]:
        common = self._common()
        date = self.choice((0, self._moment()))
        message = {"chat": common["chat"], "message_id": self.randrange(1, 5000), "date": date}
        return {
            "id": str(self.randrange(1, 10**9)), "from": common["from"], "message": message, "chat_instance": "1",
            "data": self.data(),
        }  # fmt: skip

    def _member(self) -> dict[str, Any]:
        statuses = ("kicked", "member", "left", "administrator")
        user = {"id": 1, "is_bot": True, "first_name": "b"}
        old, new = ({"status": self.choice(statuses), "user": user} for _ in range(2))
        return self._common() | {"date": self._moment(), "old_chat_member": old, "new_chat_member": new}

    def _common(self) -> dict[str, Any]:
        chat = self.choice(CHATS) if self.random() < 0.95 else self.randrange(-(1 << 60), 1 << 60)
        sender = {"id": chat, "is_bot": False, "first_name": self.text()[:64] or "x"}
        if self.random() < 0.5:
            sender["language_code"] = self.choice(("en", "pt-BR", "xx", "", self.text()[:20]))
        kind = "private" if self.random() < 0.97 else self.choice(("group", "channel", "supergroup"))
        return {"chat": {"id": chat, "type": kind}, "from": sender}

    def _of_type(self, name: str, depth: int) -> Any:
        if name.startswith("Array of "):
            return [self._of_type(name.removeprefix("Array of "), depth + 1) for _ in range(self.randrange(3))]
        described = self.description.get(name)
        if described is None or depth > 4:
            return self._plain(name)
        if "subtypes" in described:
            return self._of_type(self.choice(described["subtypes"]), depth)
        likely = 0.9 if depth == 0 and name != "Update" else 0.2
        return {
            field: self._of_type(self.choice(about["types"]), depth + 1)
            for field, about in described["fields"].items()
            if about["required"] or self.random() < likely
        }

    def _plain(self, name: str) -> Any:
        if name == "Integer":
            return self.choice((0, 1, -1, self.choice(CHATS), 1 << 40, 1 << 70, self._moment()))
        if name in ("Boolean", "True"):
            return self.random() < 0.5
        return self.text() if name == "String" else {}

    def _break(self, value: dict[str, Any]) -> None:
        """Put something of another type, or nothing, somewhere within."""
        while True:
            field = self.choice(list(value))
            inner = value[field]
            if isinstance(inner, dict) and inner and self.random() < 0.8:
                value = inner
                continue
            value[field] = self.choice((None, [], {}, "", 0, -1, 1.5, True, [[]], "private", {"id": None}, 1 << 63))
            return

    def _spoilt(self, phrase: str) -> str:
        letters = list(phrase)
        for _ in range(self.randrange(1, 5)):
            at = self.randrange(len(letters) + 1)
            letters[at : at + self.randrange(3)] = chr(self._letter()) * self.randrange(3)
        return "".join(letters)

    def _letter(self) -> int:
        return self.choice((self.randrange(32, 127), self.randrange(0x80, 0x800), self.randrange(0x10FFFF + 1)))

    def _moment(self) -> int:
        return 1_772_442_000 + self.randrange(-(1 << 20), 1 << 20)


_MAKERS: dict[str, Callable[[Dice], Any]] = {
    "message": Dice._message,
    "callback_query": Dice._tap,
    "edited_message": Dice._edit,
    "my_chat_member": Dice._member,
    "channel_post": Dice._message,
    "poll": lambda dice: {},
}
_KINDS = ("message",) * 6 + ("callback_query",) * 4 + tuple(_MAKERS)
